"""Random small orders in plain integers, and their translation into the library's types.

Lengths are whole sixteenths of an inch, prices whole cents. The sizes, prices and quantities
are invented. The plain integers are all that the independent models in this folder see.
"""

import random
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.catalogue import (
    Catalogue,
    FastenerPack,
    Kit,
    KitFasteners,
    KitPrice,
    Material,
    PackContents,
    PackRounding,
    StockLength,
)
from optimiser.domain.opening import MeetingStiles, Opening, OpeningKind
from optimiser.domain.order import FastenerCounting, Order, Policy

NM_PER_SIXTEENTH = 1_587_500
PRODUCT = "interlocking-strip"


@dataclass(frozen=True)
class Door:
    """`quantity` doors; a pair has two leaves and may have nested meeting members."""

    width: int
    height: int
    quantity: int
    finish: str
    spacing: int
    pair: bool = False
    nested: bool = False

    def pieces(self) -> list[int]:
        """Return the lengths of the pieces of one opening, by hand rule."""
        if not self.pair:
            return [self.height] * 3 + [self.width] * 2
        leaf = self.width // 2
        return [self.height] * 2 + [self.width, leaf, leaf] + [self.height] * (2 * int(self.nested))


@dataclass(frozen=True)
class Bar:
    """A stock length."""

    finish: str
    length: int
    cents: int
    multiple: int = 1


@dataclass(frozen=True)
class KitOffer:
    """A kit: price per set = base + per_inch × inches + per_piece × pieces + per_pack × packs."""

    finish: str
    base: int
    per_inch: int
    per_piece: int
    per_pack: int = 0
    spacing: int | None = None
    contents: int = 0
    rounding: str = "up"
    longest: int | None = None


@dataclass(frozen=True)
class Pack:
    """A pack of loose nails; `low` is what it holds at least."""

    contents: int
    cents: int
    multiple: int = 1
    tolerance: int = 0

    @property
    def low(self) -> int:
        """Return the count at the low end of the tolerance, rounded down."""
        return self.contents * (100 - self.tolerance) // 100


