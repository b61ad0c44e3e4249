"""What a solve may spend: time by the caller's clock, or effort where there is no clock."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Budget:
    """Time left until a deadline. Without a deadline only effort is limited."""

    clock: Callable[[], float] | None = None
    deadline: float | None = None

    @property
    def seconds_left(self) -> float | None:
        """Return the seconds until the deadline, never negative; `None` without one."""
        if self.clock is None or self.deadline is None:
            return None
        return max(0.0, self.deadline - self.clock())

    def spent(self) -> bool:
        """Return whether the deadline has passed."""
        return self.seconds_left == 0.0

    def share(self, part: float) -> "Budget":
        """Return a budget that ends after a part of the time left."""
        left = self.seconds_left
        if left is None or self.clock is None:
            return self
        return Budget(self.clock, self.clock() + part * left)
