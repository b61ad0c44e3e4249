"""Every pattern fits its stock length, and every cut piece is cut exactly once."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.domain.catalogue import Material
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order
from optimiser.domain.plan import CutListLine, OpeningPlan, PatternSheet, Plan
from optimiser.domain.takeoff import LiesOn, Piece

_Place = tuple[Edge, str, LiesOn, Material, int]
"""Where a piece lies: edge, member, what it lies on, material and length."""


def check_cuts(order: Order, plan: Plan) -> Iterator[str]:
    """Yield patterns that do not fit or add up, and pieces cut too often or too seldom."""
    trims_nm = 2 * order.policy.end_trim_nm
    stock = {
        item.sku: _Bar(item.material, item.length_nm, trims_nm)
        for item in order.catalogue.stock_lengths
    }
    offcuts = {item.id: _Bar(item.material, item.length_nm, 0) for item in order.rack.offcuts}
    for sheet in plan.patterns:
        bars = offcuts if sheet.from_rack else stock
        yield from _check_sheet(order, sheet, bars.get(sheet.sku))
    yield from _check_sheets_decided(plan)
    yield from _check_pieces(plan)
    yield from _check_cut_lists(plan)


@dataclass(frozen=True, slots=True)
class _Bar:
    """What a pattern is cut from; no end trim is taken off an offcut."""

    material: Material
    length_nm: int
    trims_nm: int


def _check_sheet(order: Order, sheet: PatternSheet, stock: _Bar | None) -> Iterator[str]:
    name = f"Pattern {sheet.name}"
    if stock is None:
        where = "on the rack" if sheet.from_rack else "in the catalogue"
        what = "offcut" if sheet.from_rack else "stock length"
        yield f"{name}: its {what} {sheet.sku} is not {where}."
        return
    trims_nm = stock.trims_nm
    for what, value, expected in (
        ("material", sheet.material, stock.material),
        ("stock", sheet.stock_nm, stock.length_nm),
        ("end trim", sheet.end_trim_nm, trims_nm),
    ):
        if value != expected:
            yield f"{name}, {what}: {value}, expected {expected}."
    if sheet.bars < 1:
        yield f"{name}, bars: {sheet.bars}, expected 1 or more."
    if not sheet.cuts or any(length_nm < 1 or count < 1 for length_nm, count in sheet.cuts):
        yield f"{name}: cuts {sheet.cuts}, expected lengths and counts above 0."
    if len({length_nm for length_nm, _ in sheet.cuts}) != len(sheet.cuts):
        yield f"{name}: cuts {sheet.cuts}, expected each length once."
    pieces = sum(count for _, count in sheet.cuts)
    pieces_nm = sum(length_nm * count for length_nm, count in sheet.cuts)
    least_kerf_nm = (pieces - 1) * order.policy.kerf_nm
    usable_nm = stock.length_nm - trims_nm
    if pieces_nm + least_kerf_nm > usable_nm:
        yield (
            f"{name}: pieces and kerfs take {pieces_nm + least_kerf_nm} nm, "
            f"expected {usable_nm} nm at most."
        )
    accounted_nm = pieces_nm + sheet.kerf_nm + sheet.end_trim_nm + sheet.drop_nm
    if accounted_nm != sheet.stock_nm:
        yield (
            f"{name}: pieces, kerf, end trim and drop add up to {accounted_nm} nm, "
            f"expected {sheet.stock_nm} nm."
        )
    if sheet.drop_nm < 0:
        yield f"{name}, drop: {sheet.drop_nm} nm, expected 0 or more."
    # A drop is parted from the last piece by a cut of its own; without one, the last piece may
    # end the bar, or what is left be narrower than the saw.
    full_kerf_nm = pieces * order.policy.kerf_nm
    lowest_nm = full_kerf_nm if sheet.drop_nm > 0 else least_kerf_nm
    if not lowest_nm <= sheet.kerf_nm <= full_kerf_nm:
        expected_kerf = (
            f"{full_kerf_nm} nm" if sheet.drop_nm > 0 else f"{least_kerf_nm} to {full_kerf_nm} nm"
        )
        yield f"{name}, kerf: {sheet.kerf_nm} nm, expected {expected_kerf}."


def _check_sheets_decided(plan: Plan) -> Iterator[str]:
    for name, times in Counter(sheet.name for sheet in plan.patterns).items():
        if times != 1:
            yield f"Pattern {name}: the name stands {times} times, expected once."
    shown: Counter[tuple[str, tuple[tuple[int, int], ...]]] = Counter()
    for sheet in plan.patterns:
        shown[sheet.sku, tuple(sorted(sheet.cuts))] += sheet.bars
    decided: Counter[tuple[str, tuple[tuple[int, int], ...]]] = Counter()
    for pattern in plan.decision.patterns:
        decided[pattern.sku, tuple(sorted(pattern.cuts))] += pattern.bars
    for sku, cuts in sorted({*shown, *decided}):
        if shown[sku, cuts] != decided[sku, cuts]:
            yield (
                f"Pattern {cuts} of {sku}: {shown[sku, cuts]} bars shown, "
                f"expected {decided[sku, cuts]} as decided."
            )


def _check_pieces(plan: Plan) -> Iterator[str]:
    """Yield the lengths of which the patterns give more or fewer than the cut openings need."""
    # Alike openings share their pieces: their numbers are added up before the pieces are.
    cut: dict[tuple[int, Material], dict[Material, int]] = defaultdict(lambda: defaultdict(int))
    pieces: dict[int, tuple[Piece, ...]] = {}
    for opening in plan.openings:
        pieces[id(opening.takeoff.pieces)] = opening.takeoff.pieces
        for supply in opening.supplies:
            of_set = cut[id(opening.takeoff.pieces), supply.material]
            for material, number in ((supply.material, supply.cut), *supply.cut_instead):
                of_set[material] += number
    needed: dict[tuple[Material, int], int] = defaultdict(int)
    for shared, of_opening in pieces.items():
        for piece in of_opening:
            for material, number in cut.get((shared, piece.material), {}).items():
                needed[material, piece.length_nm] += piece.count * number
    for splice in plan.decision.splices:
        needed[splice.material, splice.length_nm] -= splice.pieces
        for segment_nm in splice.segments_nm:
            needed[splice.material, segment_nm] += splice.pieces
    given: dict[tuple[Material, int], int] = defaultdict(int)
    for sheet in plan.patterns:
        for length_nm, count in sheet.cuts:
            given[sheet.material, length_nm] += count * sheet.bars
    for material, length_nm in sorted({*needed, *given}):
        key = material, length_nm
        if given[key] != needed[key]:
            yield (
                f"Pieces of {length_nm} nm in {material}: {given[key]} cut, expected {needed[key]}."
            )


def _cut_by_material(opening: OpeningPlan) -> dict[Material, dict[Material, int]]:
    """Return the openings cut, by the material that is wanted and the one that is cut."""
    cut: dict[Material, dict[Material, int]] = defaultdict(lambda: defaultdict(int))
    for supply in opening.supplies:
        for material, number in ((supply.material, supply.cut), *supply.cut_instead):
            if number:
                cut[supply.material][material] += number
    return cut


def _check_cut_lists(plan: Plan) -> Iterator[str]:
    sheets = {sheet.name: sheet for sheet in plan.patterns}
    taken: dict[tuple[str, int], int] = defaultdict(int)
    for opening in plan.openings:
        yield from _check_cut_list(opening)
        for line in opening.cut_list:
            yield from _check_line(line, sheets)
            for name, number in line.from_patterns:
                taken[name, line.length_nm] += number
    for sheet in plan.patterns:
        for length_nm, count in sheet.cuts:
            found = taken.pop((sheet.name, length_nm), 0)
            if found != count * sheet.bars:
                yield (
                    f"Pattern {sheet.name}, pieces of {length_nm} nm: {found} in the cut lists, "
                    f"expected {count * sheet.bars}."
                )
    for (name, length_nm), number in taken.items():
        if number:
            yield (
                f"Pattern {name}, pieces of {length_nm} nm: {number} in the cut lists, expected 0."
            )


def _check_line(line: CutListLine, sheets: dict[str, PatternSheet]) -> Iterator[str]:
    where = f"Cut list, {line.label}"
    total = sum(number for _, number in line.from_patterns)
    if total != line.pieces:
        yield f"{where}: its patterns give {total} pieces, expected {line.pieces}."
    for name, number in line.from_patterns:
        sheet = sheets.get(name)
        if sheet is None:
            yield f"{where}: pattern {name} does not exist."
        elif sheet.material != line.material:
            yield f"{where}: pattern {name} is of {sheet.material}, expected {line.material}."
        if number < 1:
            yield f"{where}: {number} pieces from pattern {name}, expected 1 or more."


def _check_cut_list(opening: OpeningPlan) -> Iterator[str]:
    """Yield the pieces of a mark that are not on its cut list, or too often."""
    cut = _cut_by_material(opening)
    expected: Counter[_Place] = Counter()
    for piece in opening.takeoff.pieces:
        for material, number in cut[piece.material].items():
            place = piece.edge, piece.member, piece.lies_on, material, piece.length_nm
            expected[place] += piece.count * number
    listed: Counter[_Place] = Counter()
    halves: Counter[_Place] = Counter()
    for line in opening.cut_list:
        length_nm = line.length_nm if line.segment_of_nm is None else line.segment_of_nm
        place = line.edge, line.member, line.lies_on, line.material, length_nm
        (listed if line.segment_of_nm is None else halves)[place] += line.pieces
    for place, number in halves.items():
        # Two segments make a piece.
        listed[place] += number // 2
        if number % 2:
            yield f"Cut list of {opening.takeoff.opening.mark}: {number} segments, expected pairs."
    for place in dict.fromkeys((*expected, *listed)):
        if listed[place] != expected[place]:
            edge, member, lies_on, material, length_nm = place
            yield (
                f"Cut list of {opening.takeoff.opening.mark}, {edge}, {member} on the {lies_on}, "
                f"{length_nm} nm in {material}: {listed[place]} pieces, expected {expected[place]}."
            )
