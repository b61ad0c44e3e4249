"""From openings to pieces and fasteners, by rules that are data; every firing is recorded."""

from optimiser.rule_sets import known_rule_sets
from optimiser.takeoff.net_sizes import work_out_sizes
from optimiser.takeoff.take_off import take_off

__all__ = ["known_rule_sets", "take_off", "work_out_sizes"]
