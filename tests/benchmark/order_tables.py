"""Tables of the campaign `orders`: Markdown that reads as text too."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from statistics import median_low

from tests.benchmark.measuring import Facts
from tests.benchmark.results_page import table

TIGHTER = (0.002, 0.0005, 0.0)
NAMES = {"cp-sat": "CP-SAT", "cbc": "PuLP with CBC", "first-fit": "first-fit decreasing"}


@dataclass(slots=True)
class Measured:
    """All that was measured of one size: the plan of each draw, and of the first draw the rest."""

    openings: int
    keen_kits: bool
    limit: float
    plans: list[Facts] = field(default_factory=list)
    whole: Facts = field(default_factory=dict)
    rivals: dict[str, Facts] = field(default_factory=dict)

    @property
    def kits(self) -> str:
        return "keen" if self.keen_kits else "usual"

    @property
    def solved(self) -> list[Facts]:
        """Return the draws that ended with a plan."""
        return [plan for plan in self.plans if "cost" in plan]

    def contradictions(self) -> Iterable[str]:
        """Yield a line for each rival that found less than our bound, or bounds above our cost."""
        for name, found in self.rivals.items():
            if not self.plans or "cost" not in self.plans[0] or found.get("cents") is None:
                continue
            cost, bound = (100 * Decimal(self.plans[0][key]) for key in ("cost", "bound"))
            if found["cents"] < bound or (found.get("bound") or 0) > cost:
                yield f"{self.openings} openings, kits {self.kits}: {name} contradicts the plan"


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """A gap to be reached within a time; the gap 0 is a proof."""

    openings: int
    gap_percent: float
    seconds: float

    def __str__(self) -> str:
        reached = f"within {self.gap_percent:g} %" if self.gap_percent else "proved"
        return f"{self.openings:,} openings {reached} in {self.seconds:g} s"


def gap_percent(cost: str, bound: str) -> float:
    """Return how far a cost is above a bound, in per cent of the bound."""
    return float(100 * (Decimal(cost) - Decimal(bound)) / Decimal(bound))


def seconds_until(plan: Facts, percent: float) -> float | None:
    """Return when the gap, as known at that time, was no more than so much; `None`: never."""
    for seconds, cost, bound in plan["log"]:
        if cost is not None and gap_percent(cost, bound) <= percent:
            return float(seconds)
    return None


def until_bound(plan: Facts) -> float | None:
    """Return when the first bound was known."""
    return next((float(seconds) for seconds, _, _ in plan["log"]), None)


def until_cost(plan: Facts) -> float | None:
    """Return when the first plan was known."""
    return next((float(seconds) for seconds, cost, _ in plan["log"] if cost is not None), None)


def until_proof_or_end(plan: Facts) -> float:
    """Return when the cost was proved, or the search over without that."""
    proved = seconds_until(plan, 0.0)
    return float(plan["cpu"]) if proved is None else proved


def table_of_plans(measured: Sequence[Measured]) -> Iterable[str]:
    """Return the plans: cost, bound, gap, time and memory."""
    yield "Plans: cost and bound are those of the first draw, times the median (the longest), gap"
    yield "the widest. `Within` and `proved` are when the gap, as then known, was so small; `end`"
    yield "is when the search was over, the lesser aims (drop, patterns) included."
    yield ""
    head = ["kits", "openings", "pieces", "lengths", "kits bought", "cost", "bound", "gap %",
            "proved", *(f"within {p:g} %" if p else "proved, CPU s" for p in TIGHTER), "end, CPU s",
            "end, wall s", "peak MiB"]  # fmt: skip
    rows = []
    for one in measured:
        if not one.solved:
            rows.append([one.kits, f"{one.openings:,}", *["none"] * (len(head) - 2)])
            continue
        first = one.solved[0]
        gap = max(gap_percent(plan["cost"], plan["bound"]) for plan in one.solved)
        rows.append(
            [
                one.kits,
                f"{one.openings:,}",
                f"{first['pieces']:,}",
                f"{first['lengths']}",
                f"{first['kits']:,}",
                f"{Decimal(first['cost']):,}",
                f"{Decimal(first['bound']):,}",
                f"{gap:.6f}" if gap else "0",
                f"{sum(plan['proved'] for plan in one.solved)} of {len(one.plans)}",
                *(
                    _spread([seconds_until(plan, percent) for plan in one.solved])
                    for percent in TIGHTER
                ),
                _spread([plan["cpu"] for plan in one.solved]),
                f"{median_low([plan['wall'] for plan in one.solved]):.3g}",
                f"{max(plan['peak_mib'] for plan in one.solved)}",
            ]
        )
    yield from table(head, rows)


def list_aims(aims: Sequence[Aim], measured: Sequence[Measured]) -> list[str]:
    """Return the aims beside what was reached, the slowest draw counting."""
    head = ["aim", "kits", "reached", "CPU s"]
    rows = []
    for aim in aims:
        for one in measured:
            if one.openings != aim.openings or not one.solved:
                continue
            times = [seconds_until(plan, aim.gap_percent) for plan in one.solved]
            known = [seconds for seconds in times if seconds is not None]
            met = sum(seconds <= aim.seconds for seconds in known)
            rows.append([str(aim), one.kits, f"{met} of {len(one.plans)}", _spread(times)])
    return [*table(head, rows)] if rows else []


def table_of_rivals(measured: Sequence[Measured]) -> Iterable[str]:
    """Return what else one would use, as ratios to the plan of the same order."""
    yield "Beside the plan of the first draw, on the textbook assignment model of the same order"
    yield "(`tests/benchmark/assignment.py`), with the same limit; ratios are to the plan's own."
    yield ""
    head = ["kits", "openings", "limit s", "solver", "variables", "cost", "cost ratio", "CPU s",
            "time ratio", "peak MiB", "outcome"]  # fmt: skip
    rows = []
    for one in measured:
        for name, found in one.rivals.items():
            plan = one.plans[0] if one.plans else {}
            cents, cpu = found.get("cents"), found.get("cpu")
            ours = 100 * Decimal(plan["cost"]) if "cost" in plan else None
            rows.append(
                [
                    one.kits,
                    f"{one.openings:,}",
                    f"{one.limit:g}",
                    NAMES[name],
                    f"{found['variables']:,}" if "variables" in found else "",
                    "none" if cents is None else f"{Decimal(cents) / 100:,.2f}",
                    "" if cents is None or ours is None else f"{float(cents / ours):.4f}",
                    "" if cpu is None else f"{cpu:.3g}",
                    "" if cpu is None or "cpu" not in plan else f"{cpu / plan['cpu']:.3g}",
                    f"{found['peak_mib']:,}" if "peak_mib" in found else "",
                    _outcome(found),
                ]
            )
    yield from table(head, rows)


def _outcome(found: Facts) -> str:
    if found.get("too_large"):
        return "not built: so many variables"
    if found.get("unwritten"):
        return "not built within the limit"
    if not found["ended"]:
        return "no solution at twice the limit and half a minute more; stopped"
    if found.get("cents") is None:
        return "no solution within the limit"
    if found["proved"]:
        return "proved"
    return "rule of thumb" if "variables" not in found else "not proved"


def table_of_whole_plans(measured: Sequence[Measured]) -> Iterable[str]:
    """Return the time of whole plans beside that of the plan itself."""
    yield "Whole plans (`make_plan`), first draw: with takeoff, tables, reasons and re-proof; and"
    yield "with the alternatives, each of which is solved again, within one limit for all."
    yield ""
    head = ["kits", "openings", "plan itself, CPU s", "whole, CPU s", "with alternatives, CPU s",
            "alternatives", "peak MiB"]  # fmt: skip
    rows = []
    for one in measured:
        if not one.whole:
            continue
        rows.append(
            [
                one.kits,
                f"{one.openings:,}",
                *(
                    f"{value:.3g}" if value is not None else "none"
                    for value in (
                        one.plans[0].get("cpu"),
                        one.whole.get("bare_cpu"),
                        one.whole.get("whole_cpu"),
                    )
                ),
                str(one.whole.get("alternatives", "")),
                str(one.whole.get("whole_peak_mib", "")),
            ]
        )
    yield from table(head, rows)


def table_of_curve(points: Sequence[Sequence[Facts]]) -> Iterable[str]:
    """Return the points of one curve."""
    head = ["distinct lengths", "openings", "pieces", "first bound, CPU s", "first plan, CPU s",
            "proof or limit, CPU s", "proved", "widest gap %"]  # fmt: skip
    rows = []
    for draws in points:
        solved = [plan for plan in draws if "cost" in plan]
        if not solved:
            rows.append([str(draws[0].get("lengths", "")), f"{draws[0]['openings']:,}",
                         *["none"] * (len(head) - 2)])  # fmt: skip
            continue
        gap = max(gap_percent(plan["cost"], plan["bound"]) for plan in solved)
        rows.append(
            [
                f"{solved[0]['lengths']}",
                f"{solved[0]['openings']:,}",
                f"{solved[0]['pieces']:,}",
                _spread([until_bound(plan) for plan in solved]),
                _spread([until_cost(plan) for plan in solved]),
                _spread([until_proof_or_end(plan) for plan in solved]),
                f"{sum(plan['proved'] for plan in solved)} of {len(draws)}",
                f"{gap:.6f}" if gap else "0",
            ]
        )
    yield from table(head, rows)


def _spread(seconds: Sequence[float | None]) -> str:
    """Return the median and, of several, the longest; "never" where one never came."""
    known = sorted(float("inf") if s is None else s for s in seconds)
    shown = ["never" if s == float("inf") else f"{s:.3g}" for s in (median_low(known), known[-1])]
    return shown[0] if len(known) == 1 else f"{shown[0]} ({shown[1]})"
