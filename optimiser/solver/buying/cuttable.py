"""What can be cut: whole from a bar or an offcut, or spliced where a rule allows it."""

from optimiser.domain.catalogue import Material
from optimiser.domain.concessions import SpliceRule
from optimiser.domain.order import Order
from optimiser.domain.splicing import segments_of
from optimiser.domain.takeoff import Demand


def longest_usable(order: Order) -> dict[Material, int]:
    """Return the longest piece that can be cut of each material."""
    longest: dict[Material, int] = {}
    for stock in order.catalogue.stock_lengths:
        usable = stock.length_nm - 2 * order.policy.end_trim_nm
        longest[stock.material] = max(longest.get(stock.material, 0), usable)
    for offcut in order.rack.offcuts:
        if offcut.quantity:
            longest[offcut.material] = max(longest.get(offcut.material, 0), offcut.length_nm)
    return longest


def find_cuttable(order: Order, demand: Demand) -> set[tuple[int, Material]]:
    """Return the pairs of a set and a material in which it can be cut, length by length."""
    if not order.policy.allow_cutting:
        return set()
    longest = longest_usable(order)
    found = set()
    for g, wanted in enumerate(demand.sets):
        own = wanted.piece_set.material
        stand_ins = [rule.instead for rule in order.policy.substitutions if rule.wanted == own]
        for material in (own, *stand_ins):
            usable = longest.get(material, 0)
            spliceable = spliceable_of(order, wanted.piece_set.spliceable, own, material)
            rule = splice_rule(order, material)
            if all(
                length_nm <= usable
                or (
                    rule is not None
                    and spliceable.get(length_nm, 0) >= count
                    and any(longer <= usable for longer, _ in segments_of(length_nm, rule))
                )
                for length_nm, count in wanted.piece_set.lengths
            ):
                found.add((g, material))
    return found


def splice_rule(order: Order, material: Material) -> SpliceRule | None:
    """Return the rule by which a material may be spliced."""
    for rule in order.policy.splices:
        if rule.product == material.product:
            return rule
    return None


def spliceable_of(
    order: Order, spliceable: tuple[tuple[int, int], ...], own: Material, cut_in: Material
) -> dict[int, int]:
    """Return the pieces of each length that may be spliced where a set is cut in a material."""
    return dict(spliceable) if own.product == cut_in.product else {}
