"""Faults of openings and of the policy's counting, all of them at once."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal

from optimiser.domain.faults import Fault
from optimiser.domain.opening import Edge, MeetingStiles, Opening, Threshold
from optimiser.domain.order import Order, Policy
from optimiser.rule_sets import RuleSet
from optimiser.takeoff.pieces import rules_that_fire, what_chooses_rules
from optimiser.units.faults import quote
from optimiser.units.lengths import LengthUnit, format_length

Path = tuple[str | int, ...]


def find_order_faults(order: Order, rule_sets: Mapping[str, RuleSet]) -> tuple[Fault, ...]:
    """Return every fault that stands in the way of a takeoff, in the order of the input.

    Catalogue, kerf and the rest of the policy are not looked at.
    """
    faults = []
    if not order.openings:
        faults.append(
            Fault(("openings",), "no-openings", "The order has no openings; list at least one.")
        )
    faults += _duplicate_marks(order.openings)
    served: set[tuple[object, ...]] = set()
    for position, opening in enumerate(order.openings):
        path: Path = ("openings", position)
        faults += _value_faults(path, opening, order.unit)
        choices = what_chooses_rules(opening)
        if choices not in served:
            rule_faults = tuple(_rule_faults(path, opening, rule_sets))
            faults += rule_faults
            if not rule_faults:
                served.add(choices)
    faults += _policy_faults(order.policy, order.unit)
    return tuple(faults)


def _duplicate_marks(openings: Iterable[Opening]) -> Iterator[Fault]:
    first: dict[str, int] = {}
    for position, opening in enumerate(openings):
        if opening.mark in first:
            yield Fault(
                ("openings", position, "mark"),
                "duplicate-mark",
                f"Opening {opening.mark} is listed twice, at positions {first[opening.mark]} and "
                f"{position} (counted from 0); give each line its own mark, or add the "
                "quantities.",
            )
        else:
            first[opening.mark] = position


def _value_faults(path: Path, opening: Opening, unit: LengthUnit) -> Iterator[Fault]:
    name = f"Opening {opening.mark}"
    if not opening.mark.strip():
        yield Fault(
            (*path, "mark"),
            "mark-blank",
            f"The opening at position {path[1]} (counted from 0) has a blank mark; give it one.",
        )
    for side, length_nm in (("width", opening.width_nm), ("height", opening.height_nm)):
        if length_nm <= 0:
            yield Fault(
                (*path, "size", side),
                "length-not-positive",
                f"{name}: the {side} is {format_length(length_nm, unit)}; give more than 0.",
            )
    if opening.quantity < 1:
        yield Fault(
            (*path, "quantity"),
            "quantity-below-one",
            f"{name}: the quantity is {opening.quantity}; give 1 or more, or leave the line out.",
        )
    if not opening.finish.strip():
        yield Fault(
            (*path, "finish"), "finish-blank", f"{name}: the finish is blank; state the finish."
        )
    if opening.fastener_spacing_nm is not None and opening.fastener_spacing_nm <= 0:
        yield Fault(
            (*path, "fastener_spacing"),
            "spacing-not-positive",
            f"{name}: the fastener spacing is {format_length(opening.fastener_spacing_nm, unit)}; "
            "give more than 0, or leave it out.",
        )


def _rule_faults(path: Path, opening: Opening, rule_sets: Mapping[str, RuleSet]) -> Iterator[Fault]:
    """Yield where the opening asks for what its rule set does not have."""
    rule_set = rule_sets.get(opening.rule_set)
    if rule_set is None:
        yield Fault(
            (*path, "rule_set"),
            "unknown-rule-set",
            f"Opening {opening.mark}: the rule set {quote(opening.rule_set)} is not known; "
            f"give one of: {', '.join(sorted(rule_sets))}.",
        )
    elif opening.kind not in rule_set.kinds:
        yield Fault(
            (*path, "kind"),
            "kind-not-served",
            f"Opening {opening.mark}: the rule set {rule_set.id} has no rules for a "
            f"{opening.kind}; give one of its kinds ({', '.join(rule_set.kinds)}), or another "
            "rule set.",
        )
    else:
        yield from _option_faults(path, opening, rule_set)
        if opening.edges is not None:
            yield from _edge_faults(path, opening, opening.edges, rule_set)


def _option_faults(path: Path, opening: Opening, rule_set: RuleSet) -> Iterator[Fault]:
    """Yield each option that is asked for and changes nothing: none may be lost in silence."""
    rules = rule_set.rules_for(opening.kind)
    asked: tuple[tuple[str, MeetingStiles | Threshold, bool, set[Edge]], ...] = (
        (
            "meeting_stiles",
            opening.meeting_stiles,
            opening.meeting_stiles is not MeetingStiles.BY_OTHERS,
            {rule.edge for rule in rules if rule.when.meeting_stiles is opening.meeting_stiles},
        ),
        (
            "threshold",
            opening.threshold,
            opening.threshold is not Threshold.NONE,
            {rule.edge for rule in rules if rule.when.threshold is opening.threshold},
        ),
    )
    for name, value, is_asked, edges in asked:
        if not is_asked:
            continue
        if not edges:
            yield Fault(
                (*path, name),
                "option-does-not-apply",
                f"Opening {opening.mark}: {name} is {value}, which the rule set {rule_set.id} "
                f"does not have for a {opening.kind}; leave {name} out.",
            )
        elif opening.edges is not None and not edges & opening.edges:
            missing = ", ".join(edge for edge in Edge if edge in edges)
            yield Fault(
                (*path, "edges"),
                "option-without-its-edge",
                f"Opening {opening.mark}: {name} is {value}, but edges leaves out {missing}; "
                f"add it to edges, or leave {name} out.",
            )


def _edge_faults(
    path: Path, opening: Opening, edges: frozenset[Edge], rule_set: RuleSet
) -> Iterator[Fault]:
    """Yield each edge that takes nothing: not of the kind, or only with an option."""
    if not edges:
        yield Fault(
            (*path, "edges"),
            "no-edges",
            f"Opening {opening.mark}: edges is empty; name at least one edge, or leave it out for "
            "every edge.",
        )
    of_kind = {rule.edge for rule in rule_set.rules_for(opening.kind)}
    taken = {rule.edge for rule in rules_that_fire(rule_set, opening)}
    for edge in Edge:
        if edge not in edges or edge in taken:
            continue
        if edge in of_kind:
            option, value = _option_that_gives(edge, opening, rule_set)
            yield Fault(
                (*path, "edges"),
                "edge-without-its-option",
                f"Opening {opening.mark}: the edge {edge} takes nothing unless {option} is "
                f"{value}; set it so, or leave the edge out.",
            )
        else:
            served = ", ".join(edge for edge in Edge if edge in of_kind)
            yield Fault(
                (*path, "edges"),
                "edge-not-served",
                f"Opening {opening.mark}: the rule set {rule_set.id} has no rules for the edge "
                f"{edge} of a {opening.kind}; give edges of: {served}.",
            )


def _option_that_gives(edge: Edge, opening: Opening, rule_set: RuleSet) -> tuple[str, str]:
    """Return the option, and its value, under which an edge takes pieces."""
    for rule in rule_set.rules_for(opening.kind):
        if rule.edge is edge and not rule.when.holds_for(opening):
            when = rule.when
            if when.meeting_stiles not in (None, opening.meeting_stiles):
                return "meeting_stiles", str(when.meeting_stiles)
            return "threshold", str(when.threshold)
    raise AssertionError(f"{edge} takes pieces under every option")


def _policy_faults(policy: Policy, unit: LengthUnit) -> Iterator[Fault]:
    if policy.fastener_spacing_nm is not None and policy.fastener_spacing_nm <= 0:
        yield Fault(
            ("policy", "fastener_spacing"),
            "spacing-not-positive",
            "The policy's fastener spacing is "
            f"{format_length(policy.fastener_spacing_nm, unit)}; give more than 0, or leave it "
            "out.",
        )
    if policy.end_distance_nm < 0:
        yield Fault(
            ("policy", "end_distance"),
            "end-distance-negative",
            f"The end distance is {format_length(policy.end_distance_nm, unit)}; give 0 or more.",
        )
    allowance = policy.fastener_allowance_percent
    if not allowance.is_finite() or allowance < Decimal(0):
        yield Fault(
            ("policy", "fastener_allowance_percent"),
            "allowance-negative",
            f"The fastener allowance is {allowance} %; give a finite number, 0 or more.",
        )
    if policy.spare_fasteners < 0:
        yield Fault(
            ("policy", "spare_fasteners"),
            "spares-negative",
            f"The number of spare fasteners is {policy.spare_fasteners}; give 0 or more.",
        )
