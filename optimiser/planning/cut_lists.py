"""What supplies each mark, and what is cut for it: counted things shared out by mark."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from optimiser.domain.catalogue import Material, StandardKit
from optimiser.domain.concessions import SpliceRule
from optimiser.domain.decision import Decision
from optimiser.domain.order import Order
from optimiser.domain.plan import CutListLine, OpeningPlan, PatternSheet, SetSupply
from optimiser.domain.splicing import may_splice
from optimiser.domain.takeoff import OpeningTakeoff, Piece, Takeoff
from optimiser.domain.trimming import TrimLine, pair_longest


class Allotment:
    """Hands out counted things in a fixed order, as many at a time as are asked for."""

    def __init__(self, stacks: Iterable[tuple[str, int]]) -> None:
        self._stacks = [(name, count) for name, count in stacks if count]
        self._stacks.reverse()

    def take(self, wanted: int) -> tuple[tuple[str, int], ...]:
        """Return up to `wanted` things as (name, count), less when the stacks run out."""
        taken: list[tuple[str, int]] = []
        while wanted and self._stacks:
            name, left = self._stacks.pop()
            count = min(wanted, left)
            taken.append((name, count))
            wanted -= count
            if count < left:
                self._stacks.append((name, left - count))
        return tuple(taken)


Key = tuple[Material, int]
Segments = tuple[int, int]


def plan_openings(
    order: Order, takeoff: Takeoff, decision: Decision, patterns: tuple[PatternSheet, ...]
) -> tuple[OpeningPlan, ...]:
    """Return each mark with its supply and its cut list, in the order of the takeoff."""
    supply_of = share_supplies(takeoff, decision)
    yields: dict[Key, list[tuple[str, int]]] = defaultdict(list)
    for sheet in patterns:
        for length_nm, count in sheet.cuts:
            yields[sheet.material, length_nm].append((sheet.name, count * sheet.bars))
    writer = _CutListWriter(
        {key: Allotment(stacks) for key, stacks in yields.items()},
        _spliced(decision),
        {rule.product: rule for rule in order.policy.splices},
    )
    standard = {kit.sku: kit for kit in order.catalogue.standard_kits}
    return tuple(
        OpeningPlan(
            takeoff=opening,
            supplies=tuple(supply_of[opening.opening.mark].values()),
            cut_list=tuple(writer.list_cuts(opening, supply_of[opening.opening.mark])),
            trim_list=tuple(
                _list_trims(opening, supply_of[opening.opening.mark].values(), standard)
            ),
        )
        for opening in takeoff.openings
    )


def _spliced(decision: Decision) -> dict[Key, list[tuple[Segments, int]]]:
    spliced: dict[Key, list[tuple[Segments, int]]] = defaultdict(list)
    for splice in decision.splices:
        spliced[splice.material, splice.length_nm].append((splice.segments_nm, splice.pieces))
    return spliced


def share_supplies(takeoff: Takeoff, decision: Decision) -> dict[str, dict[Material, SetSupply]]:
    """Share the services of each piece set among its marks: in the order of the marks."""
    shared: dict[str, dict[Material, SetSupply]] = defaultdict(dict)
    for set_demand, supply in zip(takeoff.demand.sets, decision.supplies, strict=True):
        material = set_demand.piece_set.material
        materials = {str(other): other for other, _ in supply.cut_instead}
        kits, standard = Allotment(supply.kits), Allotment(supply.standard_kits)
        instead = Allotment((str(other), number) for other, number in supply.cut_instead)
        for mark, quantity in set_demand.marks:
            left = quantity
            taken = []
            for allotment in (kits, standard, instead):
                taken.append(allotment.take(left))
                left -= sum(count for _, count in taken[-1])
            shared[mark][material] = SetSupply(
                material=material,
                kits=taken[0],
                cut=left,
                standard_kits=taken[1],
                cut_instead=tuple((materials[name], count) for name, count in taken[2]),
            )
    return shared


def _list_trims(
    opening: OpeningTakeoff, supplies: Iterable[SetSupply], standard: dict[str, StandardKit]
) -> Iterator[TrimLine]:
    """Yield what is trimmed from standard kits: by material and kit, in the order of the rules."""
    for supply in supplies:
        pieces = tuple(piece for piece in opening.pieces if piece.material == supply.material)
        for sku, openings in supply.standard_kits:
            for piece, lengths in pair_longest(pieces, standard[sku]):
                for held_nm, count in lengths:
                    yield TrimLine(
                        label=_label(opening.opening.mark, piece),
                        edge=piece.edge,
                        member=piece.member,
                        lies_on=piece.lies_on,
                        sku=sku,
                        material=standard[sku].material,
                        held_nm=held_nm,
                        length_nm=piece.length_nm,
                        pieces=count * openings,
                    )


def _label(mark: str, piece: Piece) -> str:
    return f"{mark} {piece.edge.value.replace('-', ' ')}, {piece.member}"


class _CutListWriter:
    def __init__(
        self,
        allotments: dict[Key, Allotment],
        spliced: dict[Key, list[tuple[Segments, int]]],
        rules: dict[str, SpliceRule],
    ) -> None:
        self.allotments, self.spliced, self.rules = allotments, spliced, rules

    def list_cuts(
        self, opening: OpeningTakeoff, supplies: dict[Material, SetSupply]
    ) -> Iterator[CutListLine]:
        mark = opening.opening.mark
        for piece in opening.pieces:
            supply = supplies[piece.material]
            for material, openings in ((piece.material, supply.cut), *supply.cut_instead):
                if openings:
                    yield from self._cut(mark, piece, material, piece.count * openings)

    def _cut(
        self, mark: str, piece: Piece, material: Material, pieces: int
    ) -> Iterator[CutListLine]:
        label = _label(mark, piece)
        spliced = list(self._take_spliced(piece, material, pieces))
        whole = pieces - sum(number for _, number in spliced)
        if whole:
            yield self._line(piece, material, label, piece.length_nm, whole)
        for segments, number in spliced:
            for position, length_nm in enumerate(segments, start=1):
                yield self._line(
                    piece,
                    material,
                    f"{label}, segment {position} of 2",
                    length_nm,
                    number,
                    segment_of_nm=piece.length_nm,
                )

    def _take_spliced(
        self, piece: Piece, material: Material, pieces: int
    ) -> Iterator[tuple[Segments, int]]:
        """Take splices for a piece that allows them, as long as any are left."""
        rule = self.rules.get(piece.material.product)
        left = self.spliced.get((material, piece.length_nm), [])
        if rule is None or not left or material.product != piece.material.product:
            return
        if not may_splice(piece, rule):
            return
        while pieces and left:
            segments, number = left.pop(0)
            taken = min(number, pieces)
            pieces -= taken
            if taken < number:
                left.insert(0, (segments, number - taken))
            yield segments, taken

    def _line(
        self,
        piece: Piece,
        material: Material,
        label: str,
        length_nm: int,
        pieces: int,
        *,
        segment_of_nm: int | None = None,
    ) -> CutListLine:
        return CutListLine(
            label=label,
            edge=piece.edge,
            member=piece.member,
            lies_on=piece.lies_on,
            material=material,
            length_nm=length_nm,
            pieces=pieces,
            from_patterns=self.allotments[material, length_nm].take(pieces),
            segment_of_nm=segment_of_nm,
        )
