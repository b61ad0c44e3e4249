"""For the site: a sheet for each mark with its pieces, fasteners, cuts, steps and cautions."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace

from optimiser.documents.positions import place_fasteners
from optimiser.domain.documents import FastenersOnSite, InstallPiece, InstallSheet
from optimiser.domain.fit import Calculation, Fit
from optimiser.domain.reasons import Caution
from optimiser.domain.takeoff import OpeningTakeoff, Takeoff
from optimiser.rule_sets import RuleSet, known_rule_sets
from optimiser.units.counts import fasteners_per_piece

ASIDE = (
    "All along: where a position falls on a hinge, a keeper, a lock or a pulley, set that fastener "
    "beside it.",
    "common practice, no source",
)
"""A step of every opening that takes fasteners."""


def write_install_sheets(
    takeoff: Takeoff,
    cautions: Iterable[Caution],
    *,
    fits: Mapping[str, Fit] | None = None,
    sizes: Mapping[str, Iterable[Calculation]] | None = None,
    rule_sets: Iterable[RuleSet] = (),
) -> tuple[InstallSheet, ...]:
    """Return the install sheet of every mark, in the order of the takeoff.

    `fits` gives, by mark, what is cut into the leaf and which clearances hold, `sizes` the net
    sizes of frame and leaf; `rule_sets` are those that were handed to the takeoff beside the
    package's own.
    """
    known = {rule_set.id: rule_set for rule_set in (*known_rule_sets(), *rule_sets)}
    told = tuple(cautions)
    fitted, measured = fits or {}, sizes or {}
    return tuple(
        InstallSheet(
            opening=taken.opening,
            sizes=tuple(measured.get(taken.opening.mark, ())),
            pieces=_list_pieces(taken, known),
            fasteners=_count(taken),
            fit=fitted.get(taken.opening.mark),
            steps=_list_steps(taken, known, fitted.get(taken.opening.mark)),
            cautions=tuple(
                caution
                for caution in told
                if not caution.marks or taken.opening.mark in caution.marks
            ),
            notices=tuple(
                replace(notice, marks=(taken.opening.mark,))
                for notice in takeoff.notices
                if taken.opening.mark in notice.marks
            ),
        )
        for taken in takeoff.openings
    )


def count_positions(takeoff: Takeoff) -> int:
    """Return how many positions of fasteners the install sheets of a takeoff would list."""
    return sum(
        fasteners_per_piece(
            piece.length_nm, piece.spacing_nm, piece.end_distance_nm, piece.least_fasteners
        )
        for taken in takeoff.openings
        for piece in taken.pieces
        if piece.fastener is not None
    )


def _list_steps(
    taken: OpeningTakeoff, known: Mapping[str, RuleSet], fit: Fit | None
) -> tuple[tuple[str, str], ...]:
    """Return the steps of every rule set in turn; cuts that none of them names come first."""
    of_rules = [
        (step.statement, step.source)
        for name in taken.opening.rule_sets
        for step in known[name].steps
    ]
    cuts = () if fit is None else fit.preparation.steps
    steps = [*(step for step in cuts if step not in of_rules), *of_rules]
    if taken.fasteners:
        steps.append(ASIDE)
    return tuple(dict.fromkeys(steps))


def _list_pieces(taken: OpeningTakeoff, known: Mapping[str, RuleSet]) -> tuple[InstallPiece, ...]:
    statements = {
        (name, rule.id): rule.statement
        for name in taken.opening.rule_sets
        for rule in known[name].rules
    }
    return tuple(
        InstallPiece(
            edge=piece.edge,
            member=piece.member,
            lies_on=piece.lies_on,
            material=piece.material,
            length_nm=piece.length_nm,
            count=piece.count,
            fastener=piece.fastener,
            spacing_nm=piece.spacing_nm,
            end_distance_nm=piece.end_distance_nm,
            positions_nm=()
            if piece.fastener is None
            else place_fasteners(
                piece.length_nm, piece.spacing_nm, piece.end_distance_nm, piece.least_fasteners
            ),
            statement=statements[piece.rule_set, piece.rule_id],
        )
        for piece in taken.pieces
    )


def _count(taken: OpeningTakeoff) -> tuple[FastenersOnSite, ...]:
    totals: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for count in taken.fasteners:
        totals[count.pool.fastener][0] += count.per_piece
        totals[count.pool.fastener][1] += count.by_running_length
    return tuple(
        FastenersOnSite(fastener=name, at_positions=placed, by_running_length=by_length)
        for name, (placed, by_length) in sorted(totals.items())
    )
