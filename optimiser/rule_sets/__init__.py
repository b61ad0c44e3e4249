"""The takeoff's rules as data, one TOML file per rule set, and their frozen types."""

from optimiser.rule_sets.clashes import find_clashes, identifiers_in, identifiers_of
from optimiser.rule_sets.load import known_rule_sets, read_toml
from optimiser.rule_sets.read import RuleSetError, find_rule_set_faults, read_rule_set
from optimiser.rule_sets.rule_set import RuleSet

__all__ = [
    "RuleSet",
    "RuleSetError",
    "find_clashes",
    "find_rule_set_faults",
    "identifiers_in",
    "identifiers_of",
    "known_rule_sets",
    "read_rule_set",
    "read_toml",
]
