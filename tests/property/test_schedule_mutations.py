"""A sample of the campaign `python -m tests.benchmark schedules`, and properties of readings."""

from tests.benchmark.schedules import MOST_SECONDS, read_mutations, send_mutations
from tests.serving import running_service


def test_mutated_schedules_are_read_or_refused_and_never_crash() -> None:
    tally = read_mutations(range(200))
    assert tally.crashes == []
    assert tally.read + tally.refused == 200
    # Both outcomes, so that the sample says something.
    assert min(tally.read, tally.refused) > 20
    assert tally.slowest_seconds < MOST_SECONDS


def test_mutated_schedules_are_answered_by_the_service_and_never_fail_it() -> None:
    with running_service(solves=False) as service:
        tally = send_mutations(range(60), service.client)
    assert tally.crashes == []
    assert tally.read + tally.refused == 60
    assert min(tally.read, tally.refused) > 4
