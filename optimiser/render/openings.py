"""Openings as plain text: the takeoff of each, what supplies it, and what is cut for it."""

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from optimiser.domain.catalogue import Material
from optimiser.domain.opening import Edge, Opening, OpeningKind, SizeOf
from optimiser.domain.phrases import write_count
from optimiser.domain.plan import CutListLine, OpeningPlan, SetSupply
from optimiser.domain.takeoff import LiesOn, OpeningTakeoff
from optimiser.domain.trimming import TrimLine
from optimiser.render.table import write_item, write_table
from optimiser.units.lengths import LengthUnit, format_length

INDENT = "    "

_KINDS = {
    OpeningKind.SINGLE_DOOR: ("single door", "single doors"),
    OpeningKind.PAIR_OF_DOORS: ("pair of doors", "pairs of doors"),
    OpeningKind.DUTCH_DOOR: ("Dutch door", "Dutch doors"),
    OpeningKind.CASEMENT_WINDOW: ("casement window", "casement windows"),
    OpeningKind.HOPPER_WINDOW: ("hopper window", "hopper windows"),
    OpeningKind.AWNING_WINDOW: ("awning window", "awning windows"),
    OpeningKind.DOUBLE_HUNG_WINDOW: ("double-hung window", "double-hung windows"),
    OpeningKind.FIXED_WINDOW: ("fixed window", "fixed windows"),
}


def write_opening_plan(
    plan: OpeningPlan, unit: LengthUnit, materials: Mapping[str, Material]
) -> Iterator[str]:
    """Yield the lines of one mark: its size, pieces and fasteners, its supply, its cut list.

    `materials` says what the kits of each SKU are made of.
    """
    yield from write_opening(plan.takeoff, unit)
    yield from write_item(f"by edge: {_word_edges(plan.takeoff, unit)}", bullet=INDENT)
    for supply in plan.supplies:
        words = word_supply(supply, materials, name_material=len(plan.supplies) > 1)
        yield from write_item(words, bullet=INDENT)
    if plan.cut_list:
        rows = [_cut_row(line, unit) for line in plan.cut_list]
        for row in write_table(
            ("Cut", "Length", "Label and where it lies", "From"), rows, right=frozenset({0, 1})
        ):
            yield INDENT + row
    for splice in _word_splices(plan.cut_list, unit):
        yield from write_item(splice, bullet=INDENT)
    if plan.trim_list:
        trims = [_trim_row(line, unit) for line in plan.trim_list]
        for row in write_table(
            ("Trim", "From", "To", "Label and where it lies", "Kit"),
            trims,
            right=frozenset({0, 1, 2}),
        ):
            yield INDENT + row


def write_opening(taken: OpeningTakeoff, unit: LengthUnit) -> Iterator[str]:
    """Yield what one mark is, and what each opening of it needs."""
    opening = taken.opening
    pieces = sum(piece.count for piece in taken.pieces)
    yield ""
    yield from write_item(f"{opening.mark}: {describe_opening(opening, unit)}", bullet="")
    yield from write_item(
        f"each: {write_count(pieces, 'piece')} in {write_count(taken.runs, 'run')}, "
        f"{format_length(taken.running_length_nm, unit)} in all",
        bullet=INDENT,
    )
    for count in taken.fasteners:
        yield from write_item(
            f"each: {write_count(count.by_running_length, count.pool.fastener)} by running "
            f"length, {count.per_piece:,} by piece, at {format_length(count.spacing_nm, unit)}",
            bullet=INDENT,
        )


def describe_opening(opening: Opening, unit: LengthUnit) -> str:
    """Return quantity, kind, size and finish of a mark: `2 single doors, leaf 36 in × 80 in`."""
    described = describe_one(opening, partial(format_length, unit=unit), opening.quantity > 1)
    return f"{opening.quantity:,} {described}"


