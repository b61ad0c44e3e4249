"""Mutated schedule files: none may crash the reader, take long, or take much memory."""

import argparse
import resource
import time
import traceback
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from optimiser.schedules import ScheduleReading, read_schedule, write_report
from optimiser.units.lengths import LengthUnit
from tests.benchmark.mutations import draw_originals, mutate

HELP = "read mutated CSV and XLSX schedules; any crash fails"
MOST_SECONDS = 20.0
MOST_GROWTH_MIB = 512


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


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the campaign."""
    parser.add_argument("--mutations", type=int, default=10_000, help="how many files to read")
    parser.add_argument("--first", type=int, default=0, help="the number of the first one")


def run(options: argparse.Namespace) -> int:
    """Run the campaign, print what came of it, and return 1 if anything failed."""
    before_mib = _peak_mib()
    started = time.monotonic()
    tally = read_mutations(range(options.first, options.first + options.mutations))
    seconds = time.monotonic() - started
    grown_mib = _peak_mib() - before_mib
    print(
        f"{options.mutations:,} files in {seconds:.0f} s, the slowest {tally.slowest_seconds:.2f} s"
    )
    print(f"{tally.read:,} read, {tally.refused:,} refused, {len(tally.crashes):,} crashes")
    print(f"memory grew by {grown_mib} MiB at its peak")
    for code, count in tally.codes.most_common():
        print(f"  {code}: {count:,}")
    print(*tally.crashes[:20], sep="\n")
    too_much = grown_mib > MOST_GROWTH_MIB or tally.slowest_seconds > MOST_SECONDS
    return 1 if tally.crashes or too_much else 0


def _peak_mib() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
