"""Ways of supply beside stock lengths, kits and packs: rack, standard kits, splices, stand-ins."""

from collections.abc import Iterator
from dataclasses import replace

from optimiser.domain.catalogue import Material, StandardKit
from optimiser.domain.decision import Restriction
from optimiser.domain.kit_offer import serves_from_standard
from optimiser.domain.order import Order
from optimiser.domain.splicing import segments_of
from optimiser.domain.takeoff import FastenerPool, SetDemand


class OtherWays:
    """What the rack, standard kits and the policy's concessions make possible."""

    def __init__(self, order: Order, restriction: Restriction) -> None:
        self._order, self._restriction = order, restriction
        self._rules = {rule.product: rule for rule in order.policy.splices}
        self._longest_nm: dict[Material, int] = {}
        for stock in order.catalogue.stock_lengths:
            self._raise(stock.material, stock.length_nm - 2 * order.policy.end_trim_nm)
        for offcut in order.rack.offcuts:
            if offcut.quantity:
                self._raise(offcut.material, offcut.length_nm)

    def _raise(self, material: Material, length_nm: int) -> None:
        self._longest_nm[material] = max(self._longest_nm.get(material, 0), length_nm)

    def longest_nm(self, material: Material) -> int:
        """Return the longest piece that can be cut from stock lengths or offcuts; 0 for none."""
        return self._longest_nm.get(material, 0)

    def can_cut(self, demand: SetDemand) -> bool:
        """Return whether every piece of a set fits a bar or an offcut, whole or spliced."""
        pieces = demand.piece_set
        usable_nm = self.longest_nm(pieces.material)
        rule = self._rules.get(pieces.material.product)
        spliceable = dict(pieces.spliceable)
        return usable_nm > 0 and all(
            length_nm <= usable_nm
            or (
                rule is not None
                and spliceable.get(length_nm, 0) >= count
                and any(longer <= usable_nm for longer, _ in segments_of(length_nm, rule))
            )
            for length_nm, count in pieces.lengths
        )

    def trims_standard_kit(self, demand: SetDemand) -> bool:
        """Return whether a standard kit that may be used serves a set."""
        return any(
            self._allows(kit) and serves_from_standard(kit, demand.piece_set)
            for kit in self._order.catalogue.standard_kits
            if kit.material == demand.piece_set.material
        )

    def _allows(self, kit: StandardKit) -> bool:
        if kit.fasteners is None:
            return self._restriction.bare_kits
        return self._restriction.kits_with_fasteners

    def instead(self, demand: SetDemand) -> Iterator[SetDemand]:
        """Yield a set as it would be in each material that may stand in for its own."""
        pieces = demand.piece_set
        for rule in self._order.policy.substitutions:
            if rule.wanted == pieces.material:
                same_product = rule.instead.product == pieces.material.product
                yield replace(
                    demand,
                    piece_set=replace(
                        pieces,
                        material=rule.instead,
                        spliceable=pieces.spliceable if same_product else (),
                    ),
                )

    def on_hand(self, pool: FastenerPool) -> int:
        """Return the fasteners of a pool that are on hand."""
        return sum(
            held.count
            for held in self._order.rack.fasteners
            if held.fastener == pool.fastener and pool.finish in {None, held.finish}
        )

    def standard_kit_brings(self, pool: FastenerPool) -> bool:
        """Return whether a standard kit that may be used brings fasteners of a pool."""
        if not (self._order.policy.allow_kits and self._restriction.kits_with_fasteners):
            return False
        return any(
            kit.fasteners is not None
            and kit.fasteners.fastener == pool.fastener
            and pool.finish in {None, kit.material.finish}
            for kit in self._order.catalogue.standard_kits
        )
