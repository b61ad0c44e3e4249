"""Read the inputs of a calculation from the bytes of a request or a file, every fault at once."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from pydantic import BaseModel

from optimiser.domain.faults import Fault
from service.json_text import MalformedJson, read_json
from service.mapping.faults import FaultGatherer
from service.mapping.validation import validate
from service.problems import INVALID_INPUTS, MALFORMED_JSON, Problem, count_faults

M = TypeVar("M", bound=BaseModel)
T = TypeVar("T")


def read_inputs(body: bytes, model: type[M], take: Callable[[M, FaultGatherer], T]) -> T:
    """Return what `take` makes of the inputs that a JSON text states.

    Raises:
        Problem: malformed JSON, or invalid inputs; every fault that can be told is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    validated = validate(model, raw)
    if isinstance(validated, list):
        raise invalid_inputs(validated)
    gatherer = FaultGatherer(raw)
    taken = take(validated, gatherer)
    if gatherer.faults:
        raise invalid_inputs(gatherer.faults)
    return taken


def invalid_inputs(faults: Iterable[Fault]) -> Problem:
    """Return the problem of inputs with these faults."""
    named = tuple(
        Fault(fault.path, fault.code, fault.message.replace("The order:", "The request:", 1))
        if fault.path == ()
        else fault
        for fault in faults
    )
    return Problem(INVALID_INPUTS, count_faults(named), faults=named)
