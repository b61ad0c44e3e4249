"""From a plan of the domain to that of the wire."""

from optimiser.domain import plan as domain
from optimiser.domain.decision import Certificate
from service.mapping.shown import ValueWriter, write_gap_percent, write_material, write_packed
from service.mapping.takeoff_out import need_members, opening_members
from service.mapping.told_out import write_alternative, write_caution, write_reason
from service.wire import plan as wire
from service.wire.reasons import AimProof


def write_plan(plan: domain.Plan) -> wire.Plan:
    """Return a plan as an answer states it."""
    writer = ValueWriter(plan.unit, plan.currency)
    return wire.Plan(
        reference=plan.reference,
        supplier=plan.supplier,
        currency=plan.currency,
        unit=plan.unit,
        total=writer.amount(plan.total),
        purchases=[_write_purchase(line, writer) for line in plan.purchases],
        openings=[_write_opening(opening, writer) for opening in plan.openings],
        patterns=[_write_pattern(pattern, writer) for pattern in plan.patterns],
        fasteners=[_write_fasteners(supply) for supply in plan.fasteners],
        account=[
            wire.AccountLine(kind=line.kind, amount=writer.amount(line.amount))
            for line in plan.account
        ],
        certificate=_write_certificate(plan.certificate, writer),
        alternatives=[write_alternative(other, writer) for other in plan.alternatives],
        reasons=[write_reason(reason, writer) for reason in plan.reasons],
        notices=[write_reason(notice, writer) for notice in plan.notices],
        cautions=[write_caution(caution) for caution in plan.cautions],
    )


def _write_purchase(
    line: domain.PurchaseLine, writer: ValueWriter
) -> wire.StockLengthLine | wire.KitLine | wire.FastenerPackLine:
    unit_price, amount = writer.amount(line.unit_price), writer.amount(line.amount)
    match line:
        case domain.PurchaseLine(
            kind=domain.PurchaseKind.STOCK_LENGTH, material=material, length_nm=int(length_nm)
        ) if material is not None:
            return wire.StockLengthLine(
                kind=domain.PurchaseKind.STOCK_LENGTH,
                sku=line.sku,
                quantity=line.quantity,
                unit="length",
                unit_price=unit_price,
                amount=amount,
                material=write_material(material),
                length=writer.length(length_nm),
            )
        case domain.PurchaseLine(kind=domain.PurchaseKind.KIT, material=material) if material:
            return wire.KitLine(
                kind=domain.PurchaseKind.KIT,
                sku=line.sku,
                quantity=line.quantity,
                unit="kit",
                unit_price=unit_price,
                amount=amount,
                material=write_material(material),
                lengths=writer.counts(line.lengths),
                fastener=line.fastener,
                packs_per_kit=line.packs_per_kit,
                made_for=list(line.made_for),
            )
        case domain.PurchaseLine(kind=domain.PurchaseKind.FASTENER_PACK, fastener=str(fastener)):
            return wire.FastenerPackLine(
                kind=domain.PurchaseKind.FASTENER_PACK,
                sku=line.sku,
                quantity=line.quantity,
                unit="pack",
                unit_price=unit_price,
                amount=amount,
                fastener=fastener,
            )
    raise TypeError(f"SKU {line.sku}: a {line.kind} line lacks what such a line states")


def _write_opening(plan: domain.OpeningPlan, writer: ValueWriter) -> wire.OpeningPlan:
    return wire.OpeningPlan(
        **opening_members(plan.takeoff, writer),
        supplies=[
            wire.SetSupply(
                material=write_material(supply.material),
                kits=[wire.KitCount(sku=sku, openings=openings) for sku, openings in supply.kits],
                cut=supply.cut,
            )
            for supply in plan.supplies
        ],
        cut_list=[
            wire.CutListLine(
                label=line.label,
                edge=line.edge,
                member=line.member,
                lies_on=line.lies_on,
                material=write_material(line.material),
                length=writer.length(line.length_nm),
                pieces=line.pieces,
                from_patterns=[
                    wire.PatternCount(pattern=pattern, pieces=pieces)
                    for pattern, pieces in line.from_patterns
                ],
            )
            for line in plan.cut_list
        ],
    )


def _write_pattern(sheet: domain.PatternSheet, writer: ValueWriter) -> wire.Pattern:
    return wire.Pattern(
        name=sheet.name,
        sku=sheet.sku,
        material=write_material(sheet.material),
        bars=sheet.bars,
        stock_length=writer.length(sheet.stock_nm),
        cuts=writer.counts(sheet.cuts),
        kerf=writer.length(sheet.kerf_nm),
        end_trim=writer.length(sheet.end_trim_nm),
        drop=writer.length(sheet.drop_nm),
    )


def _write_fasteners(supply: domain.FastenerSupply) -> wire.FastenerSupply:
    return wire.FastenerSupply(
        **need_members(supply.need),
        kits=write_packed(supply.kits),
        packs=write_packed(supply.packs),
        supplied=supply.supplied,
        spare=supply.spare,
    )


def _write_certificate(certificate: Certificate, writer: ValueWriter) -> wire.Certificate:
    return wire.Certificate(
        cost=writer.amount(certificate.cost),
        lower_bound=writer.amount(certificate.lower_bound),
        gap=writer.amount(certificate.gap),
        gap_percent=write_gap_percent(certificate.gap, certificate.lower_bound),
        proved=certificate.proved,
        method=certificate.method,
        patterns_considered=certificate.patterns_considered,
        aims=[AimProof(aim=proof.aim, proved=proof.proved) for proof in certificate.aims],
    )
