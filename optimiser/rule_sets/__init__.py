"""The takeoff's rules as data, one TOML file per rule set, and their frozen types."""

from optimiser.rule_sets.load import RuleSetError, known_rule_sets, read_rule_set
from optimiser.rule_sets.rule_set import RuleSet

__all__ = ["RuleSet", "RuleSetError", "known_rule_sets", "read_rule_set"]
