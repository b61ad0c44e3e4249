"""A plan as plain text: what a buyer orders, what the bench cuts, and why."""

from collections.abc import Callable, Iterator

from optimiser.domain.phrases import write_marks
from optimiser.domain.plan import Alternative, Plan
from optimiser.domain.reasons import Caution, Reason, RuleFired
from optimiser.render.buying_text import write_from_rack, write_next_rack, write_purchases
from optimiser.render.openings import write_opening_plan
from optimiser.render.table import write_heading, write_item, write_list, write_table
from optimiser.units.lengths import format_length

Say = Callable[[Reason | Alternative], str]
"""Turns a reason, a notice or an alternative into its sentences."""

IN_SHORT = frozenset({"cost-accounted", "cost-bounded"})


def render_text(plan: Plan, say: Say) -> str:
    """Return the plan as plain text: what to buy, why, how to cut, and how sure it is.

    Lines are at most 92 columns wide where the names in them allow. `say` words the reasons,
    the notices and the alternatives.
    """
    return "\n".join(_write_plan(plan, say)) + "\n"


def _write_plan(plan: Plan, say: Say) -> Iterator[str]:
    yield from write_item(f"Purchase plan {plan.reference}".rstrip(), bullet="")
    yield from write_item(f"{plan.supplier}; prices in {plan.currency}", bullet="")
    yield from write_heading("What to buy")
    yield from write_purchases(plan)
    if plan.offcuts_used or plan.fasteners_used:
        yield from write_heading("From the rack")
        yield from write_from_rack(plan)
    yield from write_heading("In short")
    for reason in plan.reasons:
        if reason.code in IN_SHORT:
            yield from write_item(say(reason))
    yield from write_list("Before you order", (say(notice) for notice in plan.notices))
    yield from write_list("Other ways, priced", (say(other) for other in plan.alternatives))
    yield from write_heading("Openings")
    materials = {line.sku: line.material for line in plan.purchases if line.material is not None}
    for opening in plan.openings:
        yield from write_opening_plan(opening, plan.unit, materials)
    if plan.patterns:
        yield from write_heading("Cutting")
        yield from _write_patterns(plan)
    if plan.next_rack or plan.next_fasteners:
        yield from write_heading("On the rack next time")
        yield from write_next_rack(plan)
    if plan.fasteners:
        yield from write_heading("Fasteners")
        yield from _write_fasteners(plan)
    yield from write_list("Why, with the arithmetic", (say(r) for r in _in_full(plan)))
    yield from write_list("Cautions", (_word_caution(caution) for caution in plan.cautions))


def _in_full(plan: Plan) -> Iterator[Reason]:
    """Yield the reasons that are told in full: rules are told with the takeoff."""
    for reason in plan.reasons:
        if reason.code not in IN_SHORT and not isinstance(reason, RuleFired):
            yield reason


def _write_patterns(plan: Plan) -> Iterator[str]:
    rows = [
        (
            sheet.name,
            f"{sheet.bars:,}",
            f"offcut {sheet.sku}" if sheet.from_rack else sheet.sku,
            format_length(sheet.stock_nm, plan.unit),
            format_length(sheet.drop_nm, plan.unit),
            ", ".join(f"{n} × {format_length(nm, plan.unit)}" for nm, n in sheet.cuts),
        )
        for sheet in plan.patterns
    ]
    yield from write_table(
        ("Pattern", "Bars", "SKU", "Stock", "Drop", "Cuts from each bar"),
        rows,
        right=frozenset({1, 3, 4}),
    )


def _write_fasteners(plan: Plan) -> Iterator[str]:
    on_hand = any(supply.on_hand for supply in plan.fasteners)
    heading = ["Fastener", "By length", "By piece", "Needed", "In kits", "Loose", "Left over"]
    rows = [
        [
            str(supply.pool),
            f"{supply.need.by_running_length:,}",
            f"{supply.need.per_piece:,}",
            f"{supply.need.needed:,}",
            f"{sum(n * each for _, n, each in supply.kits):,}",
            f"{sum(n * each for _, n, each in supply.packs):,}",
            f"{supply.spare:,}",
        ]
        for supply in plan.fasteners
    ]
    if on_hand:
        heading.insert(-1, "On hand")
        for row, supply in zip(rows, plan.fasteners, strict=True):
            row.insert(-1, f"{supply.on_hand:,}")
    yield from write_table(heading, rows, right=frozenset(range(1, len(heading))))


def _word_caution(caution: Caution) -> str:
    where = f"{write_marks(caution.marks)}: " if caution.marks else ""
    return f"{where}{caution.sentence} ({caution.source})"
