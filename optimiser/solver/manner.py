"""How a dive goes: what it rounds, and how boldly."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How a dive rounds: fractions from `round_up_from` are rounded up together.

    `draw` other than 0 adds up to `noise` to each fraction before they are ranked, by a fixed
    sequence, so that dives differ. `large_pieces_first` ranks patterns of few pieces higher:
    small pieces fill the last bars better.
    """

    round_up_from: float = 0.7
    pricing_rounds: int = 10
    together: int = 8
    near: float = 0.1
    noise: float = 0.3
    draw: int = 0
    large_pieces_first: float = 0.0
