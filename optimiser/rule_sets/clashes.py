"""Rule sets side by side: no identifier may stand for two things."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from optimiser.domain.faults import Fault
from optimiser.rule_sets.rule_set import RuleSet
from optimiser.rule_sets.table import MOST_ENTRIES
from optimiser.units.faults import quote


@dataclass(frozen=True, slots=True, kw_only=True)
class Identifiers:
    """What a rule set calls itself and its rules, and which rule sets its rules yield to."""

    id: str | None
    rule_ids: tuple[str | None, ...]
    yields_to: tuple[tuple[str, ...], ...]


def identifiers_of(rule_set: RuleSet) -> Identifiers:
    """Return the identifiers of a rule set."""
    return Identifiers(
        id=rule_set.id,
        rule_ids=tuple(rule.id for rule in rule_set.rules),
        yields_to=tuple(rule.yields_to for rule in rule_set.rules),
    )


def identifiers_in(entries: object) -> Identifiers:
    """Return the identifiers that plain tables state, which may be anything else as well."""
    rules = entries.get("rules") if isinstance(entries, dict) else None
    listed = [rule if isinstance(rule, dict) else {} for rule in _as_list(rules)[:MOST_ENTRIES]]
    return Identifiers(
        id=_as_text(entries.get("id")) if isinstance(entries, dict) else None,
        rule_ids=tuple(_as_text(rule.get("id")) for rule in listed),
        yields_to=tuple(
            tuple(n for n in _as_list(rule.get("yields_to"))[:MOST_ENTRIES] if isinstance(n, str))
            for rule in listed
        ),
    )


def find_clashes(own: Iterable[Identifiers], known: Iterable[RuleSet]) -> Iterator[Fault]:
    """Yield where the user's rule sets take identifiers that are taken, or name unknown sets.

    `known` are the rule sets that come with the package. Paths begin with the position in `own`.
    """
    listed = tuple(own)
    of_package = tuple(known)
    taken = {rule_set.id for rule_set in of_package}
    every_id = taken | {entry.id for entry in listed if entry.id is not None}
    rules_taken = {rule.id: rule_set.id for rule_set in of_package for rule in rule_set.rules}
    seen: set[str] = set()
    for position, entry in enumerate(listed):
        name = "?" if entry.id is None else entry.id
        if entry.id in taken:
            yield Fault(
                (position, "id"),
                "rule-set-id-taken",
                f"the id {quote(name)} is that of a built-in rule set; give another",
            )
        elif entry.id in seen:
            yield Fault(
                (position, "id"),
                "rule-set-id-taken",
                f"the id {quote(name)} is that of another rule set of this order; give another",
            )
        if entry.id is not None:
            seen.add(entry.id)
        of_this: set[str] = set()
        for number, rule_id in enumerate(entry.rule_ids):
            # Twice within one rule set is told by its own reader.
            if rule_id is None or rule_id in of_this:
                continue
            of_this.add(rule_id)
            if rule_id in rules_taken:
                yield Fault(
                    (position, "rules", number, "id"),
                    "rule-id-taken",
                    f"the id {quote(rule_id)} is that of a rule of the rule set "
                    f"{rules_taken[rule_id]}; give another, such as {quote(f'{name}.{rule_id}')}",
                )
        rules_taken |= dict.fromkeys(of_this - rules_taken.keys(), name)
        for number, names in enumerate(entry.yields_to):
            for unknown in (name for name in names if name not in every_id):
                yield Fault(
                    (position, "rules", number, "yields_to"),
                    "unknown-rule-set",
                    f"yields_to names the rule set {quote(unknown)}, which is not known; give "
                    f"one of: {', '.join(sorted(every_id))}",
                )


def _as_list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _as_text(value: Any) -> str | None:
    return value if isinstance(value, str) else None
