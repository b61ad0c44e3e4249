"""Why a plan is what it is: reasons, priced alternatives, obstacles, cautions, and their words."""

from optimiser.explain import wording_of_buying, wording_of_notices, wording_of_supply
from optimiser.explain.alternatives import price_alternatives
from optimiser.explain.cautions import applicable_cautions, bench_cautions, leaf_cautions
from optimiser.explain.obstacles import find_limits, find_obstacles
from optimiser.explain.reasons import give_reasons
from optimiser.explain.wording import alternative_statement, sentence

__all__ = [
    "alternative_statement",
    "applicable_cautions",
    "bench_cautions",
    "find_limits",
    "find_obstacles",
    "give_reasons",
    "leaf_cautions",
    "price_alternatives",
    "sentence",
]

# Importing them registers their sentences.
del wording_of_buying, wording_of_notices, wording_of_supply
