"""Gathering the faults of an order, each with the place of its value and a subject to read."""

import json
from collections.abc import Callable
from decimal import Decimal
from typing import Any, TypeVar

from optimiser.domain.faults import Fault
from optimiser.units.faults import QuantityError

Path = tuple[str | int, ...]
T = TypeVar("T")

_LONGEST_SHOWN = 60


class FaultGatherer:
    """Reads values one after the other and keeps what is wrong with them.

    `raw` is the order as it was sent, for naming what a fault speaks of.
    """

    def __init__(self, raw: Any) -> None:
        self._raw = raw
        self.faults: list[Fault] = []

    def read(self, path: Path, stand_in: T, parse: Callable[..., T], *values: Any) -> T:
        """Return what `parse` reads, or keep its fault and return the stand-in.

        The stand-in only lets reading go on: an order with a fault is never handed on.
        """
        try:
            return parse(*values)
        except QuantityError as error:
            self.add(path, f"unreadable-{error.code}", f"{error}")
        return stand_in

    def add(self, path: Path, code: str, complaint: str) -> None:
        """Keep a fault; the message is the subject that the path leads to, then the complaint."""
        self.faults.append(Fault(path, code, f"{name_place(path, self._raw)}: {complaint}"))


def name_place(path: Path, raw: Any) -> str:
    """Return what a path leads to, in the reader's words: `Opening D-14, size.width`."""
    match path:
        case ("openings", int(position), *rest):
            subject = _own_name(raw, path[:2], "mark")
            named = f"Opening {subject}" if subject else f"Opening number {position + 1}"
        case (
            "catalogues",
            int(),
            ("stock_lengths" | "kits" | "fastener_packs" | "standard_kits") as name,
            int(n),
            *rest,
        ):
            subject = _own_name(raw, path[:4], "sku")
            named = f"SKU {subject}" if subject else f"{name.replace('_', ' ')}, number {n + 1}"
            named = named[0].upper() + named[1:]
        case ("catalogues", int(number), *rest) if rest:
            subject = _own_name(raw, path[:2], "supplier")
            named = subject or f"Catalogue number {number + 1}"
        case ("rack", "offcuts", int(n), *rest):
            subject = _own_name(raw, path[:3], "id")
            named = f"Offcut {subject}" if subject else f"Offcut number {n + 1}"
        case ("rule_sets", int(position), "rules", int(number), *rest):
            rule = _own_name(raw, path[:4], "id") or f"number {number + 1}"
            named = f"{_name_rule_set(raw, position)}, rule {rule}"
        case ("rule_sets", int(position), *rest):
            named = _name_rule_set(raw, position)
        case _:
            rest, named = list(path), ""
    inner = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in rest)
    return ", ".join(part for part in (named, inner.removeprefix(".")) if part) or "The order"


def _name_rule_set(raw: Any, position: int) -> str:
    own = _own_name(raw, ("rule_sets", position), "id")
    return f"Rule set {own}" if own else f"Rule set number {position + 1}"


def _own_name(raw: Any, path: Path, member: str) -> str:
    value = look_up(raw, path)
    name = value.get(member) if isinstance(value, dict) else None
    return name if isinstance(name, str) and 0 < len(name) <= _LONGEST_SHOWN else ""


def look_up(raw: Any, path: Path) -> Any:
    """Return the value that a path leads to; `None` where it leads nowhere."""
    for part in path:
        if isinstance(raw, dict):
            raw = raw.get(part)
        elif isinstance(raw, list) and isinstance(part, int) and part < len(raw):
            raw = raw[part]
        else:
            return None
    return raw


def settle_path(path: Path, raw: Any) -> Path:
    """Return the path as far as it leads into values that have members.

    A size that was sent as a text has no width: a fault of its width is a fault of the text.
    """
    for depth, part in enumerate(path):
        if isinstance(raw, dict):
            if part not in raw:
                return path[: depth + 1]
            raw = raw[part]
        elif isinstance(raw, list) and isinstance(part, int) and part < len(raw):
            raw = raw[part]
        else:
            return path[:depth]
    return path


def show_value(value: Any) -> str:
    """Return a value as a message may show it: as JSON, never long."""
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return f"an array of {len(value):,}"
    shown = str(value) if isinstance(value, Decimal) else json.dumps(value, ensure_ascii=False)
    return shown if len(shown) <= _LONGEST_SHOWN else f"{shown[:_LONGEST_SHOWN]}…"
