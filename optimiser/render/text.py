"""A plan as plain text: what a buyer orders, what the bench cuts, and why."""

from collections.abc import Callable, Iterator
from decimal import Decimal

from optimiser.domain.phrases import write_count, write_marks
from optimiser.domain.plan import Alternative, PatternSheet, Plan, PurchaseKind, PurchaseLine
from optimiser.domain.reasons import Caution, Reason, RuleFired
from optimiser.render.openings import write_opening_plan
from optimiser.render.table import write_heading, write_item, write_list, write_table
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.money import format_money

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
    yield from _write_purchases(plan)
    yield from write_heading("In short")
    for reason in plan.reasons:
        if reason.code in IN_SHORT:
            yield from write_item(say(reason))
    yield from write_list("Before you order", (say(notice) for notice in plan.notices))
    yield from write_list("Other ways, priced", (say(other) for other in plan.alternatives))
    yield from write_heading("Openings")
    for opening in plan.openings:
        yield from write_opening_plan(opening, plan.unit)
    if plan.patterns:
        yield from write_heading("Cutting")
        yield from _write_patterns(plan.patterns, plan.unit)
    if plan.next_rack:
        yield from write_heading("On the rack next time")
        yield from _write_next_rack(plan)
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


def _write_purchases(plan: Plan) -> Iterator[str]:
    rows = [
        (
            f"{line.quantity:,}",
            line.sku,
            _bare_money(line.unit_price, plan.currency),
            _bare_money(line.amount, plan.currency),
            _describe_purchase(line, plan.unit),
        )
        for line in plan.purchases
    ]
    yield from write_table(
        ("Qty", "SKU", "Each", "Amount", "What"), rows, right=frozenset({0, 2, 3})
    )
    yield ""
    yield f"Total {format_money(plan.total, plan.currency)}"
    if plan.payable != plan.total:
        yield f"Paid to suppliers, freight included {format_money(plan.payable, plan.currency)}"


def _bare_money(amount: Decimal, currency: str) -> str:
    """Return the amount without its currency, which stands at the head of the plan."""
    return format_money(amount, currency).removeprefix(f"{currency} ")


def _describe_purchase(line: PurchaseLine, unit: LengthUnit) -> str:
    match line.kind:
        case PurchaseKind.STOCK_LENGTH:
            return f"stock length {format_length(line.length_nm or 0, unit)}, {line.material}"
        case PurchaseKind.FASTENER_PACK:
            return f"loose pack, {line.fastener}"
        case PurchaseKind.STANDARD_KIT:
            pieces = ", ".join(f"{n} × {format_length(nm, unit)}" for nm, n in line.lengths)
            return f"standard kit, {line.material}: {pieces}"
        case PurchaseKind.KIT:
            pieces = ", ".join(f"{n} × {format_length(nm, unit)}" for nm, n in line.lengths)
            kit = (
                "bare kit"
                if line.packs_per_kit is None
                else f"kit with {write_count(line.packs_per_kit, 'pack')} of {line.fastener}"
            )
            return f"{kit}, {line.material}: {pieces}; for {write_marks(line.made_for)}"


def _write_patterns(patterns: tuple[PatternSheet, ...], unit: LengthUnit) -> Iterator[str]:
    rows = [
        (
            sheet.name,
            f"{sheet.bars:,}",
            sheet.sku,
            format_length(sheet.stock_nm, unit),
            format_length(sheet.drop_nm, unit),
            ", ".join(f"{n} × {format_length(nm, unit)}" for nm, n in sheet.cuts),
        )
        for sheet in patterns
    ]
    yield from write_table(
        ("Pattern", "Bars", "SKU", "Stock", "Drop", "Cuts from each bar"),
        rows,
        right=frozenset({1, 3, 4}),
    )


def _write_next_rack(plan: Plan) -> Iterator[str]:
    rows = [
        (
            f"{kept.quantity:,}",
            format_length(kept.length_nm, plan.unit),
            _bare_money(kept.credit, plan.currency),
            kept.source,
            str(kept.material),
        )
        for kept in plan.next_rack
    ]
    yield from write_table(
        ("Qty", "Length", "Credit each", "From", "Material"), rows, right=frozenset({0, 1, 2})
    )


def _write_fasteners(plan: Plan) -> Iterator[str]:
    rows = [
        (
            str(supply.pool),
            f"{supply.need.by_running_length:,}",
            f"{supply.need.per_piece:,}",
            f"{supply.need.needed:,}",
            f"{sum(n * each for _, n, each in supply.kits):,}",
            f"{sum(n * each for _, n, each in supply.packs):,}",
            f"{supply.spare:,}",
        )
        for supply in plan.fasteners
    ]
    yield from write_table(
        ("Fastener", "By length", "By piece", "Needed", "In kits", "Loose", "Left over"),
        rows,
        right=frozenset(range(1, 7)),
    )


def _word_caution(caution: Caution) -> str:
    where = f"{write_marks(caution.marks)}: " if caution.marks else ""
    return f"{where}{caution.sentence} ({caution.source})"