def describe_one(opening: Opening, say_length: Callable[[int], str], several: bool = False) -> str:
    """Return kind, size and finish of a mark: `single door, leaf 36 in × 80 in, zinc`.

    `say_length` writes a length in nanometres; `several` puts the kind in the plural.
    """
    kind = _KINDS[opening.kind][several]
    measured = (
        ("each leaf" if opening.inactive_leaf_width_nm is None else "active leaf")
        if opening.leaves_abreast > 1 and opening.size_of is SizeOf.LEAF
        else opening.size_of.value.replace("-", " ")
    )
    size = f"{say_length(opening.width_nm)} × {say_length(opening.height_nm)}"
    if opening.inactive_leaf_width_nm is not None:
        size += f", inactive leaf {say_length(opening.inactive_leaf_width_nm)}"
    if opening.lower_height_nm is not None:
        lower = "lower leaf" if opening.leaves > 1 else "lower sash"
        size += f", {lower} {say_length(opening.lower_height_nm)}"
    remarks = f". {opening.remarks}" if opening.remarks else ""
    return f"{kind}, {measured} {size}, {opening.finish}{remarks}"


def _word_edges(taken: OpeningTakeoff, unit: LengthUnit) -> str:
    """Return the pieces of one opening edge by edge, in the order of the rules."""
    counts: dict[tuple[Edge, int], int] = {}
    for piece in taken.pieces:
        key = piece.edge, piece.length_nm
        counts[key] = counts.get(key, 0) + piece.count
    return ", ".join(
        f"{edge.value.replace('-', ' ')} {count} × {format_length(length_nm, unit)}"
        for (edge, length_nm), count in counts.items()
    )


def word_supply(
    supply: SetSupply, materials: Mapping[str, Material], *, name_material: bool
) -> str:
    """Return how many openings of a mark are supplied by which kit, or cut, and from what.

    `materials` says what the kits of each SKU are made of.
    """
    parts = [
        f"{number:,} by {what} {sku}{_word_stand_in(materials.get(sku), supply.material)}"
        for what, kits in (("kit", supply.kits), ("standard kit", supply.standard_kits))
        for sku, number in kits
        if number
    ]
    parts += [f"{number:,} cut from {of}" for of, number in supply.cut_instead if number]
    if supply.cut:
        parts.append(f"{supply.cut:,} cut at the bench")
    material = f" in {supply.material}" if name_material else ""
    return f"supply{material}: {', '.join(parts)}"


def _cut_row(line: CutListLine, unit: LengthUnit) -> tuple[str, str, str, str]:
    return (
        f"{line.pieces:,} ×",
        format_length(line.length_nm, unit),
        f"{line.label} ({_place(line.lies_on)})",
        ", ".join(f"{name}: {number:,}" for name, number in line.from_patterns),
    )


def _word_splices(lines: tuple[CutListLine, ...], unit: LengthUnit) -> Iterator[str]:
    """Yield what each spliced length is made of; the two segments stand beside each other."""
    segments = [(line.segment_of_nm, line) for line in lines if line.segment_of_nm is not None]
    pieces: dict[tuple[int, int, int], int] = {}
    for (whole_nm, first), (_, second) in zip(segments[::2], segments[1::2], strict=True):
        key = whole_nm, first.length_nm, second.length_nm
        pieces[key] = pieces.get(key, 0) + first.pieces
    for lengths, count in pieces.items():
        whole, longer, shorter = (format_length(length_nm, unit) for length_nm in lengths)
        yield f"spliced: {count:,} × {whole} = {longer} + {shorter}"


def _trim_row(line: TrimLine, unit: LengthUnit) -> tuple[str, str, str, str, str]:
    return (
        f"{line.pieces:,} ×",
        format_length(line.held_nm, unit),
        "as it is" if line.held_nm == line.length_nm else format_length(line.length_nm, unit),
        f"{line.label} ({_place(line.lies_on)})",
        line.sku,
    )


def _place(lies_on: LiesOn) -> str:
    return f"on the {lies_on.value.replace('-', ' ')}"


def _word_stand_in(material: Material | None, wanted: Material) -> str:
    """Return what a kit is made of where it is not what the opening asks for."""
    return "" if material in {None, wanted} else f" of {material} instead"
