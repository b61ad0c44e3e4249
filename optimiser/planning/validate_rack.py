"""Faults of the rack, and of the policy on drops, splices and substitutions."""

from collections.abc import Iterator
from fractions import Fraction

from optimiser.domain.buying import KeptDrops
from optimiser.domain.catalogue import StockLength
from optimiser.domain.faults import Fault
from optimiser.domain.order import Order, articles_of
from optimiser.units.lengths import format_length

FINEST_STEP_NM = 5_000_000
"""Joints closer together than 5 mm ask for thousands of lengths and gain nothing on site."""


def find_rack_faults(order: Order) -> tuple[Fault, ...]:
    """Return every fault of the rack and of what the policy says on drops and joints."""
    return (
        *_offcuts(order),
        *_on_hand(order),
        *_drops(order),
        *_splices(order),
        *_substitutions(order),
    )


def _offcuts(order: Order) -> Iterator[Fault]:
    taken = {a.sku: "a SKU" for c in order.catalogues for a in articles_of(c)}
    for n, offcut in enumerate(order.rack.offcuts):
        path = ("rack", "offcuts", n)
        if offcut.id in taken:
            yield Fault(
                (*path, "id"),
                "repeated-id",
                f"Offcut {offcut.id} has the name of {taken[offcut.id]}; give it one of its own.",
            )
        taken.setdefault(offcut.id, "another offcut")
        for name, value, least in (
            ("length", offcut.length_nm, 1),
            ("quantity", offcut.quantity, 0),
            ("value", offcut.value, 0),
        ):
            if value < least:
                yield Fault(
                    (*path, name),
                    "below-least",
                    f"Offcut {offcut.id}: the {name} is {value}; give {least} or more.",
                )


def _on_hand(order: Order) -> Iterator[Fault]:
    seen = set()
    for n, held in enumerate(order.rack.fasteners):
        path = ("rack", "fasteners", n)
        key = (held.fastener, held.finish)
        if key in seen:
            yield Fault(
                (*path, "fastener"),
                "repeated-fastener",
                f"{held.fastener} on hand stands twice; give one entry with the whole count.",
            )
        seen.add(key)
        if held.count < 0 or held.value < 0:
            yield Fault(
                (*path, "count" if held.count < 0 else "value"),
                "below-least",
                f"{held.fastener} on hand: count {held.count}, value {held.value}; give 0 or more.",
            )
        if order.policy.fasteners_match_finish and held.finish is None:
            yield Fault(
                (*path, "finish"),
                "finish-missing",
                f"{held.fastener} on hand: the policy asks for fasteners that match the finish, "
                "but none is stated; give it, or set policy.fasteners_match_finish to false.",
            )


def _drops(order: Order) -> Iterator[Fault]:
    policy = order.policy
    if not policy.cut_charge.is_finite() or policy.cut_charge < 0:
        yield Fault(
            ("policy", "cut_charge"),
            "negative-price",
            f"The cut charge is {policy.cut_charge}; give 0 or more.",
        )
    keep = policy.keep_drops
    if keep is None:
        return
    if keep.credit.price < 0 or keep.credit.per_nm <= 0 or keep.least_nm < 0:
        yield Fault(
            ("policy", "keep_drops"),
            "below-least",
            "Kept drops: the least length and the credit must be 0 or more, for a length above 0.",
        )
        return
    for number, catalogue in enumerate(order.catalogues):
        for n, stock in enumerate(catalogue.stock_lengths):
            if stock.length_nm > 0 and stock.bars_per_unit > 0:
                yield from _too_much_credit(order, keep, number, n, stock)


def _too_much_credit(
    order: Order, keep: KeptDrops, number: int, n: int, stock: StockLength
) -> Iterator[Fault]:
    """Yield a fault where a bar would be credited with more than it costs."""
    lowest = min([stock.price, *(step.price for step in stock.breaks)])
    bar = Fraction(lowest) / stock.bars_per_unit
    credit = Fraction(keep.credit.price) * stock.length_nm / keep.credit.per_nm
    if credit > bar:
        yield Fault(
            ("policy", "keep_drops", "credit"),
            "credit-above-price",
            f"Drops are credited at {keep.credit.price} for "
            f"{format_length(keep.credit.per_nm, order.unit)}, which is {float(credit):.2f} for a "
            f"bar of SKU {stock.sku} (catalogues/{number}/stock_lengths/{n}), but a bar of it "
            f"costs only {float(bar):.2f}; lower the credit, or it would pay to buy for the rack.",
        )


def _splices(order: Order) -> Iterator[Fault]:
    seen = set()
    for n, rule in enumerate(order.policy.splices):
        path = ("policy", "splices", n)
        if rule.product in seen:
            yield Fault(
                (*path, "product"),
                "repeated-product",
                f"Splices of {rule.product} have two rules; give one.",
            )
        seen.add(rule.product)
        for name, value, least in (
            ("least_segment", rule.least_segment_nm, 1),
            ("position_step", rule.position_step_nm, FINEST_STEP_NM),
            ("least_head", rule.least_head_nm, 0),
            ("cost", rule.cost, 0),
        ):
            if value < least:
                least_text = f"{least}" if name == "cost" else format_length(least, order.unit)
                yield Fault(
                    (*path, name),
                    "below-least",
                    f"Splices of {rule.product}: the {name.replace('_', ' ')} is too small; "
                    f"give {least_text} or more.",
                )


def _substitutions(order: Order) -> Iterator[Fault]:
    seen = set()
    for n, rule in enumerate(order.policy.substitutions):
        path = ("policy", "substitutions", n)
        if rule.wanted == rule.instead or (rule.wanted, rule.instead) in seen:
            yield Fault(
                path,
                "repeated-substitution",
                f"{rule.instead} instead of {rule.wanted}: it stands twice, or is no change; "
                "remove it.",
            )
        seen.add((rule.wanted, rule.instead))
        if rule.preference < 0:
            yield Fault(
                (*path, "preference"),
                "negative-price",
                f"{rule.instead} instead of {rule.wanted}: the preference is {rule.preference}; "
                "give 0 or more.",
            )
        if order.policy.fasteners_match_finish and rule.wanted.finish != rule.instead.finish:
            yield Fault(
                path,
                "substitution-across-finishes",
                f"{rule.instead} instead of {rule.wanted}: the policy asks for fasteners that "
                "match the finish, and these differ; set policy.fasteners_match_finish to false, "
                "or remove the substitution.",
            )
