"""A buying order in the library's types."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import (
    BreakKind,
    CostRate,
    Freight,
    FreightBasis,
    FreightTier,
    KeptDrops,
    KitDiscount,
    OverLength,
    PriceBreak,
    WeightRate,
)
from optimiser.domain.catalogue import (
    Catalogue,
    Material,
    PackContents,
    StandardKit,
    StandardKitFasteners,
)
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order
from optimiser.domain.rack import FastenersOnHand, Offcut, Rack
from tests.oracle.buying_orders import BuyingOrder, FreightTerms, Terms
from tests.oracle.small_orders import NM_PER_SIXTEENTH, PRODUCT

GRAMS_PER_16_IN = 40
SUPPLIERS = ("Larkmoor Strip & Seal", "Larkmoor Trade Counter", "Larkmoor Mill Yard")


def money(cents: int) -> Decimal:
    return Decimal(cents) / 100


def to_order(buying: BuyingOrder) -> Order:
    """Return the same order in the library's types."""
    plain = buying.base.to_order()
    whole = plain.catalogues[0]
    stock = [
        replace(
            item,
            **_terms(terms),
            bars_per_unit=terms.bars,
            price=item.price,
        )
        for item, terms in zip(whole.stock_lengths, buying.bar_terms, strict=True)
    ]
    packs = [
        replace(item, **_terms(terms))
        for item, terms in zip(whole.fastener_packs, buying.pack_terms, strict=True)
    ]
    kits = [
        replace(
            item,
            least_quantity=terms.least,
            least_value=money(terms.least_cents),
            available=terms.available,
            discounts=tuple(
                KitDiscount(from_quantity=start, percent=Decimal(percent))
                for start, percent in terms.steps
            ),
            weight=WeightRate(grams=Fraction(GRAMS_PER_16_IN), per_nm=256 * NM_PER_SIXTEENTH),
        )
        for item, terms in zip(whole.kits, buying.kit_terms, strict=True)
    ]
    standard = [
        StandardKit(
            sku=f"LT-{number}",
            material=Material(PRODUCT, kit.finish),
            lengths=tuple(
                (length * NM_PER_SIXTEENTH, kit.lengths.count(length))
                for length in sorted(set(kit.lengths), reverse=True)
            ),
            price=money(kit.cents),
            fasteners=StandardKitFasteners(
                fastener="strip-nail",
                contents=PackContents(nominal=Fraction(kit.nails)),
                packs=1,
            )
            if kit.nails
            else None,
            least_quantity=kit.terms.least,
            least_value=money(kit.terms.least_cents),
            unit_weight_g=Fraction(kit.terms.grams),
        )
        for number, kit in enumerate(buying.standard, start=1)
    ]

    def of(supplier: int) -> Catalogue:
        def own(items: list, terms: list[Terms]) -> tuple:  # type: ignore[type-arg]
            return tuple(i for i, t in zip(items, terms, strict=True) if t.supplier == supplier)

        return Catalogue(
            supplier=SUPPLIERS[supplier],
            currency="USD",
            stock_lengths=own(stock, list(buying.bar_terms)),
            kits=own(kits, list(buying.kit_terms)),
            fastener_packs=own(packs, list(buying.pack_terms)),
            standard_kits=own(standard, [kit.terms for kit in buying.standard]),
            freight=_freight(buying.freight[supplier]),
            least_order=money(buying.least_order[supplier]),
        )

    count, cents = buying.on_hand
    return replace(
        plain,
        catalogues=tuple(of(supplier) for supplier in range(len(buying.freight))),
        rack=Rack(
            offcuts=tuple(
                Offcut(
                    id=f"R-{number}",
                    material=Material(PRODUCT, rest.finish),
                    length_nm=rest.length * NM_PER_SIXTEENTH,
                    quantity=rest.quantity,
                    value=money(rest.cents),
                )
                for number, rest in enumerate(buying.rack, start=1)
            ),
            fasteners=(FastenersOnHand(fastener="strip-nail", count=count, value=money(cents)),)
            if count
            else (),
        ),
        policy=replace(
            plain.policy,
            cut_charge=money(buying.cut_cents),
            keep_drops=None
            if buying.keep is None
            else KeptDrops(
                least_nm=buying.keep[0] * NM_PER_SIXTEENTH,
                credit=CostRate(
                    price=money(buying.keep[1]), per_nm=buying.keep[2] * NM_PER_SIXTEENTH
                ),
            ),
            substitutions=tuple(
                Substitution(
                    wanted=Material(PRODUCT, wanted),
                    instead=Material(PRODUCT, instead),
                    preference=money(preference),
                )
                for wanted, instead, preference in buying.substitutions
            ),
            splices=()
            if buying.splices is None
            else (
                SpliceRule(
                    product=PRODUCT,
                    edges=frozenset({Edge.HEAD, Edge.HINGE_JAMB, Edge.STRIKE_JAMB}),
                    least_segment_nm=buying.splices.least_segment * NM_PER_SIXTEENTH,
                    position_step_nm=buying.splices.step * NM_PER_SIXTEENTH,
                    least_head_nm=buying.splices.least_head * NM_PER_SIXTEENTH,
                    cost=money(buying.splices.cents),
                ),
            ),
        ),
    )


def _terms(terms: Terms) -> dict[str, object]:
    return {
        "least_quantity": terms.least,
        "least_value": money(terms.least_cents),
        "available": terms.available,
        "break_kind": BreakKind.INCREMENTAL if terms.incremental else BreakKind.ALL_UNITS,
        "breaks": tuple(
            PriceBreak(from_quantity=start, price=money(cents)) for start, cents in terms.steps
        ),
        "unit_weight_g": Fraction(terms.grams),
    }


def _freight(terms: FreightTerms | None) -> Freight | None:
    if terms is None:
        return None
    return Freight(
        basis=FreightBasis.VALUE if terms.by_value else FreightBasis.WEIGHT,
        tiers=tuple(
            FreightTier(
                from_amount=Fraction(start, 100) if terms.by_value else Fraction(start),
                charge=money(cents),
            )
            for start, cents in terms.tiers
        ),
        over_length=tuple(
            OverLength(longer_than_nm=limit * NM_PER_SIXTEENTH, surcharge=money(cents))
            for limit, cents in terms.over
        ),
        free_from=None if terms.free_from is None else money(terms.free_from),
    )
