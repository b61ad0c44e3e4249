"""Reasons, notices, alternatives and cautions, as an answer states them."""

from typing import Any

from optimiser.domain import notices as domain_notices
from optimiser.domain import plan as domain_plan
from optimiser.domain import reasons as domain
from optimiser.explain import alternative_statement, sentence
from service.mapping import notices_out
from service.mapping.facts_out import write_facts
from service.mapping.shown import ValueWriter
from service.wire import notices as wire_notices
from service.wire import plan as wire_plan
from service.wire import reasons as wire

# Importing it registers the facts of notices.
del notices_out

_REASONS: dict[type[domain.Reason], Any] = {
    domain.RuleFired: wire.RuleFired,
    domain.FastenersCounted: wire.FastenersCounted,
    domain.FastenersNeeded: wire.FastenersNeeded,
    domain.SetServed: wire.SetServed,
    domain.KitFastenersCounted: wire.KitFastenersCounted,
    domain.KitPriced: wire.KitPriced,
    domain.KitFastenersPriced: wire.KitFastenersPriced,
    domain.FastenersSupplied: wire.FastenersSupplied,
    domain.LengthAccounted: wire.LengthAccounted,
    domain.CostAccounted: wire.CostAccounted,
    domain.CostBounded: wire.CostBounded,
    domain.MeetingStilesByOthers: wire_notices.MeetingStilesByOthers,
    domain.AstragalByOthers: wire_notices.AstragalByOthers,
    domain_notices.KitShortOfFasteners: wire_notices.KitShortOfFasteners,
    domain_notices.ThinFastenerMargin: wire_notices.ThinFastenerMargin,
    domain_notices.FastenersPooledOverFinishes: wire_notices.FastenersPooledOverFinishes,
    domain_notices.PriceOfZero: wire_notices.PriceOfZero,
    domain_notices.BoughtBeyondUse: wire_notices.BoughtBeyondUse,
    domain_notices.SizeReadWithCare: wire_notices.SizeReadWithCare,
    domain_notices.SizeTakenForBoth: wire_notices.SizeTakenForBoth,
    domain_notices.CostNotProved: wire_notices.CostNotProved,
}


def write_reason(reason: domain.Reason, writer: ValueWriter) -> Any:
    """Return a reason or a notice with its facts and its sentence.

    Raises:
        TypeError: the class of the reason has no place in the contract.
    """
    facts = write_facts(reason, writer)
    return _REASONS[type(reason)](
        code=reason.code,
        marks=list(reason.marks),
        facts=facts,
        sentence=sentence(reason, writer.unit, writer.currency),
    )


def write_alternative(
    alternative: domain_plan.Alternative, writer: ValueWriter
) -> wire_plan.Alternative:
    """Return an alternative with its statement and its sentence."""
    cost, extra = alternative.cost, alternative.extra_cost
    return wire_plan.Alternative(
        code=alternative.code,
        statement=alternative_statement(alternative.code, alternative.supplier),
        outcome=alternative.outcome,
        cost=None if cost is None else writer.amount(cost),
        extra_cost=None if extra is None else writer.amount(extra),
        proved=alternative.proved,
        obstacles=list(alternative.obstacles),
        sentence=sentence(alternative, writer.unit, writer.currency),
    )


def write_caution(caution: domain.Caution) -> wire_plan.Caution:
    """Return a caution with its source."""
    return wire_plan.Caution(
        code=caution.code,
        marks=list(caution.marks),
        sentence=caution.sentence,
        source=caution.source,
    )
