"""The facts of reasons, as an answer states them; their sentences are the library's."""

from functools import singledispatch

from optimiser.domain import reasons as domain
from service.mapping.shown import (
    ValueWriter,
    write_decimal,
    write_fraction,
    write_material,
    write_packed,
)
from service.wire import reasons as wire
from service.wire.base import WireModel


@singledispatch
def write_facts(reason: domain.Reason, writer: ValueWriter) -> WireModel:
    """Return the facts of a reason or a notice.

    Raises:
        TypeError: the class of the reason has no place in the contract.
    """
    raise TypeError(f"no facts for {type(reason).__name__}")


@write_facts.register
def _(reason: domain.RuleFired, writer: ValueWriter) -> WireModel:
    return wire.RuleFiredFacts(
        rule_id=reason.rule_id,
        statement=reason.statement,
        source=reason.source,
        inputs=[
            wire.NamedLength(name=name, length=writer.signed_length(nm))
            for name, nm in reason.inputs_nm
        ],
        divided_by=reason.divided_by,
        adjustments=[
            wire.NamedLength(name=name, length=writer.signed_length(nm))
            for name, nm in reason.adjusted_nm
        ],
        length=writer.length(reason.length_nm),
        count=reason.count,
    )


@write_facts.register
def _(reason: domain.FastenersCounted, writer: ValueWriter) -> WireModel:
    return wire.FastenersCountedFacts(
        fastener=reason.fastener,
        finish=reason.finish,
        spacing=writer.length(reason.spacing_nm),
        end_distance=writer.length(reason.end_distance_nm),
        running_length=writer.length(reason.running_length_nm),
        by_running_length=reason.by_running_length,
        per_piece=reason.per_piece,
        pieces=[
            wire.NailedPieces(length=writer.length(nm), pieces=pieces, fasteners_each=each)
            for nm, pieces, each in reason.pieces
        ],
        bought_by=reason.bought_by,
    )


@write_facts.register
def _(reason: domain.FastenersNeeded, writer: ValueWriter) -> WireModel:
    return wire.FastenersNeededFacts(
        fastener=reason.fastener,
        finish=reason.finish,
        by_running_length=reason.by_running_length,
        per_piece=reason.per_piece,
        bought_by=reason.bought_by,
        counted=reason.counted,
        allowance_percent=write_decimal(reason.allowance_percent),
        allowance=reason.allowance,
        spares=reason.spares,
        needed=reason.needed,
    )


@write_facts.register
def _(reason: domain.SetServed, writer: ValueWriter) -> WireModel:
    return wire.SetServedFacts(
        material=write_material(reason.material),
        lengths=writer.counts(reason.lengths),
        openings=reason.openings,
        kits_with_fasteners=reason.kits_with_fasteners,
        bare_kits=reason.bare_kits,
        cut=reason.cut,
    )


@write_facts.register
def _(reason: domain.KitFastenersCounted, writer: ValueWriter) -> WireModel:
    return wire.KitFastenersCountedFacts(
        sku=reason.sku,
        fastener=reason.fastener,
        nailed=writer.length(reason.nailed_nm),
        spacing=writer.length(reason.spacing_nm),
        fasteners=reason.fasteners,
        per_pack=write_fraction(reason.per_pack),
        tolerance_percent=write_decimal(reason.tolerance_percent),
        rounding=reason.rounding,
        packs=reason.packs,
        counted_on=reason.counted_on,
    )


@write_facts.register
def _(reason: domain.KitPriced, writer: ValueWriter) -> WireModel:
    return wire.KitPricedFacts(
        sku=reason.sku,
        base=writer.amount(reason.base),
        per_length=writer.amount(reason.per_length),
        per_length_of=writer.length(reason.per_length_nm),
        running_length=writer.length(reason.running_length_nm),
        per_piece=writer.amount(reason.per_piece),
        pieces=reason.pieces,
        per_pack=writer.amount(reason.per_pack),
        packs=reason.packs,
        unit_price=writer.amount(reason.unit_price),
    )


@write_facts.register
def _(reason: domain.KitFastenersPriced, writer: ValueWriter) -> WireModel:
    loose = None
    if reason.loose is not None:
        sku, price, fasteners = reason.loose
        loose = wire.LoosePack(sku=sku, price=writer.amount(price), fasteners=fasteners)
    return wire.KitFastenersPricedFacts(
        sku=reason.sku,
        bare_sku=reason.bare_sku,
        extra=writer.amount(reason.extra),
        packs=reason.packs,
        counted_on=reason.counted_on,
        loose=loose,
    )


@write_facts.register
def _(reason: domain.FastenersSupplied, writer: ValueWriter) -> WireModel:
    stated = reason.stated_per_pack
    return wire.FastenersSuppliedFacts(
        fastener=reason.fastener,
        finish=reason.finish,
        needed=reason.needed,
        kits=write_packed(reason.kits),
        packs=write_packed(reason.packs),
        supplied=reason.supplied,
        spare=reason.spare,
        least_percent=write_decimal(reason.least_percent),
        least_per_pack=reason.least_per_pack,
        stated_per_pack=None if stated is None else write_fraction(stated),
    )


@write_facts.register
def _(reason: domain.LengthAccounted, writer: ValueWriter) -> WireModel:
    return wire.LengthAccountedFacts(
        sku=reason.sku,
        material=write_material(reason.material),
        stock_length=writer.length(reason.stock_nm),
        bars=reason.bars,
        pieces=reason.pieces,
        in_pieces=writer.length(reason.pieces_nm),
        kerf=writer.length(reason.kerf_nm),
        end_trim=writer.length(reason.end_trim_nm),
        drop=writer.length(reason.drop_nm),
    )


@write_facts.register
def _(reason: domain.CostAccounted, writer: ValueWriter) -> WireModel:
    return wire.CostAccountedFacts(
        stock_lengths=writer.amount(reason.stock_lengths),
        kits=writer.amount(reason.kits),
        fastener_packs=writer.amount(reason.fastener_packs),
        total=writer.amount(reason.total),
    )


@write_facts.register
def _(reason: domain.CostBounded, writer: ValueWriter) -> WireModel:
    return wire.CostBoundedFacts(
        cost=writer.amount(reason.cost),
        lower_bound=writer.amount(reason.lower_bound),
        gap=writer.amount(reason.gap),
        method=reason.method,
        patterns_considered=reason.patterns_considered,
        aims=[wire.AimProof(aim=aim, proved=proved) for aim, proved in reason.aims],
    )
