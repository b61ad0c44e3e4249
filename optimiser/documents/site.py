"""For the site: a sheet for each mark with its pieces, fasteners, cuts, steps and cautions."""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from optimiser.documents.positions import place_fasteners
from optimiser.domain.documents import FastenersOnSite, InstallPiece, InstallSheet
from optimiser.domain.fit import Fit
from optimiser.domain.reasons import Caution
from optimiser.domain.takeoff import OpeningTakeoff, Takeoff
from optimiser.rule_sets import RuleSet, known_rule_sets


def write_install_sheets(
    takeoff: Takeoff,
    cautions: Iterable[Caution],
    *,
    fits: Mapping[str, Fit] | None = None,
    rule_sets: Iterable[RuleSet] = (),
) -> tuple[InstallSheet, ...]:
    """Return the install sheet of every mark, in the order of the takeoff.

    `fits` gives, by mark, what is cut into the leaf and which clearances hold; `rule_sets` are
    those that were handed to the takeoff beside the package's own.
    """
    known = {rule_set.id: rule_set for rule_set in (*known_rule_sets(), *rule_sets)}
    told = tuple(cautions)
    fitted = fits or {}
    return tuple(
        InstallSheet(
            opening=taken.opening,
            pieces=_list_pieces(taken, known),
            fasteners=_count(taken),
            fit=fitted.get(taken.opening.mark),
            steps=tuple(
                (step.statement, step.source)
                for name in taken.opening.rule_sets
                for step in known[name].steps
            ),
            cautions=tuple(
                caution
                for caution in told
                if not caution.marks or taken.opening.mark in caution.marks
            ),
        )
        for taken in takeoff.openings
    )


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
