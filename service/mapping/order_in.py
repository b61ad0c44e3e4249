"""From the order of the wire to that of the domain."""

from collections.abc import Iterable
from decimal import Decimal

from optimiser.domain import order as domain
from optimiser.domain.catalogue import Catalogue
from optimiser.domain.clearances import Clearances
from optimiser.domain.opening import Opening
from optimiser.units.door_sizes import DoorSize, parse_door_size
from optimiser.units.lengths import LengthUnit, parse_length
from service.mapping.buying_in import to_keep_drops
from service.mapping.catalogue_in import to_catalogue
from service.mapping.faults import FaultGatherer, Path
from service.mapping.rack_in import to_rack, to_splice, to_substitution
from service.wire import limits
from service.wire import opening as wire_opening
from service.wire import order as wire

NO_CATALOGUE = Catalogue(supplier="", currency="USD")
"""Stands in a takeoff, which buys nothing, where none was sent."""


def to_order(
    order: wire.Order | wire.TakeoffOrder,
    gatherer: FaultGatherer,
    *,
    longest_time_limit_seconds: float,
) -> domain.Order:
    """Return the order of the domain; what cannot be taken is kept by the gatherer."""
    catalogues = tuple(
        to_catalogue(catalogue, order.unit, ("catalogues", position), gatherer)
        for position, catalogue in enumerate(order.catalogues)
    )
    check_currency(order.currency, catalogues, gatherer)
    openings = tuple(
        to_opening(opening, order.unit, ("openings", position), gatherer)
        for position, opening in enumerate(order.openings)
    )
    check_total(openings, gatherer)
    return domain.Order(
        openings=openings,
        catalogues=catalogues or (NO_CATALOGUE,),
        policy=to_policy(
            order.policy,
            order.unit,
            gatherer,
            longest_time_limit_seconds=longest_time_limit_seconds,
        ),
        reference=order.reference,
        unit=order.unit,
        rack=to_rack(order.rack, order.unit, gatherer),
    )


def check_currency(
    expected: str | None, catalogues: Iterable[Catalogue], gatherer: FaultGatherer
) -> None:
    """Keep a fault for each catalogue in another currency than the order expects."""
    for catalogue in catalogues:
        if expected not in {None, catalogue.currency}:
            gatherer.add(
                ("currency",),
                "currency-mismatch",
                f"the order is in {expected} and the catalogue of {catalogue.supplier} in "
                f"{catalogue.currency}; an order is bought in one currency: correct one, or send "
                f"a catalogue in {expected}.",
            )


def check_total(openings: Iterable[Opening], gatherer: FaultGatherer) -> None:
    """Keep a fault where there are more openings altogether than an order may have."""
    total = sum(opening.quantity for opening in openings)
    if total > limits.OPENINGS:
        gatherer.add(
            ("openings",),
            "too-many-openings",
            f"the quantities add up to {total:,}, above the limit of {limits.OPENINGS:,}; "
            "split the order.",
        )


def to_opening(
    opening: wire_opening.Opening, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> Opening:
    """Return an opening; what cannot be read is kept by the gatherer."""
    size = _to_size(opening.size, unit, (*path, "size"), gatherer)
    spacing_nm = None
    if opening.fastener_spacing is not None:
        spacing_nm = gatherer.read(
            (*path, "fastener_spacing"), 1, parse_length, opening.fastener_spacing, unit
        )
    return Opening(
        mark=opening.mark,
        kind=opening.kind,
        width_nm=size.width_nm,
        height_nm=size.height_nm,
        size_of=opening.size_of,
        lower_height_nm=None
        if opening.lower_height is None
        else gatherer.read((*path, "lower_height"), 1, parse_length, opening.lower_height, unit),
        inactive_leaf_width_nm=None
        if opening.inactive_leaf_width is None
        else gatherer.read(
            (*path, "inactive_leaf_width"), 1, parse_length, opening.inactive_leaf_width, unit
        ),
        quantity=opening.quantity,
        rule_set=opening.rule_set,
        also=tuple(opening.also),
        finish=opening.finish,
        finishes=tuple(sorted(opening.finishes.items())),
        fastener_spacing_nm=spacing_nm,
        meeting_stiles=opening.meeting_stiles,
        threshold=opening.threshold,
        sash_cords=opening.sash_cords,
        side_strips=opening.side_strips,
        edges=None if opening.edges is None else frozenset(opening.edges),
        remarks=opening.remarks,
        notes=size.notes,
    )


def _to_size(
    size: wire_opening.WidthAndHeight | str, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> DoorSize:
    if isinstance(size, str):
        stand_in = DoorSize(width_nm=1, height_nm=1)
        return gatherer.read(path, stand_in, parse_door_size, size, unit)
    return DoorSize(
        width_nm=gatherer.read((*path, "width"), 1, parse_length, size.width, unit),
        height_nm=gatherer.read((*path, "height"), 1, parse_length, size.height, unit),
    )


def to_policy(
    policy: wire.Policy,
    unit: LengthUnit,
    gatherer: FaultGatherer,
    *,
    longest_time_limit_seconds: float,
) -> domain.Policy:
    """Return the policy; what cannot be taken is kept by the gatherer."""
    root: Path = ("policy",)
    if policy.time_limit_seconds > Decimal(str(longest_time_limit_seconds)):
        gatherer.add(
            (*root, "time_limit_seconds"),
            "time-limit-too-long",
            f"{policy.time_limit_seconds} s is more than this service allows, "
            f"{longest_time_limit_seconds:g} s; send that or less.",
        )
    spacing_nm = None
    if policy.fastener_spacing is not None:
        spacing_nm = gatherer.read(
            (*root, "fastener_spacing"), 1, parse_length, policy.fastener_spacing, unit
        )
    return domain.Policy(
        kerf_nm=gatherer.read((*root, "kerf"), 0, parse_length, policy.kerf, unit),
        end_trim_nm=gatherer.read((*root, "end_trim"), 0, parse_length, policy.end_trim, unit),
        fastener_counting=policy.fastener_counting,
        end_distance_nm=gatherer.read(
            (*root, "end_distance"), 0, parse_length, policy.end_distance, unit
        ),
        fastener_spacing_nm=spacing_nm,
        fastener_allowance_percent=Decimal(policy.fastener_allowance_percent),
        spare_fasteners=policy.spare_fasteners,
        fasteners_match_finish=policy.fasteners_match_finish,
        clearances=_to_clearances(policy.clearances, unit, (*root, "clearances"), gatherer),
        rule_settings=tuple(
            (name, gatherer.read((*root, "rule_settings", name), 0, parse_length, length, unit))
            for name, length in sorted(policy.rule_settings.items())
        ),
        allow_kits=policy.allow_kits,
        allow_cutting=policy.allow_cutting,
        cut_charge=Decimal(policy.cut_charge),
        keep_drops=to_keep_drops(policy.keep_drops, unit, (*root, "keep_drops"), gatherer),
        splices=tuple(
            to_splice(splice, unit, (*root, "splices", n), gatherer)
            for n, splice in enumerate(policy.splices)
        ),
        substitutions=tuple(map(to_substitution, policy.substitutions)),
        alternatives=policy.alternatives,
        time_limit_seconds=float(policy.time_limit_seconds),
    )


def _to_clearances(
    clearances: wire.Clearances, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> Clearances:
    stated = {
        name: length
        for name in wire.Clearances.model_fields
        if (length := getattr(clearances, name)) is not None
    }
    return Clearances(
        **{
            f"{name}_nm": gatherer.read((*path, name), 0, parse_length, length, unit)
            for name, length in stated.items()
        }
    )
