"""How far a plan has come, as it is told to whoever watches."""

import json
from itertools import pairwise

from optimiser.domain.progress import Phase, Progress
from optimiser.planning import make_plan
from service.mapping.reading import read_order
from service.wire.order import Order
from tests.harbour_row import mixed_order


def watch(openings: int) -> list[Progress]:
    order = read_order(json.dumps(mixed_order(openings)).encode(), Order)
    told: list[Progress] = []
    watched = make_plan(order, observer=told.append)
    assert watched == make_plan(order)
    assert told[-1].best_cost == watched.certificate.cost
    assert told[-1].lower_bound == watched.certificate.lower_bound
    return told


def test_phases_come_in_their_order_and_numbers_only_get_better() -> None:
    told = watch(10)
    phases = list(dict.fromkeys(progress.phase for progress in told))
    assert phases == [Phase.TAKING_OFF, Phase.SOLVING, Phase.ALTERNATIVES, Phase.CHECKING]
    for before, after in pairwise(told):
        assert list(Phase).index(before.phase) <= list(Phase).index(after.phase)
        if before.lower_bound is not None:
            assert after.lower_bound is not None
            assert after.lower_bound >= before.lower_bound
        if before.best_cost is not None:
            assert after.best_cost is not None
            assert after.best_cost <= before.best_cost
    while_solving = [p for p in told if p.phase is Phase.SOLVING]
    # Two finishes are two parts: a bound of both is told before the end.
    assert len({p.lower_bound for p in while_solving}) > 2
