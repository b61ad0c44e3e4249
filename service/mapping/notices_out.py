"""The facts of notices, as an answer states them."""

from optimiser.domain import notices as domain
from optimiser.domain.reasons import AstragalByOthers, MeetingStilesByOthers
from service.mapping.facts_out import write_facts
from service.mapping.shown import ValueWriter, write_decimal, write_fraction
from service.wire import notices as wire
from service.wire.base import WireModel


@write_facts.register
def _(notice: MeetingStilesByOthers, writer: ValueWriter) -> WireModel:
    return wire.MeetingStilesByOthersFacts(height=writer.length(notice.height_nm))


@write_facts.register
def _(notice: AstragalByOthers, writer: ValueWriter) -> WireModel:
    return wire.AstragalByOthersFacts(height=writer.length(notice.height_nm))


@write_facts.register
def _(notice: domain.KitShortOfFasteners, writer: ValueWriter) -> WireModel:
    return wire.KitShortOfFastenersFacts(
        sku=notice.sku,
        kits=notice.kits,
        fastener=notice.fastener,
        spacing=writer.length(notice.spacing_nm),
        fasteners=notice.fasteners,
        packs=notice.packs,
        held=notice.held,
        short=notice.short,
    )


@write_facts.register
def _(notice: domain.ThinFastenerMargin, writer: ValueWriter) -> WireModel:
    stated = notice.stated_per_pack
    return wire.ThinFastenerMarginFacts(
        fastener=notice.fastener,
        finish=notice.finish,
        spare=notice.spare,
        least_percent=write_decimal(notice.least_percent),
        least_per_pack=notice.least_per_pack,
        stated_per_pack=None if stated is None else write_fraction(stated),
    )


@write_facts.register
def _(notice: domain.FastenersPooledOverFinishes, writer: ValueWriter) -> WireModel:
    return wire.FastenersPooledOverFinishesFacts(
        fastener=notice.fastener, finishes=list(notice.finishes)
    )


@write_facts.register
def _(notice: domain.PriceOfZero, writer: ValueWriter) -> WireModel:
    return wire.PriceOfZeroFacts(sku=notice.sku, quantity=notice.quantity)


@write_facts.register
def _(notice: domain.BoughtBeyondUse, writer: ValueWriter) -> WireModel:
    return wire.BoughtBeyondUseFacts(
        sku=notice.sku,
        bought=notice.bought,
        cut=notice.cut,
        sold_in_multiples_of=notice.sold_in_multiples_of,
    )


@write_facts.register
def _(notice: domain.SizeReadWithCare, writer: ValueWriter) -> WireModel:
    return wire.SizeReadWithCareFacts(
        width=writer.length(notice.width_nm),
        height=writer.length(notice.height_nm),
        remark=notice.remark,
    )


@write_facts.register
def _(notice: domain.SizeTakenForBoth, writer: ValueWriter) -> WireModel:
    return wire.SizeTakenForBothFacts(size_of=notice.size_of)


@write_facts.register
def _(notice: domain.CostNotProved, writer: ValueWriter) -> WireModel:
    return wire.CostNotProvedFacts(
        cost=writer.amount(notice.cost),
        lower_bound=writer.amount(notice.lower_bound),
        gap=writer.amount(notice.gap),
    )