@dataclass(frozen=True)
class SmallOrder:
    """All that a model needs to know."""

    doors: tuple[Door, ...]
    bars: tuple[Bar, ...]
    kits: tuple[KitOffer, ...]
    packs: tuple[Pack, ...]
    kerf: int = 0
    trim: int = 0
    allowance: int = 0
    spares: int = 0
    per_piece: bool = False
    end_distance: int = 16
    flags: dict[str, bool] = field(default_factory=dict)

    def nails_needed(self) -> int:
        """Return the nails to have in hand, by hand arithmetic."""
        counted = 0
        for door in self.doors:
            if self.per_piece:
                each = sum(
                    max(2, -(-(length - 2 * self.end_distance) // door.spacing) + 1)
                    for length in door.pieces()
                )
            else:
                each = -(-sum(door.pieces()) // door.spacing)
            counted += each * door.quantity
        return -(-counted * (100 + self.allowance) // 100) + self.spares

    def kit_terms(self, door: Door, kit: KitOffer) -> tuple[int, int] | None:
        """Return (cents, nails) of one kit for one door, or `None` where it is not offered."""
        lengths = door.pieces()
        if kit.finish != door.finish or (kit.longest is not None and max(lengths) > kit.longest):
            return None
        packs = 0
        if kit.spacing is not None:
            share = Fraction(-(-sum(lengths) // kit.spacing), kit.contents)
            packs = {
                "up": -(-share.numerator // share.denominator),
                "down": share.numerator // share.denominator,
                "nearest": int(share + Fraction(1, 2)),
            }[kit.rounding]
        exact = (
            kit.base
            + Fraction(kit.per_inch * sum(lengths), 16)
            + kit.per_piece * len(lengths)
            + kit.per_pack * packs
        )
        return int(exact + Fraction(1, 2)), packs * kit.contents

    def to_order(self) -> Order:
        """Return the same order in the library's types."""
        return Order(
            openings=tuple(
                Opening(
                    mark=f"D-{number:02d}",
                    kind=OpeningKind.PAIR_OF_DOORS if door.pair else OpeningKind.SINGLE_DOOR,
                    width_nm=door.width * NM_PER_SIXTEENTH,
                    height_nm=door.height * NM_PER_SIXTEENTH,
                    quantity=door.quantity,
                    finish=door.finish,
                    fastener_spacing_nm=door.spacing * NM_PER_SIXTEENTH,
                    meeting_stiles=(
                        MeetingStiles.NESTED_MEMBERS if door.nested else MeetingStiles.BY_OTHERS
                    ),
                )
                for number, door in enumerate(self.doors, start=1)
            ),
            catalogues=(
                Catalogue(
                    supplier="Larkmoor Strip & Seal",
                    currency="USD",
                    stock_lengths=tuple(
                        StockLength(
                            sku=f"LS-{number}",
                            material=Material(PRODUCT, bar.finish),
                            length_nm=bar.length * NM_PER_SIXTEENTH,
                            price=Decimal(bar.cents) / 100,
                            sold_in_multiples_of=bar.multiple,
                        )
                        for number, bar in enumerate(self.bars, start=1)
                    ),
                    kits=tuple(_kit(number, kit) for number, kit in enumerate(self.kits, start=1)),
                    fastener_packs=tuple(
                        FastenerPack(
                            sku=f"LN-{number}",
                            fastener="strip-nail",
                            contents=PackContents(
                                nominal=Fraction(pack.contents),
                                tolerance_percent=Decimal(pack.tolerance),
                            ),
                            price=Decimal(pack.cents) / 100,
                            sold_in_multiples_of=pack.multiple,
                        )
                        for number, pack in enumerate(self.packs, start=1)
                    ),
                ),
            ),
            policy=Policy(
                kerf_nm=self.kerf * NM_PER_SIXTEENTH,
                end_trim_nm=self.trim * NM_PER_SIXTEENTH,
                fastener_counting=(
                    FastenerCounting.PER_PIECE
                    if self.per_piece
                    else FastenerCounting.RUNNING_LENGTH
                ),
                end_distance_nm=self.end_distance * NM_PER_SIXTEENTH,
                fastener_allowance_percent=Decimal(self.allowance),
                spare_fasteners=self.spares,
                alternatives=False,
                time_limit_seconds=60,
            ),
        )


def _kit(number: int, kit: KitOffer) -> Kit:
    return Kit(
        sku=f"LK-{number}",
        material=Material(PRODUCT, kit.finish),
        price=KitPrice(
            base=Decimal(kit.base) / 100,
            per_length=Decimal(kit.per_inch) / 100,
            per_length_nm=16 * NM_PER_SIXTEENTH,
            per_piece=Decimal(kit.per_piece) / 100,
            per_pack=Decimal(kit.per_pack) / 100,
        ),
        fasteners=(
            None
            if kit.spacing is None
            else KitFasteners(
                fastener="strip-nail",
                spacing_nm=kit.spacing * NM_PER_SIXTEENTH,
                contents=PackContents(nominal=Fraction(kit.contents)),
                rounding=PackRounding(kit.rounding),
            )
        ),
        longest_piece_nm=None if kit.longest is None else kit.longest * NM_PER_SIXTEENTH,
    )


def draw_small_order(seed: int, *, tiny: bool = False) -> SmallOrder:
    """Return a small order that some plan can serve; `tiny` suits exhaustive search."""
    draw = random.Random(seed)
    finishes = ("zinc",) if tiny or draw.random() < 0.6 else ("zinc", "bronze")
    doors = tuple(
        Door(
            width=16 * draw.choice((28, 30, 32, 36)) + draw.choice((0, 0, 0, 6, 14)),
            height=16 * draw.choice((66, 78, 80)) + draw.choice((0, 0, 4)),
            quantity=1 if tiny else draw.randint(1, 3),
            finish=draw.choice(finishes),
            spacing=draw.choice((24, 32, 48, 96)),
            pair=(pair := not tiny and draw.random() < 0.3),
            nested=pair and draw.random() < 0.5,
        )
        for _ in range(draw.randint(1, 2 if tiny else 3))
    )
    lengths = draw.sample((84, 96, 108, 120, 144, 168), 2 if tiny else draw.randint(2, 3))
    bars = tuple(
        Bar(
            finish=finish,
            length=16 * length,
            cents=11 * length + draw.randint(-120, 160),
            multiple=1 if tiny else draw.choice((1, 1, 1, 2, 5)),
        )
        for finish in finishes
        for length in lengths
    )
    kits: list[KitOffer] = []
    for finish in finishes:
        if draw.random() < 0.75:
            rates = (draw.randint(0, 900), draw.randint(9, 13), draw.randint(0, 60))
            longest = 16 * 80 if draw.random() < 0.2 else None
            kits.append(KitOffer(finish, *rates, longest=longest))
            kits.append(
                KitOffer(
                    finish,
                    *rates,
                    per_pack=draw.randint(120, 330),
                    spacing=24,
                    contents=draw.choice((50, 65)),
                    rounding=draw.choice(("up", "up", "down", "nearest")),
                    longest=longest,
                )
            )
    packs = tuple(
        Pack(
            contents=contents,
            cents=round(contents * draw.uniform(3.2, 5.0)),
            multiple=1 if tiny else draw.choice((1, 1, 3)),
            tolerance=draw.choice((0, 0, 5)),
        )
        for contents in draw.sample((65, 130, 500), draw.randint(1, 2))
    )
    return SmallOrder(
        doors=doors,
        bars=bars,
        kits=tuple(kits),
        packs=packs,
        kerf=draw.choice((0, 0, 1, 2)),
        trim=draw.choice((0, 0, 2)),
        allowance=draw.choice((0, 0, 5)),
        spares=draw.choice((0, 0, 10)),
        per_piece=draw.random() < 0.3,
    )
