"""Faults of the policy on cutting, drops, splices and substitutions."""

from collections.abc import Iterator
from fractions import Fraction

from optimiser.domain.buying import KeptDrops
from optimiser.domain.catalogue import StockLength
from optimiser.domain.concessions import SpliceRule
from optimiser.domain.faults import Fault
from optimiser.domain.order import Order
from optimiser.domain.repeats import find_repeated_products
from optimiser.units.lengths import format_length

FINEST_STEP_NM = 5_000_000
"""Joints closer together than 5 mm ask for thousands of lengths and gain nothing on site."""

SEGMENT_TOO_LONG = "segment-longer-than-bar"
NOT_OFFERED = "substitute-not-offered"

NEEDS_EVERY_ENTRY = frozenset((SEGMENT_TOO_LONG, NOT_OFFERED))
"""Codes of faults that say what is offered nowhere: they hold only where every entry of the
catalogues and the rack was looked at."""


def find_concession_faults(order: Order) -> tuple[Fault, ...]:
    """Return every fault of what the policy says on cutting, drops, joints and substitutions."""
    return (*_drops(order), *_splices(order), *_substitutions(order))


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
    for stock in order.catalogue.stock_lengths:
        if stock.length_nm > 0 and stock.bars_per_unit > 0:
            yield from _too_much_credit(order, keep, stock)


def _too_much_credit(order: Order, keep: KeptDrops, stock: StockLength) -> Iterator[Fault]:
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
            f"bar of SKU {stock.sku}, but a bar of it costs only {float(bar):.2f}; lower the "
            "credit, or it would pay to buy for the rack.",
        )


def _splices(order: Order) -> Iterator[Fault]:
    rules = order.policy.splices
    yield from find_repeated_products((n, rule.product) for n, rule in enumerate(rules))
    for n, rule in enumerate(rules):
        path = ("policy", "splices", n)
        for name, length_nm, least_nm in (
            ("least_segment", rule.least_segment_nm, 1),
            ("position_step", rule.position_step_nm, FINEST_STEP_NM),
            ("least_head", rule.least_head_nm, 0),
        ):
            if length_nm < least_nm:
                least = "more than 0" if least_nm == 1 else f"{_show(order, least_nm)} or more"
                yield Fault(
                    (*path, name),
                    "below-least",
                    f"Splices of {rule.product}: the {name.replace('_', ' ')} is "
                    f"{_show(order, length_nm)}; give {least}.",
                )
        if rule.cost < 0:
            yield Fault(
                (*path, "cost"),
                "negative-price",
                f"Splices of {rule.product}: the cost is {rule.cost}; give 0 or more.",
            )
        yield from _segment_too_long(order, n, rule)


def _segment_too_long(order: Order, n: int, rule: SpliceRule) -> Iterator[Fault]:
    """Yield a fault where no bar or offcut of the product is long enough for one segment."""
    trims_nm = 2 * max(order.policy.end_trim_nm, 0)
    bars_nm = [
        stock.length_nm - trims_nm
        for stock in order.catalogue.stock_lengths
        if stock.material.product == rule.product
    ]
    offcuts_nm = [o.length_nm for o in order.rack.offcuts if o.material.product == rule.product]
    longest_nm = max((*bars_nm, *offcuts_nm), default=0)
    if 0 < longest_nm < rule.least_segment_nm:
        yield Fault(
            ("policy", "splices", n, "least_segment"),
            SEGMENT_TOO_LONG,
            f"Splices of {rule.product}: the least segment is "
            f"{_show(order, rule.least_segment_nm)}, and no bar or offcut of it gives more than "
            f"{_show(order, longest_nm)}; give that or less, or add a longer stock length.",
        )


def _substitutions(order: Order) -> Iterator[Fault]:
    catalogue = order.catalogue
    offered = {
        item.material
        for items in (catalogue.stock_lengths, catalogue.kits, catalogue.standard_kits)
        for item in items
    } | {offcut.material for offcut in order.rack.offcuts}
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
        if rule.instead not in offered:
            yield Fault(
                (*path, "instead"),
                NOT_OFFERED,
                f"{rule.instead} instead of {rule.wanted}: neither a catalogue nor the rack offers "
                f"{rule.instead}; correct its product or finish, or remove the substitution.",
            )
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


def _show(order: Order, length_nm: int) -> str:
    return format_length(length_nm, order.unit)
