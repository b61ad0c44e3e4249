"""Settings of the service, read from the environment by the command line alone."""

import ipaddress
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from urllib.parse import urlsplit

from service.store.store import read_store_url

PREFIX = "WEATHERSTRIP_"
FILE_ENDING = "_FILE"

MEBIBYTE = 1024 * 1024


class LogFormat(StrEnum):
    """How a log line is written."""

    JSON = "json"
    TEXT = "text"


class JobsAt(StrEnum):
    """Who carries out jobs."""

    HERE = "here"
    WORKERS = "workers"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What may differ from one installation to the next. Every field has an environment variable.

    `store` is where the service keeps things: the name of a file of SQLite, which is made where
    it is missing, or `postgresql://user@host/database`. `solvers` is the number of solver
    processes; each solves one order at a time. `queue` orders may wait for one, each for up to
    `queue_seconds`. `longest_time_limit_seconds` is the highest time limit that an order may
    ask for, `longest_study_seconds` that of all points of a study together. `grace_seconds` is
    what a solver may take beyond the order's time limit, and beyond some time for each line of
    its schedule, before it is killed. `shutdown_seconds` is what running requests get to finish
    when the service stops. `requests_per_minute` is what each API key may ask; 0 is without a
    limit. An order of more than `at_once_openings` lines is planned as a job, unless its
    request prefers to wait. `jobs_at` is who carries out jobs: the process that serves the API
    itself, or workers, which need PostgreSQL. `metrics` is whether /metrics shows what was
    measured, to whoever reaches it. `webhooks_to_private_addresses` is whether webhooks may
    lead to addresses that are not public, and be plain http: then whoever administers a tenant
    can have the service send to machines of its own network. `allowed_origins` are those whose
    pages may call the service from a browser. `solves_per_tenant` is how many orders of one
    tenant may be with the solvers at once; 0 is without a limit. `keep_alive_seconds` is how
    long a connection may stay open with nothing asked: longer than a proxy keeps it, or the
    proxy asks on one that has just been closed.
    """

    host: str = "127.0.0.1"
    port: int = 8000
    store: str = "weatherstrip.sqlite"
    log_format: LogFormat = LogFormat.JSON
    max_body_bytes: int = 16 * MEBIBYTE
    longest_time_limit_seconds: float = 300.0
    longest_study_seconds: int = 600
    solvers: int = 1
    queue: int = 32
    queue_seconds: float = 60.0
    grace_seconds: float = 30.0
    shutdown_seconds: float = 30.0
    requests_per_minute: int = 600
    at_once_openings: int = 2_000
    metrics: bool = True
    jobs_at: JobsAt = JobsAt.HERE
    webhooks_to_private_addresses: bool = False
    allowed_origins: tuple[str, ...] = ()
    solves_per_tenant: int = 0
    keep_alive_seconds: int = 75


class SettingsError(Exception):
    """Settings that cannot be used. `faults` names every variable, its value and the remedy."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(faults))


def read_settings(environment: Mapping[str, str]) -> Settings:
    """Return the settings that an environment states; what it leaves out keeps its default.

    A variable of the same name with _FILE at its end names a file that holds the value.

    Raises:
        SettingsError: a value cannot be read or is out of its range; all are named.
    """
    faults: list[str] = []
    values: dict[str, object] = {"solvers": max(1, (os.cpu_count() or 1) - 1)}
    for field, (read, wanted) in _READERS.items():
        name = PREFIX + field.upper()
        try:
            text = _find_value(environment, name)
        except SettingsError as error:
            faults.extend(error.faults)
            continue
        if text is None:
            continue
        try:
            values[field] = read(text.strip())
        except (ValueError, KeyError):
            # The address of a store may hold a password.
            shown = repr(text) if field != "store" else "no address of a store"
            faults.append(f"{name} is {shown}; give {wanted}")
    if values.get("jobs_at") is JobsAt.WORKERS and not _is_postgresql(values.get("store", "")):
        faults.append(f"{PREFIX}JOBS_AT is 'workers'; workers need a store in PostgreSQL")
    if faults:
        raise SettingsError(tuple(faults))
    return Settings(**values)  # type: ignore[arg-type]


