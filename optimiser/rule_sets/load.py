"""Read rule sets from TOML, and serve those that come with the package."""

import tomllib
from functools import lru_cache
from importlib.resources import files

from optimiser.domain.faults import Fault
from optimiser.rule_sets.read import RuleSetError, read_rule_set
from optimiser.rule_sets.rule_set import RuleSet


@lru_cache(maxsize=1)
def known_rule_sets() -> tuple[RuleSet, ...]:
    """Return the rule sets that come with the package, sorted by id.

    Raises:
        RuleSetError: a rule file is wrong, or two share the id of a rule set or of a rule.
    """
    rule_sets = [
        read_toml(file.read_text(encoding="utf-8"))
        for file in files("optimiser.rule_sets").iterdir()
        if file.name.endswith(".toml")
    ]
    rule_sets.sort(key=lambda rule_set: rule_set.id)
    _refuse_shared_ids("rule set", [rule_set.id for rule_set in rule_sets])
    _refuse_shared_ids("rule", [rule.id for rule_set in rule_sets for rule in rule_set.rules])
    return tuple(rule_sets)


def _refuse_shared_ids(what: str, ids: list[str]) -> None:
    twice = sorted({id_ for id_ in ids if ids.count(id_) > 1})
    if twice:
        message = f"{what} id {', '.join(twice)} is there twice; give each its own"
        raise RuleSetError((Fault((), "repeated", message),))


def read_toml(toml: str) -> RuleSet:
    """Return the rule set that a TOML text holds.

    Raises:
        RuleSetError: not TOML, or not a rule set; every fault is named.
    """
    try:
        entries = tomllib.loads(toml)
    except (ValueError, RecursionError) as error:
        raise RuleSetError((Fault((), "not-toml", f"not TOML: {error}"),)) from None
    return read_rule_set(entries)
