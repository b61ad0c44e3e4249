"""A study as plain text: the order itself, then a row for each point."""

from collections.abc import Iterator, Sequence

from optimiser.domain.break_even import BreakEven, Influence
from optimiser.domain.study import PointOutcome, PurchaseChange, Study, StudyRow
from optimiser.domain.study_questions import Answer
from optimiser.render.break_even_text import (
    show_money,
    show_signed,
    write_break_even,
    write_ranking,
)
from optimiser.render.question_text import write_answers
from optimiser.render.table import write_heading, write_item, write_table
from optimiser.units.lengths import LengthUnit, format_length

_OUTCOMES = {
    PointOutcome.PLANNED: "",
    PointOutcome.INVALID: "no order",
    PointOutcome.NO_PLAN: "no plan",
    PointOutcome.NOT_IN_TIME: "not in time",
    PointOutcome.CHECK_FAILED: "withheld",
}


def render_study(
    study: Study,
    unit: LengthUnit,
    *,
    answers: Sequence[Answer] = (),
    break_evens: Sequence[BreakEven] = (),
    ranking: Sequence[Influence] = (),
) -> str:
    """Return a study as plain text; lengths are in `unit`."""
    lines = [*_write(study, unit)]
    lines += write_answers(answers, study.base.currency)
    for found in break_evens:
        lines += write_break_even(found, study.base.currency)
    if ranking:
        lines += write_ranking(ranking, study.base)
    return "\n".join(lines) + "\n"


def _write(study: Study, unit: LengthUnit) -> Iterator[str]:
    base = study.base
    yield from write_item(
        f"Study of an order that costs {base.currency} {show_money(base.cost, base.currency)}, "
        f"{_proof(base)}.",
        bullet="",
    )
    if not study.rows:
        return
    planned = [row for row in study.rows if row.outcome is PointOutcome.PLANNED]
    yield from write_item(
        f"{len(study.rows):,} points, {len(planned):,} with a plan, "
        f"{sum(row.proved for row in planned):,} of them proved to be the cheapest.",
        bullet="",
    )
    axes = tuple(dict.fromkeys(axis for row in study.rows for axis, _ in row.values))
    decisions = _number_decisions(study.rows)
    yield from write_heading("What each comes to")
    yield from write_table(
        (
            "Scenario",
            *axes,
            "Cost",
            "Difference",
            "%",
            "Kits",
            "Spare",
            "Drop",
            "Purchases",
            "Proof",
        ),
        (_cells(row, base, axes, decisions, unit) for row in (base, *study.rows)),
        right=frozenset(range(len(axes) + 1, len(axes) + 7)),
    )
    if decisions:
        yield from write_heading("Purchases, order itself → there")
        for changes, number in decisions.items():
            listed = ", ".join(f"{c.sku} {c.base_quantity:,} → {c.quantity:,}" for c in changes)
            yield from write_item(listed, bullet=f"{number}. ")
    yield from _write_failures(study.rows)


def _number_decisions(rows: Sequence[StudyRow]) -> dict[tuple[PurchaseChange, ...], int]:
    """Return a number for whatever is bought otherwise than for the order itself."""
    distinct = dict.fromkeys(row.changes for row in rows if row.changes)
    return {changes: number for number, changes in enumerate(distinct, start=1)}


def _cells(
    row: StudyRow,
    base: StudyRow,
    axes: Sequence[str],
    decisions: dict[tuple[PurchaseChange, ...], int],
    unit: LengthUnit,
) -> Sequence[str]:
    values = dict(row.values)
    named = (row.scenario, *(values.get(axis, "") for axis in axes))
    if row.cost is None:
        return (*named, _OUTCOMES[row.outcome], "", "", "", "", "", "", "see below")
    cost = show_money(row.cost, row.currency)
    with_fasteners = f" ({row.kits_with_fasteners:,} with)" if row.kits_with_fasteners else ""
    return (
        *named,
        cost if row.currency == base.currency else f"{row.currency} {cost}",
        "" if row.difference is None else show_signed(row.difference, row.currency),
        "" if row.difference_percent is None else f"{row.difference_percent:+.2f}",
        f"{row.kits:,}{with_fasteners}",
        f"{row.spare_fasteners:,}",
        format_length(row.drop_nm or 0, unit),
        f"as in {decisions[row.changes]}" if row.changes else "the same",
        "proved" if row.proved else _proof(row),
    )


def _write_failures(rows: Sequence[StudyRow]) -> Iterator[str]:
    reasons: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        if row.cost is None:
            why = " ".join(fault.message for fault in row.faults)
            place = ", ".join(f"{axis} = {value}" for axis, value in row.values)
            reasons.setdefault((row.scenario, why), []).append(place)
    if not reasons:
        return
    yield from write_heading("Points without a plan")
    for (scenario, why), places in reasons.items():
        where = f"{places[0]} and {len(places) - 1:,} more" if len(places) > 1 else places[0]
        yield from write_item(f"{scenario} ({where}): {why}" if where else f"{scenario}: {why}")


def _proof(row: StudyRow) -> str:
    certificate = row.certificate
    if certificate is None or certificate.proved:
        return "proved to be the least"
    gap = show_money(certificate.gap, row.currency)
    return f"at most {row.currency} {gap} above the least"