def _is_postgresql(store: object) -> bool:
    return str(store).startswith("postgres")


def _find_value(environment: Mapping[str, str], name: str) -> str | None:
    file = environment.get(name + FILE_ENDING)
    if file is None:
        return environment.get(name)
    if name in environment:
        raise SettingsError((f"{name} and {name}{FILE_ENDING} are both set; set one of them",))
    try:
        return Path(file).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8"
        raise SettingsError(
            (f"{name}{FILE_ENDING} is {file!r}, which cannot be read: {reason}",)
        ) from None


def is_loopback(host: str) -> bool:
    """Return whether only programs on this machine can reach the host."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def _whole(least: int, most: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        value = int(text)
        if not least <= value <= most:
            raise ValueError(text)
        return value

    return read


def _seconds(least: float, most: float) -> Callable[[str], float]:
    def read(text: str) -> float:
        value = float(text)
        if not least <= value <= most:
            raise ValueError(text)
        return value

    return read


def _store(text: str) -> str:
    read_store_url(text)
    return text


def _origins(text: str) -> tuple[str, ...]:
    origins = tuple(text.replace(",", " ").split())
    for origin in origins:
        parts = urlsplit(origin)
        sound = parts.scheme in {"http", "https"} and parts.hostname and "*" not in origin
        if not sound or origin != f"{parts.scheme}://{parts.netloc}" or "@" in parts.netloc:
            raise ValueError(origin)
    return origins


def _switch(text: str) -> bool:
    return {"on": True, "off": False}[text.lower()]


def _yes_or_no(text: str) -> bool:
    if text not in {"yes", "no"}:
        raise ValueError(text)
    return text == "yes"


def _host(text: str) -> str:
    if not text or any(sign.isspace() for sign in text):
        raise ValueError(text)
    return text


_READERS: dict[str, tuple[Callable[[str], object], str]] = {
    "host": (_host, "a host name or an address"),
    "port": (_whole(0, 65_535), "a port from 0 to 65535; 0 takes a free one"),
    "store": (_store, "a file's name or postgresql://user@host/database"),
    "log_format": (LogFormat, "json or text"),
    "max_body_bytes": (_whole(1_024, 1_024 * MEBIBYTE), "a size in bytes from 1024 to 1 GiB"),
    "longest_time_limit_seconds": (_seconds(0.1, 300), "seconds from 0.1 to 300"),
    "longest_study_seconds": (_whole(1, 3_600), "whole seconds from 1 to 3600"),
    "solvers": (_whole(1, 64), "a number of processes from 1 to 64"),
    "queue": (_whole(0, 10_000), "a number of orders from 0 to 10000"),
    "queue_seconds": (_seconds(0, 3_600), "seconds from 0 to 3600"),
    "grace_seconds": (_seconds(0, 600), "seconds from 0 to 600"),
    "shutdown_seconds": (_seconds(0, 3_600), "seconds from 0 to 3600"),
    "jobs_at": (JobsAt, "here or workers"),
    "at_once_openings": (_whole(0, 50_000), "a number of lines from 0 to 50000"),
    "requests_per_minute": (_whole(0, 1_000_000), "a number of requests from 0 to 1000000"),
    "metrics": (_switch, "on or off"),
    "webhooks_to_private_addresses": (_yes_or_no, "yes or no"),
    "allowed_origins": (_origins, "origins such as https://erp.example, separated by blanks"),
    "solves_per_tenant": (_whole(0, 64), "a number of orders from 0 to 64; 0 is without a limit"),
    "keep_alive_seconds": (_whole(1, 3_600), "seconds from 1 to 3600"),
}
