"""Random orders with every term of buying: each is switched on or off by the seed.

Small ones suit a model, tiny ones exhaustive search. All sizes, prices and terms are invented.
"""

import random
from dataclasses import replace

from tests.oracle.buying_orders import (
    FEATURES,
    BuyingOrder,
    FreightTerms,
    Rest,
    SpliceTerms,
    Standard,
    Terms,
)
from tests.oracle.small_orders import SmallOrder, draw_small_order


def draw_buying_order(seed: int, *, features: tuple[str, ...] | None = None) -> BuyingOrder:
    """Return an order with some terms switched on; `features` names which ones instead."""
    draw = random.Random(seed * 7919 + 13)
    base = draw_small_order(seed % 997)
    on = frozenset(
        features if features is not None else [f for f in FEATURES if draw.random() < 0.35]
    )
    # Every length that may be spliced brings a dozen more: one door has mostly enough of them.
    one = "splices" in on and seed % 5 != 0
    base = replace(base, doors=base.doors[: 1 if one else 2])
    return _draw_terms_of(draw, on, base)


def draw_tiny_buying_order(seed: int, *, features: tuple[str, ...] | None = None) -> BuyingOrder:
    """Return an order of one or two single doors, a few articles, and low thresholds."""
    draw = random.Random(seed * 6007 + 29)
    base = draw_small_order(seed, tiny=True)
    on = frozenset(
        features if features is not None else [f for f in FEATURES if draw.random() < 0.35]
    )
    bars = base.bars
    if "substitution" in on:
        bars = (bars[0], *(replace(bar, finish="bronze") for bar in bars))
        bars = tuple(replace(bar, cents=bar.cents + draw.randint(-150, 150)) for bar in bars)
    one = "splices" in on or draw.random() < 0.4
    base = replace(base, doors=base.doors[: 1 if one else 2], bars=bars)
    order = _draw_terms_of(draw, on, base)
    splices = order.splices
    if splices is not None:
        splices = replace(splices, step=16 * draw.choice((20, 24, 27, 30)))
    if "available" in on and draw.random() < 0.4:
        # So little that some orders have no plan.
        order = replace(
            order,
            bar_terms=tuple(_limit(draw, terms, 3) for terms in order.bar_terms),
            pack_terms=tuple(_limit(draw, terms, 1) for terms in order.pack_terms),
        )
    return replace(
        order,
        splices=splices,
        least_order=tuple(min(cents, 6_000) for cents in order.least_order),
        freight=tuple(
            replace(f, free_from=min(f.free_from, draw.randint(3_000, 8_000)))
            if f is not None and f.free_from is not None
            else f
            for f in order.freight
        ),
    )


def _limit(draw: random.Random, terms: Terms, most: int) -> Terms:
    # Fewer than the least would be a fault of the order.
    return replace(terms, available=max(terms.least, draw.randint(1, most)))


