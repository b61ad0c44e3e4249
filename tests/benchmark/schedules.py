"""Mutated schedule files: none may crash the reader, take long, or take much memory.

By the library, or over HTTP against the service in this process, where none may be answered
with a 5xx.
"""

import argparse
import resource
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterable
from contextlib import ExitStack
from dataclasses import dataclass, field
from functools import partial

import httpx

from optimiser.schedules import ScheduleReading, read_schedule, write_report
from optimiser.units.lengths import LengthUnit
from service.media_types import CSV, XLSX
from tests.benchmark.mutations import draw_originals, is_workbook, mutate
from tests.serving import running_service

HELP = "read mutated CSV and XLSX schedules; any crash fails"
MOST_SECONDS = 20.0
MOST_GROWTH_MIB = 512
PATH = "/v1/schedules"
REFUSALS = {400, 413, 422}


@dataclass(slots=True)
class Tally:
    """What came of a campaign."""

    codes: Counter[str] = field(default_factory=Counter)
    read: int = 0
    refused: int = 0
    crashes: list[str] = field(default_factory=list)
    slowest_seconds: float = 0.0


def check_reading(reading: ScheduleReading) -> None:
    """Assert what holds for every reading: openings or faults, never both, never neither."""
    assert bool(reading.faults) is not bool(reading.openings)
    assert bool(reading.rows) is bool(reading.openings)
    for opening in reading.openings:
        assert opening.width_nm > 0
        assert opening.height_nm > 0
        assert opening.quantity > 0
        assert opening.mark.strip() == opening.mark != ""
        assert opening.finish
    marks = [opening.mark for opening in reading.openings]
    assert len(set(marks)) == len(marks)
    assert all(fault.message.endswith(".") for fault in reading.faults)
    assert write_report(reading)


def read_mutations(numbers: Iterable[int]) -> Tally:
    """Read the mutations with these numbers, and tally what came of them."""
    originals = draw_originals()
    tally = Tally()
    for number in numbers:
        content = mutate(number, originals)
        started = time.monotonic()
        try:
            reading = read_schedule(content, unit=LengthUnit.INCH)
            check_reading(reading)
        except Exception:
            tally.crashes.append(f"mutation {number}:\n{traceback.format_exc()}")
            continue
        tally.slowest_seconds = max(tally.slowest_seconds, time.monotonic() - started)
        tally.read += not reading.faults
        tally.refused += bool(reading.faults)
        tally.codes.update({fault.code for fault in reading.faults})
    return tally


def send_mutations(numbers: Iterable[int], client: httpx.Client) -> Tally:
    """Send the mutations with these numbers to the service, and tally what it answered."""
    originals = draw_originals()
    tally = Tally()
    for number in numbers:
        headers = {"content-type": XLSX if is_workbook(number) else CSV}
        started = time.monotonic()
        answer = client.post(PATH, content=mutate(number, originals), headers=headers)
        tally.slowest_seconds = max(tally.slowest_seconds, time.monotonic() - started)
        if answer.status_code == 200:
            tally.read += 1
        elif answer.status_code in REFUSALS and answer.json()["faults"]:
            tally.refused += 1
            tally.codes.update({fault["code"] for fault in answer.json()["faults"]})
        else:
            tally.crashes.append(f"mutation {number}: {answer.status_code} {answer.text[:500]}")
    return tally


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the campaign."""
    parser.add_argument("--mutations", type=int, default=10_000, help="how many files to read")
    parser.add_argument("--first", type=int, default=0, help="the number of the first one")
    parser.add_argument("--http", action="store_true", help="send them to the service over HTTP")


def run(options: argparse.Namespace) -> int:
    """Run the campaign, print what came of it, and return 1 if anything failed."""
    numbers = range(options.first, options.first + options.mutations)
    with ExitStack() as stack:
        campaign: Callable[[Iterable[int]], Tally] = read_mutations
        if options.http:
            client = stack.enter_context(running_service(solves=False)).client
            campaign = partial(send_mutations, client=client)
        before_mib = _peak_mib()
        started = time.monotonic()
        tally = campaign(numbers)
        seconds = time.monotonic() - started
        peak_mib = _peak_mib()
    grown_mib = peak_mib - before_mib
    print(
        f"{options.mutations:,} files in {seconds:.0f} s, the slowest {tally.slowest_seconds:.2f} s"
    )
    print(f"{tally.read:,} read, {tally.refused:,} refused, {len(tally.crashes):,} crashes")
    print(f"memory {peak_mib} MiB at its peak, {grown_mib} MiB more than before")
    for code, count in tally.codes.most_common():
        print(f"  {code}: {count:,}")
    print(*tally.crashes[:20], sep="\n")
    too_much = grown_mib > MOST_GROWTH_MIB or tally.slowest_seconds > MOST_SECONDS
    return 1 if tally.crashes or too_much else 0


def _peak_mib() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
