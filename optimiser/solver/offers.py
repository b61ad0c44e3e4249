"""The kit offers of each piece set that are worth a column.

Of two offers that bring the same fasteners the dearer is left out, and a bare kit that costs no
less than one with fasteners too. Where a bare kit and a dearer one with fasteners remain, the
second is written as an upgrade of the first.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.catalogue import Catalogue, Kit
from optimiser.domain.decision import Restriction
from optimiser.domain.kit_offer import KitQuote, quote_kit
from optimiser.domain.order import Policy
from optimiser.domain.takeoff import Demand, FastenerPool, SetDemand, pool_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A kit with its quote for one set."""

    kit: Kit
    quote: KitQuote

    def pool(self, policy: Policy) -> FastenerPool | None:
        """Return the pool that the kit's fasteners serve; `None` for a bare kit."""
        kit = self.kit
        if kit.fasteners is None:
            return None
        return pool_of(kit.fasteners.fastener, kit.material.finish, policy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Upgrade:
    """A kit with fasteners as a bare kit (of SKU `bare`) and an extra price."""

    bare: str
    offer: Offer
    extra: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOffers:
    """The offers of one set: a column for each of `kept`, and the upgrade of one of them."""

    kept: tuple[Offer, ...]
    upgrade: Upgrade | None = None


def gather_offers(
    demand: Demand, catalogue: Catalogue, policy: Policy, restriction: Restriction
) -> tuple[SetOffers, ...]:
    """Return the offers of each set, in the order of the demand."""
    if not policy.allow_kits:
        return tuple(SetOffers(kept=()) for _ in demand.sets)
    kits = sorted(catalogue.kits, key=lambda kit: kit.sku)
    return tuple(
        sift_offers(
            [
                Offer(kit=kit, quote=quote_kit(kit, wanted.piece_set, catalogue.currency))
                for kit in kits
                if _serves(kit, wanted, restriction)
            ]
        )
        for wanted in demand.sets
    )


def _serves(kit: Kit, wanted: SetDemand, restriction: Restriction) -> bool:
    bare = kit.fasteners is None
    longest_nm = wanted.piece_set.lengths[0][0]
    return (
        (restriction.bare_kits if bare else restriction.kits_with_fasteners)
        and kit.material == wanted.piece_set.material
        and (kit.longest_piece_nm is None or longest_nm <= kit.longest_piece_nm)
    )


def sift_offers(offers: Sequence[Offer]) -> SetOffers:
    """Return the offers for one set that are worth a column; all are of one supplier."""
    cheapest: dict[tuple[str, int], Offer] = {}
    for offer in offers:
        brought = offer.quote.fasteners_low
        fastener = offer.kit.fasteners.fastener if offer.kit.fasteners and brought else ""
        key = (fastener, brought)
        if key not in cheapest or offer.quote.unit_price < cheapest[key].quote.unit_price:
            cheapest[key] = offer
    bare = cheapest.pop(("", 0), None)
    stocked = sorted(cheapest.values(), key=lambda o: (o.quote.unit_price, o.kit.sku))
    if bare is None:
        return SetOffers(kept=tuple(stocked))
    if stocked and stocked[0].quote.unit_price <= bare.quote.unit_price:
        return SetOffers(kept=tuple(stocked))
    if not stocked:
        return SetOffers(kept=(bare,))
    first, *others = stocked
    return SetOffers(
        kept=(bare, *others),
        upgrade=Upgrade(
            bare=bare.kit.sku,
            offer=first,
            extra=first.quote.unit_price - bare.quote.unit_price,
        ),
    )
