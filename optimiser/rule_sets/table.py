"""Read a table of a rule set key by key, and gather every fault with its path."""

import re
from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import Any, TypeVar

from optimiser.domain.faults import Fault
from optimiser.units.faults import LengthError
from optimiser.units.lengths import LengthUnit, parse_length

_Choice = TypeVar("_Choice", bound=StrEnum)

LONGEST_TEXT = 1_000
"""The longest text of a rule set, in characters."""

MOST_ENTRIES = 500
"""The most entries of a list of a rule set."""

LONGEST_ID = 64
"""The longest identifier, in characters."""

_ID = re.compile(rf"[A-Za-z0-9][A-Za-z0-9-]{{0,{LONGEST_ID - 1}}}")
_DOTTED_ID = re.compile(rf"[A-Za-z0-9][A-Za-z0-9.-]{{0,{LONGEST_ID - 1}}}")

_SHOWN = 80


def show(value: object) -> str:
    """Return a value as a fault may show it, never long."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) >= 10**_SHOWN:
        return "a number of many digits"
    if isinstance(value, str):
        value = value if len(value) <= _SHOWN else value[:_SHOWN] + "…"
    elif isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else ("[]" if not value else "a list")
    return repr(value)


class Table:
    """One table of a rule set. Values are taken once; a fault is noted and reading goes on.

    A value that cannot be read is replaced by one of its type, so that the rest can be read;
    with faults noted, nothing that was read may be used.
    """

    def __init__(
        self, entries: Mapping[str, Any], faults: list[Fault], path: tuple[str | int, ...] = ()
    ) -> None:
        self._left = dict(entries)
        self._faults = faults
        self.path = path

    def note(self, key: str | tuple[str | int, ...] | None, code: str, problem: str) -> None:
        """Note a fault of a key of this table, or of the table itself."""
        keys = () if key is None else (key,) if isinstance(key, str) else key
        named = f"{key} " if isinstance(key, str) else ""
        self._faults.append(Fault((*self.path, *keys), code, f"{named}{problem}"))

    def has(self, key: str) -> bool:
        """Return whether a key is there and not read yet."""
        return key in self._left

    def has_table(self, key: str) -> bool:
        """Return whether a key is there, not read yet, and holds a table."""
        return isinstance(self._left.get(key), dict)

    def text(self, key: str) -> str:
        """Return a text that must be there and not be blank."""
        value = self._left.pop(key, None)
        if value is None:
            self.note(key, "missing", "is missing; state it")
        elif not isinstance(value, str) or not value.strip():
            self.note(key, "not-text", f"is {show(value)}; give text that is not blank")
        elif len(value) > LONGEST_TEXT:
            self.note(
                key,
                "text-too-long",
                f"has {len(value):,} characters; give {LONGEST_TEXT:,} at most",
            )
        elif not value.isprintable():
            self.note(
                key, "not-text", f"is {show(value)}; give one line without control characters"
            )
        else:
            return value
        return ""

    def identifier(self, key: str, *, dots: bool = False) -> str:
        """Return a name for programs: letters, digits and hyphens, with dots where they may be."""
        value = self.text(key)
        if value and not (_DOTTED_ID if dots else _ID).fullmatch(value):
            self.note(
                key,
                "not-an-id",
                f"is {show(value)}; give {LONGEST_ID} or fewer letters, digits"
                f"{', dots' if dots else ''} and hyphens, a letter or digit first",
            )
        return value

    def optional_text(self, key: str) -> str | None:
        """Return a text, or `None` where the key is absent."""
        return self.text(key) if key in self._left else None

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts, none twice; empty where the key is absent."""
        values = self._left.pop(key, [])
        if not isinstance(values, list) or not all(isinstance(v, str) and v for v in values):
            self.note(key, "not-a-list", f"is {show(values)}; give a list of texts")
            return ()
        if len(set(values)) < len(values):
            self.note(key, "repeated", "names one twice; name each once")
        if len(values) > MOST_ENTRIES:
            self.note(
                key, "not-a-list", f"has {len(values):,} entries; give {MOST_ENTRIES} at most"
            )
        return tuple(values[:MOST_ENTRIES])

    def whole(self, key: str, default: int, least: int = 1, most: int = 1_000) -> int:
        """Return a whole number within limits, or the default where the key is absent."""
        value = self._left.pop(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
            self.note(
                key,
                "not-a-number",
                f"is {show(value)}; give a whole number of {least} to {most:,}",
            )
            return least
        return value

    def length_nm(self, key: str, *, least: int = 1) -> int:
        """Return a length of at least so many nanometres; its text carries its unit."""
        text = self.text(key)
        if not text:
            return 1
        try:
            # Every length in a rule set carries its unit, so this one is not used.
            length_nm = parse_length(text, LengthUnit.MILLIMETRE)
        except LengthError as error:
            self.note(key, "not-a-length", f"is no length: {error}")
            return 1
        if length_nm < least or text.strip()[-1].isdigit():
            above = "above 0" if least else "of 0 or more"
            self.note(key, "not-a-length", f"is {show(text)}; give a length {above}, with its unit")
            return 1
        return length_nm

    def choice(self, key: str, choices: type[_Choice], default: _Choice | None = None) -> _Choice:
        """Return one of the choices, or the default where the key is absent and there is one."""
        if default is not None and key not in self._left:
            return default
        value = self.text(key)
        return self._choose(key, value, choices) if value else next(iter(choices))

    def choices(
        self, key: str, choices: type[_Choice], *, one_is_enough: bool = False
    ) -> tuple[_Choice, ...]:
        """Return several of the choices, at least one, none twice.

        A single choice need not stand in a list where one is enough.
        """
        values = self._left.pop(key, None)
        if one_is_enough and isinstance(values, str):
            values = [values]
        if not isinstance(values, list) or not values:
            self.note(key, "not-a-list", f"is {show(values)}; give a list of at least one")
            return ()
        chosen = tuple(self._choose(key, value, choices) for value in values[:MOST_ENTRIES])
        if len(set(chosen)) < len(chosen):
            self.note(key, "repeated", "names one twice; name each once")
        return chosen

    def _choose(self, key: str, value: Any, choices: type[_Choice]) -> _Choice:
        try:
            return choices(value)
        except ValueError:
            self.note(key, "not-a-choice", f"is {show(value)}; give one of {', '.join(choices)}")
            return next(iter(choices))

    def table(self, key: str, *, optional: bool = False) -> "Table":
        """Return a table inside this one; empty where it is optional and absent."""
        value = self._left.pop(key, {} if optional else None)
        if isinstance(value, dict):
            return Table(value, self._faults, (*self.path, key))
        if value is None:
            self.note(key, "missing", "is missing; state it")
        else:
            self.note(key, "not-a-table", f"is {show(value)}; give a table")
        # Nothing more is said of what is in a table that is not there.
        return Table({}, [], (*self.path, key))

    def tables(self, key: str, id_key: str) -> Iterator["Table"]:
        """Yield the tables of a list; none may have the id of another."""
        values = self._left.pop(key, [])
        if not isinstance(values, list) or len(values) > MOST_ENTRIES:
            self.note(
                key,
                "not-a-list",
                f"is {show(values)}; give a list of at most {MOST_ENTRIES} tables",
            )
            return
        seen = set()
        for position, value in enumerate(values):
            if not isinstance(value, dict):
                self.note((key, position), "not-a-table", f"{show(value)} is not a table")
                continue
            inner = Table(value, self._faults, (*self.path, key, position))
            id_ = value.get(id_key)
            if isinstance(id_, str):
                if id_ in seen:
                    inner.note(
                        id_key, "repeated", f"{show(id_)} is there twice; give each entry its own"
                    )
                seen.add(id_)
            yield inner

    def counts(self, key: str) -> tuple[tuple[str, int], ...]:
        """Return a table of whole numbers from 1 to 100 by name; empty where it is absent."""
        inner = self.table(key, optional=True)
        return tuple((name, inner.whole(name, 1, most=100)) for name in tuple(inner._left))

    def close(self) -> None:
        """Note every key that was not read."""
        for key in self._left:
            self.note(str(key), "unknown-key", "is not a known key; remove it")
