"""Every pattern fits its stock length, and every cut piece is cut exactly once."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from optimiser.domain.catalogue import Material, StockLength
from optimiser.domain.order import Order
from optimiser.domain.plan import CutListLine, OpeningPlan, PatternSheet, Plan
from optimiser.domain.takeoff import Piece


def check_cuts(order: Order, plan: Plan) -> Iterator[str]:
    """Yield patterns that do not fit or add up, and pieces cut too often or too seldom."""
    stock = {item.sku: item for item in order.catalogue.stock_lengths}
    for sheet in plan.patterns:
        yield from _check_sheet(order, sheet, stock.get(sheet.sku))
    yield from _check_sheets_decided(plan)
    yield from _check_pieces(plan)
    yield from _check_cut_lists(plan)


def _check_sheet(order: Order, sheet: PatternSheet, stock: StockLength | None) -> Iterator[str]:
    name = f"Pattern {sheet.name}"
    if stock is None:
        yield f"{name}: its stock length {sheet.sku} is not in the catalogue."
        return
    trims_nm = 2 * order.policy.end_trim_nm
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
    cut: dict[tuple[int, Material], int] = defaultdict(int)
    pieces: dict[int, tuple[Piece, ...]] = {}
    for opening in plan.openings:
        pieces[id(opening.takeoff.pieces)] = opening.takeoff.pieces
        for supply in opening.supplies:
            cut[id(opening.takeoff.pieces), supply.material] += supply.cut
    needed: dict[tuple[Material, int], int] = defaultdict(int)
    for shared, of_opening in pieces.items():
        for piece in of_opening:
            number = cut.get((shared, piece.material), 0)
            needed[piece.material, piece.length_nm] += piece.count * number
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


def _cut_by_material(opening: OpeningPlan) -> dict[Material, int]:
    cut: dict[Material, int] = defaultdict(int)
    for supply in opening.supplies:
        cut[supply.material] += supply.cut
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
    wanted = [piece for piece in opening.takeoff.pieces if cut[piece.material]]
    if len(wanted) == len(opening.cut_list) and all(
        line.pieces == piece.count * cut[piece.material] and _identity(line) == _identity(piece)
        for line, piece in zip(opening.cut_list, wanted, strict=True)
    ):
        return
    expected: Counter[tuple[object, ...]] = Counter()
    for piece in wanted:
        expected[_identity(piece)] += piece.count * cut[piece.material]
    listed: Counter[tuple[object, ...]] = Counter()
    for line in opening.cut_list:
        listed[_identity(line)] += line.pieces
    for key in dict.fromkeys((*expected, *listed)):
        if listed[key] != expected[key]:
            edge, member, lies_on, material, length_nm = key
            yield (
                f"Cut list of {opening.takeoff.opening.mark}, {edge}, {member} on the {lies_on}, "
                f"{length_nm} nm in {material}: {listed[key]} pieces, expected {expected[key]}."
            )


def _identity(item: Piece | CutListLine) -> tuple[object, ...]:
    return item.edge, item.member, item.lies_on, item.material, item.length_nm
