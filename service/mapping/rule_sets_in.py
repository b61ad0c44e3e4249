"""From rule sets as they were sent to those of the library, with every fault."""

from collections.abc import Sequence
from typing import Any

from optimiser.domain.faults import Fault
from optimiser.rule_sets import (
    RuleSet,
    RuleSetError,
    find_clashes,
    identifiers_in,
    known_rule_sets,
    read_rule_set,
)
from service.mapping.faults import Path, name_place
from service.wire import limits

_TOLD_BY_THE_SCHEMA = frozenset(
    (
        "missing",
        "not-a-table",
        "not-a-list",
        "not-a-choice",
        "not-a-number",
        "text-too-long",
        "unknown-key",
    )
)
"""What the library finds in the form of a rule set, and the schema has told in its own words."""


def to_rule_sets(
    raw: Any, form_faults: Sequence[Fault] = ()
) -> tuple[tuple[RuleSet, ...], list[Fault]]:
    """Return the rule sets of an order as it was sent, and what is wrong with each.

    `form_faults` are what the schema found in the order; nothing is told twice.
    """
    listed = _listed(raw)
    rule_sets: list[RuleSet] = []
    faults: list[Fault] = []
    for position, entries in enumerate(listed):
        root: Path = ("rule_sets", position)
        told = [fault.path for fault in form_faults if fault.path[:2] == root]
        if root in told:
            continue
        try:
            rule_sets.append(read_rule_set(without_nulls(entries)))
        except RuleSetError as error:
            found = (
                Fault((*root, *fault.path), fault.code, fault.message) for fault in error.faults
            )
            faults += [_to_named(fault, raw) for fault in found if not _is_told(fault, told)]
    return tuple(rule_sets), faults


def find_rule_set_clashes(raw: Any) -> list[Fault]:
    """Return where the rule sets of an order take identifiers that are taken.

    A takeoff looks for them too, but an order with other faults never gets so far.
    """
    found = find_clashes(map(identifiers_in, _listed(raw)), known_rule_sets())
    return [
        _to_named(Fault(("rule_sets", *fault.path), fault.code, fault.message), raw)
        for fault in found
    ]


def _listed(raw: Any) -> list[Any]:
    listed = raw.get("rule_sets") if isinstance(raw, dict) else None
    return listed if isinstance(listed, list) and len(listed) <= limits.RULE_SETS else []


def _is_told(fault: Fault, told: Sequence[Path]) -> bool:
    if fault.path in told:
        return True
    return fault.code in _TOLD_BY_THE_SCHEMA and any(
        path[: len(fault.path)] == fault.path or fault.path[: len(path)] == path for path in told
    )


def _to_named(fault: Fault, raw: Any) -> Fault:
    # The place ends with the name that the library's message begins with.
    complaint = fault.message.removeprefix(f"{fault.path[-1]} ").removesuffix(".")
    return Fault(fault.path, fault.code, f"{name_place(fault.path, raw)}: {complaint}.")


def without_nulls(value: Any) -> Any:
    """Return plain tables without the members that are null, which stand for their defaults."""
    if isinstance(value, dict):
        return {key: without_nulls(part) for key, part in value.items() if part is not None}
    return [without_nulls(part) for part in value] if isinstance(value, list) else value
