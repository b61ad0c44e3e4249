"""Documents that people read, of a plan just made or of one that is kept."""

from dataclasses import dataclass, replace
from decimal import Decimal

from pydantic import TypeAdapter

from optimiser.domain.order import Order
from optimiser.domain.plan import Alternative, AlternativeOutcome, Plan
from optimiser.domain.quote import Quote
from optimiser.explain import applicable_cautions, give_reasons
from optimiser.publishing.builders import (
    DOCUMENTS_OF_PLANS,
    DOCUMENTS_OF_QUOTES,
    DOCUMENTS_OF_STUDIES,
)
from optimiser.publishing.builders.matter import PlanMatter
from optimiser.publishing.builders.studies import StudyMatter
from optimiser.publishing.forms import find_form
from optimiser.rule_sets import RuleSet
from optimiser.takeoff import take_off
from service.jobs.outcomes import ToPublish
from service.jobs.rebuilding import rebuild_plan
from service.json_text import read_json
from service.wire import limits
from service.wire.plan import Alternative as WireAlternative

_ALTERNATIVES = TypeAdapter(list[WireAlternative])


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPlan:
    """What is kept of a plan: its order, what the solver decided, the plan as JSON."""

    request: bytes
    solution: bytes
    document: bytes


def publish(matter: PlanMatter, wanted: ToPublish) -> bytes:
    """Return a document of a plan in its form."""
    publication = DOCUMENTS_OF_PLANS[wanted.document](matter, wanted.edition)
    return find_form(wanted.media_type).write(publication)


def publish_quote(quote: Quote, wanted: ToPublish) -> bytes:
    """Return a document of a quote in its form."""
    publication = DOCUMENTS_OF_QUOTES[wanted.document](quote, wanted.edition)
    return find_form(wanted.media_type).write(publication)


def publish_study(matter: StudyMatter, wanted: ToPublish) -> bytes:
    """Return a document of a study in its form."""
    publication = DOCUMENTS_OF_STUDIES[wanted.document](matter, wanted.edition)
    return find_form(wanted.media_type).write(publication)


def rebuild_whole(kept: KeptPlan) -> PlanMatter:
    """Return a kept plan as it was made, without a solver, with its order.

    Reasons, notices and cautions are given anew; what the alternatives came to is read from the
    plan as JSON, because only solving would find it again.
    """
    planned = rebuild_plan(kept.request, kept.solution)
    return PlanMatter(
        plan=explain(planned.plan, planned.order, planned.rule_sets, kept.document),
        order=planned.order,
        rule_sets=planned.rule_sets,
    )


def explain(plan: Plan, order: Order, rule_sets: tuple[RuleSet, ...], document: bytes) -> Plan:
    """Return a plan with its reasons, notices, cautions and alternatives."""
    takeoff = take_off(order, rule_sets=rule_sets, most_lengths=limits.PIECE_LENGTHS)
    alternatives = tuple(
        Alternative(
            code=told.code,
            outcome=AlternativeOutcome(told.outcome),
            cost=None if told.cost is None else Decimal(told.cost),
            extra_cost=None if told.extra_cost is None else Decimal(told.extra_cost),
            proved=told.proved,
            obstacles=tuple(told.obstacles),
            supplier=told.supplier or "",
        )
        for told in _ALTERNATIVES.validate_python(read_json(document)["alternatives"], strict=False)
    )
    plan = replace(plan, alternatives=alternatives)
    reasons, notices = give_reasons(order, takeoff, plan)
    return replace(plan, reasons=reasons, notices=notices, cautions=applicable_cautions(takeoff))
