"""A takeoff as plain text: what each opening needs and which rule says so."""

from collections.abc import Iterator

from optimiser.domain.takeoff import OpeningTakeoff, Takeoff
from optimiser.render.openings import write_opening
from optimiser.render.table import write_heading, write_list, write_table
from optimiser.render.text import Say
from optimiser.units.lengths import LengthUnit, format_length

INDENT = "    "


def render_takeoff_text(takeoff: Takeoff, unit: LengthUnit, say: Say) -> str:
    """Return the takeoff as plain text: pieces and fasteners by opening, nothing bought.

    Lines are at most 92 columns wide where the names in them allow. `say` words the rules and
    the notices.
    """
    return "\n".join(_write_takeoff(takeoff, unit, say)) + "\n"


def _write_takeoff(takeoff: Takeoff, unit: LengthUnit, say: Say) -> Iterator[str]:
    yield "Takeoff"
    yield from write_heading("Openings")
    for taken in takeoff.openings:
        yield from write_opening(taken, unit)
        yield from _write_pieces(taken, unit)
    if takeoff.demand.sets:
        yield from write_heading("Pieces in all")
        yield from _write_demand(takeoff, unit)
    if takeoff.demand.fasteners:
        yield from write_heading("Fasteners in all")
        rows = [
            (
                str(need.pool),
                f"{need.by_running_length:,}",
                f"{need.per_piece:,}",
                f"{need.counted:,}",
                f"{need.allowance:,}",
                f"{need.spares:,}",
                f"{need.needed:,}",
            )
            for need in takeoff.demand.fasteners
        ]
        yield from write_table(
            ("Fastener", "By length", "By piece", "Counted", "Allowance", "Spares", "Needed"),
            rows,
            right=frozenset(range(1, 7)),
        )
    yield from write_list("Notices", (say(notice) for notice in takeoff.notices))
    yield from write_list("Rules", (say(firing) for firing in takeoff.firings))


def _write_pieces(taken: OpeningTakeoff, unit: LengthUnit) -> Iterator[str]:
    rows = [
        (
            f"{piece.count:,} ×",
            format_length(piece.length_nm, unit),
            f"{piece.edge.value.replace('-', ' ')}, {piece.member}",
            piece.lies_on.value.replace("-", " "),
            str(piece.material),
        )
        for piece in taken.pieces
    ]
    heading = ("Each", "Length", "Edge and member", "On", "Material")
    for row in write_table(heading, rows, right=frozenset({0, 1})):
        yield INDENT + row


def _write_demand(takeoff: Takeoff, unit: LengthUnit) -> Iterator[str]:
    pieces: dict[tuple[str, int], int] = {}
    for demand in takeoff.demand.sets:
        for length_nm, count in demand.piece_set.lengths:
            key = (str(demand.piece_set.material), length_nm)
            pieces[key] = pieces.get(key, 0) + count * demand.quantity
    rows = [
        (f"{count:,} ×", format_length(length_nm, unit), material)
        for (material, length_nm), count in sorted(
            pieces.items(), key=lambda entry: (entry[0][0], -entry[0][1])
        )
    ]
    yield from write_table(("Pieces", "Length", "Material"), rows, right=frozenset({0, 1}))
