"""From the rack, the splices and the substitutions of the wire to those of the domain."""

from decimal import Decimal

from optimiser.domain import rack as domain
from optimiser.domain.catalogue import Material
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.units.lengths import LengthUnit, parse_length
from service.mapping.faults import FaultGatherer, Path
from service.wire import concessions as wire_concessions
from service.wire import rack as wire


def to_rack(rack: wire.Rack, unit: LengthUnit, gatherer: FaultGatherer) -> domain.Rack:
    """Return the rack; what cannot be read is kept by the gatherer."""
    return domain.Rack(
        offcuts=tuple(
            to_offcut(offcut, unit, ("rack", "offcuts", n), gatherer)
            for n, offcut in enumerate(rack.offcuts)
        ),
        fasteners=tuple(to_fasteners_on_hand(held) for held in rack.fasteners),
    )


def to_offcut(
    offcut: wire.Offcut, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> domain.Offcut:
    """Return offcuts of one length; what cannot be read is kept by the gatherer."""
    return domain.Offcut(
        id=offcut.id,
        material=Material(offcut.product, offcut.finish),
        length_nm=gatherer.read((*path, "length"), 1, parse_length, offcut.length, unit),
        quantity=offcut.quantity,
        value=Decimal(offcut.value),
    )


def to_fasteners_on_hand(held: wire.FastenersOnHand) -> domain.FastenersOnHand:
    """Return loose fasteners on hand."""
    return domain.FastenersOnHand(
        fastener=held.fastener,
        finish=held.finish,
        count=held.count,
        value=Decimal(held.value),
    )


def to_splice(
    splice: wire_concessions.Splice, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> SpliceRule:
    """Return a rule for splices; what cannot be read is kept by the gatherer."""
    return SpliceRule(
        product=splice.product,
        edges=frozenset(splice.edges),
        least_segment_nm=gatherer.read(
            (*path, "least_segment"), 1, parse_length, splice.least_segment, unit
        ),
        position_step_nm=gatherer.read(
            (*path, "position_step"), 1, parse_length, splice.position_step, unit
        ),
        least_head_nm=gatherer.read(
            (*path, "least_head"), 0, parse_length, splice.least_head, unit
        ),
        cost=Decimal(splice.cost),
    )


def to_substitution(substitution: wire_concessions.Substitution) -> Substitution:
    """Return what may stand in for what."""
    wanted, instead = substitution.wanted, substitution.instead
    return Substitution(
        wanted=Material(wanted.product, wanted.finish),
        instead=Material(instead.product, instead.finish),
        preference=Decimal(substitution.preference),
    )
