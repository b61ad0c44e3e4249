"""Faults of openings and of the policy's counting, all of them at once."""

from collections.abc import Iterator, Mapping
from dataclasses import fields
from decimal import Decimal

from optimiser.domain.faults import Fault
from optimiser.domain.opening import Opening, OpeningKind, SizeOf
from optimiser.domain.order import Order, Policy
from optimiser.domain.phrases import with_article
from optimiser.domain.repeats import find_duplicate_marks
from optimiser.rule_sets import RuleSet
from optimiser.takeoff.piece_lengths import PieceLengths
from optimiser.takeoff.pieces import what_chooses_rules
from optimiser.takeoff.rule_faults import find_rule_faults
from optimiser.units.faults import quote
from optimiser.units.lengths import LengthUnit, format_length

Path = tuple[str | int, ...]


def find_order_faults(
    order: Order, rule_sets: Mapping[str, RuleSet], *, most_lengths: int | None = None
) -> tuple[Fault, ...]:
    """Return every fault that stands in the way of a takeoff, in the order of the input.

    `most_lengths` is how many distinct lengths the pieces may have; `None` leaves it open.
    Catalogue, kerf and the rest of the policy are not looked at.
    """
    faults = []
    if not order.openings:
        faults.append(
            Fault(("openings",), "no-openings", "The order has no openings; list at least one.")
        )
    faults += find_duplicate_marks(
        (position, opening.mark) for position, opening in enumerate(order.openings)
    )
    policy_faults = tuple(_policy_faults(order.policy, order.unit, rule_sets))
    served: set[tuple[object, ...]] = set()
    lengths = PieceLengths(order, rule_sets, most_lengths)
    for position, opening in enumerate(order.openings):
        path: Path = ("openings", position)
        value_faults = tuple(_value_faults(path, opening, order.policy, order.unit))
        faults += value_faults
        choices = what_chooses_rules(opening)
        rule_faults: tuple[Fault, ...] = ()
        if choices not in served:
            rule_faults = tuple(find_rule_faults(path, opening, rule_sets))
            faults += rule_faults
            if not rule_faults:
                served.add(choices)
        # A piece has a length only where all that it is worked out from is sound.
        if not (value_faults or rule_faults or policy_faults):
            faults += lengths.find_faults(path, opening)
    return (*faults, *policy_faults)


def _value_faults(
    path: Path, opening: Opening, policy: Policy, unit: LengthUnit
) -> Iterator[Fault]:
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
    for position, (product, finish) in enumerate(opening.finishes):
        if not product.strip() or not finish.strip():
            yield Fault(
                (*path, "finishes"),
                "finish-blank",
                f"{name}: entry {position} (counted from 0) of finishes is blank; name a product "
                "and its finish.",
            )
    if opening.fastener_spacing_nm is not None and opening.fastener_spacing_nm <= 0:
        yield Fault(
            (*path, "fastener_spacing"),
            "spacing-not-positive",
            f"{name}: the fastener spacing is {format_length(opening.fastener_spacing_nm, unit)}; "
            "give more than 0, or leave it out.",
        )
    yield from _datum_faults(path, opening, policy, unit)


def _datum_faults(
    path: Path, opening: Opening, policy: Policy, unit: LengthUnit
) -> Iterator[Fault]:
    """Yield what is wrong with what the size measures, and with the height of the lower one."""
    name = f"Opening {opening.mark}"
    if opening.size_of is SizeOf.ROUGH_OPENING:
        gaps = policy.clearances
        for side, frame_nm in (("width", gaps.rough_width_nm), ("height", gaps.rough_height_nm)):
            if frame_nm is None:
                yield Fault(
                    (*path, "size_of"),
                    "rough-opening-without-clearance",
                    f"{name}: the size is that of the rough opening, and the policy does not say "
                    f"how much larger its {side} is than the frame's opening; state "
                    f"policy.clearances.rough_{side}, or measure the opening.",
                )
    yield from _leaf_faults(path, opening, unit)
    if opening.lower_height_nm is None:
        return
    lower = format_length(opening.lower_height_nm, unit)
    if opening.kind not in {OpeningKind.DUTCH_DOOR, OpeningKind.DOUBLE_HUNG_WINDOW}:
        yield Fault(
            (*path, "lower_height"),
            "option-does-not-apply",
            f"{name}: lower_height is {lower}, but {with_article(opening.kind)} has no lower leaf "
            "or sash; leave lower_height out.",
        )
    elif not 0 < opening.lower_height_nm < opening.height_nm:
        yield Fault(
            (*path, "lower_height"),
            "lower-height-out-of-range",
            f"{name}: lower_height is {lower}; give more than 0 and less than the height, "
            f"{format_length(opening.height_nm, unit)}.",
        )


def _leaf_faults(path: Path, opening: Opening, unit: LengthUnit) -> Iterator[Fault]:
    """Yield what is wrong with the width of the inactive leaf."""
    if opening.inactive_leaf_width_nm is None:
        return
    place = (*path, "inactive_leaf_width")
    said = (
        f"Opening {opening.mark}: inactive_leaf_width is "
        f"{format_length(opening.inactive_leaf_width_nm, unit)}"
    )
    if opening.kind is not OpeningKind.PAIR_OF_DOORS:
        yield Fault(
            place,
            "option-does-not-apply",
            f"{said}, but {with_article(opening.kind)} has no inactive leaf; leave "
            "inactive_leaf_width out.",
        )
    elif opening.inactive_leaf_width_nm <= 0:
        yield Fault(place, "inactive-leaf-out-of-range", f"{said}; give more than 0.")
    elif opening.size_of is not SizeOf.LEAF and opening.inactive_leaf_width_nm >= opening.width_nm:
        yield Fault(
            place,
            "inactive-leaf-out-of-range",
            f"{said}; give less than the width of both leaves, "
            f"{format_length(opening.width_nm, unit)}.",
        )


def _policy_faults(
    policy: Policy, unit: LengthUnit, rule_sets: Mapping[str, RuleSet]
) -> Iterator[Fault]:
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
    for field in fields(policy.clearances):
        length_nm = getattr(policy.clearances, field.name)
        if length_nm is not None and length_nm < 0:
            name = field.name.removesuffix("_nm")
            yield Fault(
                ("policy", "clearances", name),
                "clearance-negative",
                f"The clearance {name} is {format_length(length_nm, unit)}; give 0 or more.",
            )
    yield from _setting_faults(policy, unit, rule_sets)


def _setting_faults(
    policy: Policy, unit: LengthUnit, rule_sets: Mapping[str, RuleSet]
) -> Iterator[Fault]:
    """Yield each setting that no rule set has, or that cannot have the length stated."""
    least = {
        f"{rule_set.id}.{setting.id}": any(rule.spacing == setting.id for rule in rule_set.rules)
        for rule_set in rule_sets.values()
        for setting in rule_set.settings
    }
    for name, length_nm in policy.rule_settings:
        path = ("policy", "rule_settings", name)
        if name not in least:
            yield Fault(
                path,
                "unknown-setting",
                f"The policy states the setting {quote(name)}, which no rule set has; "
                f"give one of: {', '.join(sorted(least))}.",
            )
        elif length_nm < least[name]:
            yield Fault(
                path,
                "setting-out-of-range",
                f"The setting {name} is {format_length(length_nm, unit)}; give "
                f"{'more than 0' if least[name] else '0 or more'}.",
            )
