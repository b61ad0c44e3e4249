"""From a plan of the domain to that of the wire."""

from optimiser.domain import plan as domain
from service.mapping.shown import ValueWriter, write_gap_percent
from service.mapping.stating import state
from service.mapping.takeoff_out import need_members, opening_members
from service.mapping.told_out import write_alternative, write_caution, write_reason
from service.wire import plan as wire
from service.wire import purchases
from service.wire.base import WireModel

_LINES: dict[domain.PurchaseKind, tuple[type[WireModel], str]] = {
    domain.PurchaseKind.STOCK_LENGTH: (purchases.StockLengthLine, "length"),
    domain.PurchaseKind.KIT: (purchases.KitLine, "kit"),
    domain.PurchaseKind.FASTENER_PACK: (purchases.FastenerPackLine, "pack"),
    domain.PurchaseKind.STANDARD_KIT: (purchases.StandardKitLine, "kit"),
}
"""The model of each kind of line, and what its quantity counts."""


def write_plan(plan: domain.Plan) -> wire.Plan:
    """Return a plan as an answer states it."""
    writer = ValueWriter(plan.unit, plan.currency)
    certificate = plan.certificate
    return state(
        wire.Plan,
        plan,
        writer,
        purchases=[_write_purchase(line, writer) for line in plan.purchases],
        openings=[_write_opening(opening, writer) for opening in plan.openings],
        fasteners=[_write_fasteners(supply, writer) for supply in plan.fasteners],
        certificate=state(
            wire.Certificate,
            certificate,
            writer,
            gap_percent=write_gap_percent(certificate.gap, certificate.lower_bound),
        ),
        alternatives=[write_alternative(other, writer) for other in plan.alternatives],
        reasons=[write_reason(reason, writer) for reason in plan.reasons],
        notices=[write_reason(notice, writer) for notice in plan.notices],
        cautions=[write_caution(caution) for caution in plan.cautions],
    )


def _write_purchase(line: domain.PurchaseLine, writer: ValueWriter) -> WireModel:
    model, unit = _LINES[line.kind]
    if unit == "length" and line.bars_per_unit > 1:
        unit = "bundle"
    return state(model, line, writer, unit=unit)


def _write_opening(plan: domain.OpeningPlan, writer: ValueWriter) -> wire.OpeningPlan:
    return wire.OpeningPlan(
        **opening_members(plan.takeoff, writer),
        supplies=[state(wire.SetSupply, supply, writer) for supply in plan.supplies],
        cut_list=[state(wire.CutListLine, line, writer) for line in plan.cut_list],
        trim_list=[state(wire.TrimLine, line, writer) for line in plan.trim_list],
    )


def _write_fasteners(supply: domain.FastenerSupply, writer: ValueWriter) -> wire.FastenerSupply:
    return state(wire.FastenerSupply, supply, writer, **need_members(supply.need))
