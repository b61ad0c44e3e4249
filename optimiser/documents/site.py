"""For the site: a sheet for each mark with its pieces, fasteners, cuts, steps and cautions."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace

from optimiser.documents.joints import LaidSegments, lay_splices
from optimiser.documents.positions import place_fasteners
from optimiser.domain.catalogue import Material
from optimiser.domain.concessions import SpliceRule
from optimiser.domain.documents import (
    FastenersOnSite,
    InstallPiece,
    InstallSheet,
    SplicedPieces,
)
from optimiser.domain.fit import Calculation, Fit
from optimiser.domain.plan import OpeningPlan, Plan, PurchaseKind
from optimiser.domain.reasons import Caution, Notice
from optimiser.domain.splicing import may_splice, segments_of
from optimiser.domain.takeoff import OpeningTakeoff, Piece, Takeoff
from optimiser.rule_sets import RuleSet, known_rule_sets
from optimiser.units.counts import fasteners_per_piece

KITS = frozenset({PurchaseKind.KIT, PurchaseKind.STANDARD_KIT})

JOINT = (
    "At every spliced piece: butt the two segments tight and in line, and lay them as stated, so "
    "that the joints of nested members lie apart wherever the segments differ in length.",
    "common practice, no source",
)
"""A step of every opening with spliced pieces."""

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
    splices: Iterable[SpliceRule] = (),
    plan: Plan | None = None,
) -> tuple[InstallSheet, ...]:
    """Return the install sheet of every mark, in the order of the takeoff.

    `fits` gives, by mark, what is cut into the leaf and which clearances hold, `sizes` the net
    sizes of frame and leaf; `rule_sets` are those that were handed to the takeoff beside the
    package's own. `plan` is that of the takeoff: with it the sheets say what supplies each mark
    and which pieces are spliced, and where; without it which pieces `splices` allow to be.
    """
    known = {rule_set.id: rule_set for rule_set in (*known_rule_sets(), *rule_sets)}
    told, rules = tuple(cautions), tuple(splices)
    fitted, measured = fits or {}, sizes or {}
    planned: dict[str, OpeningPlan] = {}
    kit_materials: dict[str, Material] = {}
    if plan is not None:
        planned = {opening.takeoff.opening.mark: opening for opening in plan.openings}
        kit_materials = {
            line.sku: line.material
            for line in plan.purchases
            if line.material is not None and line.kind in KITS
        }
    return tuple(
        _write_sheet(
            taken,
            known,
            rules,
            planned.get(taken.opening.mark),
            sizes=tuple(measured.get(taken.opening.mark, ())),
            fit=fitted.get(taken.opening.mark),
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
            kit_materials=tuple(sorted(kit_materials.items())),
        )
        for taken in takeoff.openings
    )


def _write_sheet(
    taken: OpeningTakeoff,
    known: Mapping[str, RuleSet],
    rules: tuple[SpliceRule, ...],
    plan: OpeningPlan | None,
    *,
    sizes: tuple[Calculation, ...],
    fit: Fit | None,
    cautions: tuple[Caution, ...],
    notices: tuple[Notice, ...],
    kit_materials: tuple[tuple[str, Material], ...],
) -> InstallSheet:
    pieces = _list_pieces(taken, known, plan, rules)
    return InstallSheet(
        opening=taken.opening,
        sizes=sizes,
        pieces=pieces,
        fasteners=_count(taken, pieces),
        fit=fit,
        steps=_list_steps(taken, known, fit, plan),
        cautions=cautions,
        notices=notices,
        supplies=() if plan is None else plan.supplies,
        trim_list=() if plan is None else plan.trim_list,
        kit_materials=kit_materials,
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
    taken: OpeningTakeoff,
    known: Mapping[str, RuleSet],
    fit: Fit | None,
    plan: OpeningPlan | None,
) -> tuple[tuple[str, str], ...]:
    """Return the steps of every rule set in turn; cuts that none of them names come first."""
    of_rules = [
        (step.statement, step.source)
        for name in taken.opening.rule_sets
        for step in known[name].steps
        if taken.opening.kind in step.kinds
    ]
    cuts = () if fit is None else fit.preparation.steps
    steps = [*(step for step in cuts if step not in of_rules), *of_rules]
    if plan is not None and any(line.segment_of_nm is not None for line in plan.cut_list):
        steps.append(JOINT)
    if taken.fasteners:
        steps.append(ASIDE)
    return tuple(dict.fromkeys(steps))


def _list_pieces(
    taken: OpeningTakeoff,
    known: Mapping[str, RuleSet],
    plan: OpeningPlan | None,
    rules: tuple[SpliceRule, ...],
) -> tuple[InstallPiece, ...]:
    statements = {
        (name, rule.id): rule.statement
        for name in taken.opening.rule_sets
        for rule in known[name].rules
    }
    laid = [] if plan is None else list(lay_splices(plan))
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
            positions_nm=_place(piece, piece.length_nm),
            statement=statements[piece.rule_set, piece.rule_id],
            spliced=tuple(_write_splice(segments) for segments in laid if segments.piece == piece),
            may_be_spliced=plan is None
            and any(
                may_splice(piece, rule) and segments_of(piece.length_nm, rule) for rule in rules
            ),
        )
        for piece in taken.pieces
    )


def _place(piece: Piece, length_nm: int) -> tuple[int, ...]:
    """Return the positions of the fasteners of a piece, or of a segment of it."""
    if piece.fastener is None:
        return ()
    return place_fasteners(
        length_nm, piece.spacing_nm, piece.end_distance_nm, piece.least_fasteners
    )


def _write_splice(segments: LaidSegments) -> SplicedPieces:
    first, second = segments.lines
    beyond = (
        first.length_nm + position_nm for position_nm in _place(segments.piece, second.length_nm)
    )
    return SplicedPieces(
        pieces=first.pieces,
        material=first.material,
        segments_nm=(first.length_nm, second.length_nm),
        ends=segments.ends,
        positions_nm=(*_place(segments.piece, first.length_nm), *beyond),
    )


def _count(taken: OpeningTakeoff, pieces: tuple[InstallPiece, ...]) -> tuple[FastenersOnSite, ...]:
    totals: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    for count in taken.fasteners:
        totals[count.pool.fastener][0] += count.per_piece
        totals[count.pool.fastener][1] += count.by_running_length
    at_joints: dict[str, int] = defaultdict(int)
    for piece in pieces:
        for spliced in piece.spliced:
            more = len(spliced.positions_nm) - len(piece.positions_nm)
            at_joints[piece.fastener or ""] += spliced.pieces * more
    return tuple(
        FastenersOnSite(
            fastener=name,
            at_positions=placed,
            by_running_length=by_length,
            at_joints=at_joints[name],
        )
        for name, (placed, by_length) in sorted(totals.items())
    )