def _draw_terms_of(draw: random.Random, on: frozenset[str], base: SmallOrder) -> BuyingOrder:
    suppliers = 2 if "suppliers" in on else 1
    sizes = [draw.choice((1, 2, 3)) if "bundles" in on else 1 for _ in base.bars]
    base = replace(
        base,
        bars=tuple(
            replace(bar, cents=bar.cents * size) for bar, size in zip(base.bars, sizes, strict=True)
        ),
    )
    order = BuyingOrder(
        base=base,
        bar_terms=tuple(
            replace(
                _draw_terms(draw, on, bar.cents, suppliers, grams=bar.length // 4, bar=True),
                bars=size,
            )
            for bar, size in zip(base.bars, sizes, strict=True)
        ),
        pack_terms=tuple(
            _draw_terms(draw, on, pack.cents, suppliers, grams=pack.contents) for pack in base.packs
        ),
        kit_terms=tuple(_draw_kit_terms(draw, on, suppliers) for _ in base.kits),
        freight=tuple(_draw_freight(draw, on) for _ in range(suppliers)),
        least_order=tuple(
            draw.choice((0, 3_000, 20_000)) if "least-order" in on else 0 for _ in range(suppliers)
        ),
        on=on,
    )
    return _draw_rest(draw, on, order, suppliers)


def _draw_terms(
    draw: random.Random,
    on: frozenset[str],
    cents: int,
    suppliers: int,
    *,
    grams: int,
    bar: bool = False,
) -> Terms:
    steps: tuple[tuple[int, int], ...] = ()
    if "breaks" in on and draw.random() < 0.7:
        first = draw.randint(2, 6)
        steps = ((first, cents * draw.randint(80, 97) // 100),)
        if draw.random() < 0.5:
            steps += ((first + draw.randint(1, 6), cents * draw.randint(60, 79) // 100),)
    if "rising" in on:
        # A price that rises with the quantity, each unit at its own: common with scarce goods.
        steps = ((2, cents * 130 // 100),)
    limited = "available" in on and draw.random() < 0.5
    return Terms(
        least_cents=_draw_least_cents(draw, on),
        least=draw.randint(2, 5) if "least" in on and draw.random() < 0.5 else 1,
        # Loose nails stay without limit, so that every order can be served.
        available=draw.randint(6, 12) if limited and bar else None,
        incremental=draw.random() < 0.5 or "rising" in on,
        steps=steps,
        grams=grams,
        supplier=draw.randrange(suppliers),
    )


def _draw_kit_terms(draw: random.Random, on: frozenset[str], suppliers: int) -> Terms:
    steps: tuple[tuple[int, int], ...] = ()
    if "discounts" in on:
        steps = ((draw.randint(2, 3), draw.choice((5, 10, 33))),)
    if "rising" in on:
        steps = ((2, 40), (3, 5))
    least = 2 if "least" in on and draw.random() < 0.5 else 1
    # Fewer than the least would be a fault of the order.
    available = draw.randint(1, 4) if "available" in on and draw.random() < 0.5 else None
    return Terms(
        least_cents=_draw_least_cents(draw, on),
        least=least,
        available=None if available is None else max(available, least),
        steps=steps,
        supplier=draw.randrange(suppliers),
    )


def _draw_least_cents(draw: random.Random, on: frozenset[str]) -> int:
    if "least-value" not in on or draw.random() < 0.4:
        return 0
    return draw.randint(1_500, 6_000)


def _draw_freight(draw: random.Random, on: frozenset[str]) -> FreightTerms | None:
    if not on & {"freight", "free", "over-length"}:
        return None
    by_value = draw.random() < 0.5
    second = draw.randint(1_500, 9_000) if by_value else draw.randint(400, 4_000)
    tiers: tuple[tuple[int, int], ...] = ((0, draw.randint(0, 900)),)
    if "freight" in on:
        tiers += ((second, draw.randint(500, 2_500)), (3 * second, draw.randint(1_000, 4_000)))
    return FreightTerms(
        by_value=by_value,
        tiers=tiers,
        over=((16 * draw.choice((96, 110, 130)), draw.randint(300, 3_000)),)
        if "over-length" in on
        else (),
        free_from=draw.randint(3_000, 20_000) if "free" in on else None,
    )


def _draw_rest(
    draw: random.Random, on: frozenset[str], order: BuyingOrder, suppliers: int
) -> BuyingOrder:
    base = order.base
    finishes = sorted({door.finish for door in base.doors})
    standard = ()
    if "standard" in on:
        standard = tuple(
            Standard(
                finish=finish,
                lengths=(16 * 84, 16 * 84, 16 * 84, 16 * 36, 16 * 36),
                cents=draw.randint(2_500, 4_500),
                nails=draw.choice((0, 130)),
                terms=Terms(
                    least=draw.choice((1, 2)), grams=700, supplier=draw.randrange(suppliers)
                ),
            )
            for finish in finishes
        )
    keep = None
    if "credit" in on:
        # Below any bar's price for its length: about 6 cents an inch at the least.
        keep = (16 * draw.choice((6, 20, 40)), draw.randint(1, 3), 16)
    rack = ()
    if "rack" in on:
        rack = tuple(
            Rest(
                finish=draw.choice(finishes),
                length=16 * draw.choice((37, 50, 81, 90)) + draw.randint(0, 8),
                quantity=draw.randint(1, 3),
                cents=draw.choice((0, 50, 400)),
            )
            for _ in range(draw.randint(1, 2))
        )
    substitutions: tuple[tuple[str, str, int], ...] = ()
    others = sorted({bar.finish for bar in base.bars})
    if "substitution" in on and len(others) > 1:
        substitutions = ((others[0], others[1], draw.choice((0, 100, 900))),)
        if draw.random() < 0.5:
            substitutions += ((others[1], others[0], draw.choice((0, 100, 900))),)
    splices = None
    if "splices" in on:
        splices = SpliceTerms(
            least_segment=16 * draw.choice((12, 20)),
            step=16 * draw.choice((8, 10, 15, 20, 24)),
            least_head=16 * draw.choice((0, 36, 48)),
            cents=draw.choice((0, 50, 300)),
        )
    return replace(
        order,
        standard=standard,
        keep=keep,
        rack=rack,
        on_hand=(draw.randint(20, 300), draw.choice((0, 1, 6))) if "on-hand" in on else (0, 0),
        cut_cents=draw.choice((10, 75)) if "cut-charge" in on else 0,
        substitutions=substitutions,
        splices=splices,
    )
