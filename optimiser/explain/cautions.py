"""Cautions about the work itself, each with its source: which of them apply to an order."""

from collections.abc import Iterable
from dataclasses import dataclass

from optimiser.domain.opening import OpeningKind
from optimiser.domain.reasons import Caution
from optimiser.domain.takeoff import LiesOn, OpeningTakeoff, Takeoff

DOORS = frozenset({OpeningKind.SINGLE_DOOR, OpeningKind.PAIR_OF_DOORS, OpeningKind.DUTCH_DOOR})
WINDOWS = frozenset(OpeningKind) - DOORS
MOVING = frozenset(OpeningKind) - {OpeningKind.FIXED_WINDOW}
HINGED = MOVING - {OpeningKind.DOUBLE_HUNG_WINDOW}


AT_THE_BENCH = frozenset({"eyes-and-hands"})
"""The codes of the cautions that hold at the bench already, where bars are cut."""

CUTTING_A_LEAF = frozenset(
    {"fire-rated", "old-paint", "square-and-plumb", "bent-strip", "eyes-and-hands"}
)
"""The codes of the cautions that hold wherever a leaf is grooved or rabbeted."""


def applicable_cautions(takeoff: Takeoff) -> tuple[Caution, ...]:
    """Return the cautions that apply to the openings that were taken off, most serious first.

    A caution with no marks applies to the whole order. Every caution defers to the local code
    and to licensed practice.
    """
    found = []
    for entry in _ENTRIES:
        marks = tuple(t.opening.mark for t in takeoff.openings if entry.applies_to(t))
        if marks:
            found.append(
                Caution(
                    code=entry.code,
                    sentence=entry.sentence,
                    source=entry.source,
                    marks=() if len(marks) == len(takeoff.openings) else marks,
                )
            )
    return tuple(found)


def leaf_cautions() -> tuple[Caution, ...]:
    """Return the cautions that hold for cutting into a leaf, whatever opening it closes."""
    return tuple(
        Caution(code=entry.code, sentence=entry.sentence, source=entry.source)
        for entry in _ENTRIES
        if entry.code in CUTTING_A_LEAF
    )


def bench_cautions(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """Return those cautions that hold at the bench."""
    return tuple(caution for caution in cautions if caution.code in AT_THE_BENCH)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    """A caution; it needs one of the kinds and, where `on` names places, a piece on one."""

    code: str
    sentence: str
    source: str
    kinds: frozenset[OpeningKind] = DOORS | WINDOWS
    on: frozenset[LiesOn] = frozenset()

    def applies_to(self, taken: OpeningTakeoff) -> bool:
        """Return whether the caution applies to an opening."""
        if taken.opening.kind not in self.kinds:
            return False
        return not self.on or any(piece.lies_on in self.on for piece in taken.pieces)


_ENTRIES = (
    _Entry(
        code="fire-rated",
        sentence=(
            "Do not groove, rabbet or cut a fire-rated door or frame beyond what its listing "
            "allows: ask the listing laboratory first. The local code and the authority that "
            "enforces it decide."
        ),
        source="NFPA 80 (2022), 5.1.5.2: the work that may be done on a fire door on site",
        kinds=DOORS,
    ),
    _Entry(
        code="escape",
        sentence=(
            "A door on a way of escape must still open with its usual force, and close and latch "
            "by itself where it must: try every leaf after fitting. The local code decides."
        ),
        source="common practice, no source; force and latching by the local building and fire code",
        kinds=DOORS,
    ),
    _Entry(
        code="accessible-threshold",
        sentence=(
            "On an accessible route a threshold may stand 1/2 in at most, bevelled above 1/4 in; "
            "an existing one 3/4 in under conditions. The local code decides."
        ),
        source="ADA Standards 404.2.5",
        kinds=DOORS,
        on=frozenset({LiesOn.SILL}),
    ),
    _Entry(
        code="old-paint",
        sentence=(
            "Old paint may hold lead: have it tested before it is routed, sanded or scraped. "
            "In housing from before 1978 the work may have to be done by a certified firm; "
            "the local code may ask for more."
        ),
        source="40 CFR 745, subpart E (745.80 to 745.92)",
    ),
    _Entry(
        code="glazing",
        sentence=(
            "Keep router bits and fasteners clear of the glass and of its putty or beads; leave "
            "work on broken or safety glazing to a glazier. The local code decides."
        ),
        source="common practice, no source",
        kinds=WINDOWS,
    ),
    _Entry(
        code="square-and-plumb",
        sentence=(
            "Check that every leaf and sash is square and hangs plumb before anything is cut, and "
            "mend hinges and joints first: in a leaf that sags or racks the strip binds and its "
            "nail holes go oval. The local rules for the work come first."
        ),
        source=(
            "common practice, no source; square within 1/32 in is what the test frame for edge "
            "seals asks, ANSI/BHMA A156.22-2017, 4.1"
        ),
        kinds=MOVING,
    ),
    _Entry(
        code="bent-strip",
        sentence=(
            "Never stand a leaf on an edge that carries strip: a bent member no longer locks and "
            "has to be replaced. Lay the leaf flat on blocks, and follow the local rules for "
            "lifting."
        ),
        source="common practice, no source",
        kinds=HINGED,
        on=frozenset({LiesOn.LEAF}),
    ),
    _Entry(
        code="eyes-and-hands",
        sentence=(
            "Cut strip has sharp edges, and routers and snips throw chips: wear eye protection, "
            "and gloves to handle strip but not at a turning bit. The tool maker's "
            "instructions and the local rules for safe work come first."
        ),
        source="common practice, no source",
    ),
)
