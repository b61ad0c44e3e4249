"""Reasons, notices, alternatives and cautions, as an answer states them."""

from typing import Any, get_args

from optimiser.domain import plan as domain_plan
from optimiser.domain import reasons as domain
from optimiser.explain import alternative_statement, sentence
from service.mapping.shown import ValueWriter
from service.mapping.stating import state
from service.wire import notices, plan, reasons
from service.wire.base import WireModel


def _by_code(union: Any) -> dict[str, tuple[type[WireModel], type[WireModel]]]:
    """Return the models of a union of told facts, each by its code, with that of its facts."""
    models = get_args(get_args(union.__value__)[0])
    members = ((model, model.model_fields) for model in models)
    return {
        get_args(fields["code"].annotation)[0]: (model, fields["facts"].annotation)
        for model, fields in members
    }


TOLD = {**_by_code(reasons.Reason), **_by_code(notices.Notice)}
"""The model of the contract for each code, and that of its facts."""


def write_reason(reason: domain.Reason, writer: ValueWriter) -> Any:
    """Return a reason or a notice with its facts and its sentence.

    Raises:
        KeyError: the code of the reason has no place in the contract.
    """
    told: Any
    told, facts = TOLD[reason.code]
    return told(
        code=reason.code,
        marks=list(reason.marks),
        facts=state(facts, reason, writer),
        sentence=sentence(reason, writer.unit, writer.currency),
    )


def write_alternative(
    alternative: domain_plan.Alternative, writer: ValueWriter
) -> plan.Alternative:
    """Return an alternative with its statement and its sentence."""
    return state(
        plan.Alternative,
        alternative,
        writer,
        statement=alternative_statement(alternative.code, alternative.supplier),
        supplier=alternative.supplier or None,
        sentence=sentence(alternative, writer.unit, writer.currency),
    )


def write_caution(caution: domain.Caution) -> plan.Caution:
    """Return a caution with its source."""
    return plan.Caution(
        code=caution.code,
        marks=list(caution.marks),
        sentence=caution.sentence,
        source=caution.source,
    )
