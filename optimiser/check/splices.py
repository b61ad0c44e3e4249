"""Every splice is allowed where it is made, and its segments make up its piece."""

from collections import Counter
from collections.abc import Iterator

from optimiser.domain.catalogue import Material
from optimiser.domain.concessions import SpliceRule
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order
from optimiser.domain.plan import CutListLine, Plan
from optimiser.domain.takeoff import Takeoff

Segment = tuple[Material, int, int]
"""A material, the length of a piece and that of one of its segments."""


def check_splices(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    """Yield splices that no rule allows, and segments that are not those of a splice."""
    rules = {rule.product: rule for rule in order.policy.splices}
    expected: Counter[Segment] = Counter()
    for splice in plan.decision.splices:
        name = f"Splice of {splice.length_nm} nm in {splice.material}"
        rule = rules.get(splice.material.product)
        if rule is None:
            yield f"{name}: {splice.pieces} pieces, expected none, since no rule allows it."
            continue
        if splice.pieces < 1:
            yield f"{name}: {splice.pieces} pieces, expected 1 or more."
        yield from _check_joint(name, splice.length_nm, splice.segments_nm, rule)
        for segment_nm in splice.segments_nm:
            expected[splice.material, splice.length_nm, segment_nm] += splice.pieces
    listed: Counter[Segment] = Counter()
    for opening in plan.openings:
        products = {
            (piece.edge, piece.member, piece.length_nm): piece.material.product
            for piece in opening.takeoff.pieces
        }
        for line in opening.cut_list:
            if line.segment_of_nm is None:
                continue
            listed[line.material, line.segment_of_nm, line.length_nm] += line.pieces
            product = products.get((line.edge, line.member, line.segment_of_nm))
            yield from _check_place(line, rules.get(product or ""))
    for key in sorted({*expected, *listed}):
        if expected[key] != listed[key]:
            material, length_nm, segment_nm = key
            yield (
                f"Segments of {segment_nm} nm for {length_nm} nm in {material}: "
                f"{listed[key]} in the cut lists, expected {expected[key]}."
            )


def _check_joint(
    name: str, length_nm: int, segments_nm: tuple[int, int], rule: SpliceRule
) -> Iterator[str]:
    if sum(segments_nm) != length_nm:
        yield f"{name}: its segments add up to {sum(segments_nm)} nm, expected {length_nm} nm."
    if min(segments_nm) < rule.least_segment_nm:
        yield (
            f"{name}: a segment of {min(segments_nm)} nm, expected {rule.least_segment_nm} nm "
            "or more."
        )
    if all(segment_nm % rule.position_step_nm for segment_nm in segments_nm):
        yield (
            f"{name}: a joint at {segments_nm[0]} nm, expected a whole number of "
            f"{rule.position_step_nm} nm from one end."
        )


def _check_place(line: CutListLine, rule: SpliceRule | None) -> Iterator[str]:
    where = f"Cut list, {line.label}"
    if rule is None or line.material.product != rule.product or line.edge not in rule.edges:
        yield f"{where}: a segment, expected none, since no rule allows a splice there."
    elif line.edge is Edge.HEAD and (line.segment_of_nm or 0) < rule.least_head_nm:
        yield (
            f"{where}: a head of {line.segment_of_nm} nm is spliced, expected only from "
            f"{rule.least_head_nm} nm on."
        )
