"""Quote differences: an order as it was quoted and what changes in it, priced on the same terms."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from optimiser.domain.faults import Fault, QuoteRejected
from optimiser.domain.quote import Quote
from optimiser.quote import compare_quotes
from optimiser.render import render_customer_difference, render_inside_difference
from optimiser.rule_sets import RuleSet
from service.jobs.outcomes import PlanJob
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.quote_out import write_quote_difference
from service.mapping.quote_terms_in import TERMS
from service.mapping.reading import invalid_order
from service.problems import INVALID_ORDER, MALFORMED_JSON, Problem, count_faults
from service.quotes import prepare_quote
from service.studies.merge_patch import merge_patch
from service.wire import limits

CHANGE = "change"
"""The member of an order that holds what changes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedOrder:
    """The jobs of quoting an order as it was and as it is changed, with their bodies.

    `changed` are the members that the change touches.
    """

    body_before: bytes
    before: PlanJob
    body_after: bytes
    after: PlanJob
    changed: frozenset[str]


def prepare_changed_order(
    body: bytes,
    *,
    of_files: Iterable[RuleSet] = (),
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
) -> ChangedOrder:
    """Return the jobs of an order as it was quoted and of the order that the change makes of it.

    Raises:
        Problem: an order, its terms or the change cannot be taken; all faults are listed.
    """
    raw, change, of_change = _read(body)
    changed = frozenset(change)
    body_before = write_json(raw).encode()
    body_after = write_json(merge_patch(raw, change)).encode()
    faults, jobs = list(of_change), []
    rule_sets = tuple(of_files)
    for stated, members in ((body_before, frozenset[str]()), (body_after, changed)):
        try:
            jobs.append(
                prepare_quote(
                    stated,
                    as_text=False,
                    of_files=rule_sets,
                    longest_time_limit_seconds=longest_time_limit_seconds,
                )
            )
        except Problem as problem:
            if problem.kind is not INVALID_ORDER:
                raise
            faults += place(problem.faults, members)
    if faults:
        raise invalid_order(list(dict.fromkeys(faults)))
    before, after = jobs
    return ChangedOrder(
        body_before=body_before,
        before=before,
        body_after=body_after,
        after=after,
        changed=changed,
    )


def place(faults: Iterable[Fault], changed: Iterable[str]) -> list[Fault]:
    """Return faults of the changed order at their places in what was sent."""
    members = set(changed)
    return [
        Fault((CHANGE, *fault.path), fault.code, fault.message)
        if members.intersection(fault.path[:1])
        else fault
        for fault in faults
    ]


@contextmanager
def placed(changed: Iterable[str]) -> Iterator[None]:
    """Raise a problem of the changed order again, with the places in what was sent."""
    try:
        yield
    except Problem as problem:
        if not problem.faults:
            raise
        faults = place(problem.faults, changed)
        raise Problem(problem.kind, problem.detail, faults=faults) from None


def write_difference(before: Quote, after: Quote, *, as_text: bool, inside: bool = False) -> bytes:
    """Return what differs: as JSON both parts and the later quote, as text one part.

    Raises:
        Problem: the quotes are in different currencies.
    """
    try:
        difference = compare_quotes(before, after)
    except QuoteRejected as rejected:
        raise invalid_order(
            [Fault((CHANGE,), f.code, f.message) for f in rejected.faults]
        ) from None
    if not as_text:
        return write_quote_difference(difference, after).model_dump_json().encode()
    if inside:
        return render_inside_difference(difference.inside).encode()
    return render_customer_difference(difference.customer).encode()


def _read(body: bytes) -> tuple[Any, dict[str, Any], list[Fault]]:
    """Return the order without the change, the change, and what is wrong with that."""
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    if not isinstance(raw, dict):
        return raw, {}, []
    order = {name: value for name, value in raw.items() if name != CHANGE}
    if CHANGE not in raw:
        return order, {}, [Fault((CHANGE,), "missing", f"{CHANGE}: is missing; send it.")]
    change = raw[CHANGE]
    if not isinstance(change, dict):
        message = f"{CHANGE}: is not an object; send the members of the order that change."
        return order, {}, [Fault((CHANGE,), "wrong-type", message)]
    if TERMS not in change:
        return order, change, []
    message = (
        f"{CHANGE}.{TERMS}: a difference keeps the terms; leave them out, or make a new quote."
    )
    kept = {name: value for name, value in change.items() if name != TERMS}
    return order, kept, [Fault((CHANGE, TERMS), "terms-changed", message)]
