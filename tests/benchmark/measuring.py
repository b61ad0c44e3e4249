"""Measurements in processes of their own, so that the peak memory of each is its own.

A campaign calls `measure`; it starts a module of this folder with what is asked as JSON, stops
it where it does not end, and puts together the lines of JSON that it wrote. The other functions
are for those modules.

Limits are seconds of the processor, for all solvers alike, so that a busy machine does not
change what is found.
"""

import json
import os
import platform
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from importlib.metadata import version
from pathlib import Path
from typing import Any

Facts = dict[str, Any]

GRACE_SECONDS = 30
PACKAGES = ("highspy", "pulp", "numpy", "ortools")


def measure(module: str, what: str, *, limit: float, **draw: Any) -> Facts:
    """Return what is known of one measurement when it ends.

    A process that takes the processor for more than twice the limit and half a minute more is
    stopped; `ended` is then false.
    """
    most = int(2 * limit) + GRACE_SECONDS
    asked = json.dumps({"what": what, "limit": limit, "most": most, "draw": draw})
    process = subprocess.Popen(
        [sys.executable, "-m", f"tests.benchmark.{module}", asked],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        start_new_session=True,
    )
    try:
        told, _ = process.communicate(timeout=6 * most)
    except subprocess.TimeoutExpired:
        # CBC is a process of its own in the same session.
        os.killpg(process.pid, signal.SIGKILL)
        told, _ = process.communicate()
    facts: Facts = {"ended": process.returncode == 0}
    for line in told.splitlines():
        facts |= json.loads(line)
    return facts


def describe_machine() -> str:
    """Return the machine and the versions in a line."""
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    versions = ", ".join(f"{name} {version(name)}" for name in PACKAGES)
    return (
        f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores{_clock_rate()}, "
        f"{memory:.0f} GiB; Python {platform.python_version()}, {versions}"
    )


def _clock_rate() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="ascii").splitlines()
    except OSError:
        return ""
    rates = [float(line.partition(":")[2]) for line in lines if line.startswith("cpu MHz")]
    return f" at {max(rates) / 1000:.1f} GHz" if rates else ""


def asked_for() -> Facts:
    """Return what the command line asks of a measuring module, and let it take no more time."""
    asked: Facts = json.loads(sys.argv[1])
    resource.setrlimit(resource.RLIMIT_CPU, (asked["most"], asked["most"]))
    return asked


def tell(**facts: Any) -> None:
    """Write what is known."""
    sys.stdout.write(json.dumps(facts, default=str) + "\n")
    sys.stdout.flush()


def cpu_seconds() -> float:
    """Return the processor's time of this process and of those that it waited for."""
    own, others = (
        resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    )
    return own.ru_utime + own.ru_stime + others.ru_utime + others.ru_stime


def peak_mib() -> int:
    """Return the peak memory of this process, or of one that it waited for if that is higher."""
    children = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024
    try:
        # What `getrusage` says of a process may be the memory of the one that started it.
        status = Path("/proc/self/status").read_text(encoding="ascii")
    except OSError:
        return max(children, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
    own = next(line for line in status.splitlines() if line.startswith("VmHWM"))
    return max(children, int(own.split()[1]) // 1024)


def timed(work: Callable[[], Any]) -> tuple[Any, float, float]:
    """Return a result with its processor and its wall seconds."""
    cpu, wall = cpu_seconds(), time.perf_counter()
    result = work()
    return result, cpu_seconds() - cpu, time.perf_counter() - wall
