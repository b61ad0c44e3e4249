"""Read a table of a rule file key by key, and gather every fault."""

from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import Any, TypeVar

_Choice = TypeVar("_Choice", bound=StrEnum)


class Table:
    """One table of a rule file. Values are taken once; a fault is noted and reading goes on.

    A value that cannot be read is replaced by one of its type, so that the rest can be read;
    with faults noted, nothing that was read may be used.
    """

    def __init__(self, entries: Mapping[str, Any], name: str, faults: list[str]) -> None:
        self._left = dict(entries)
        self._faults = faults
        self.name = name

    def note(self, fault: str) -> None:
        """Note a fault of this table."""
        self._faults.append(f"{self.name}: {fault}")

    def text(self, key: str) -> str:
        """Return a text that must be there and not be blank."""
        value = self._left.pop(key, None)
        if value is None:
            self.note(f"{key} is missing; state it")
        elif not isinstance(value, str) or not value.strip():
            self.note(f"{key} is {value!r}; give text that is not blank")
        else:
            return value
        return ""

    def optional_text(self, key: str, default: str) -> str:
        """Return a text, or the default where the key is absent."""
        return self.text(key) if key in self._left else default

    def whole(self, key: str, default: int) -> int:
        """Return a whole number of at least one, or the default where the key is absent."""
        value = self._left.pop(key, default)
        if isinstance(value, bool) or not isinstance(value, int) or value < 1:
            self.note(f"{key} is {value!r}; give a whole number of 1 or more")
            return 1
        return value

    def choice(self, key: str, choices: type[_Choice], default: _Choice | None = None) -> _Choice:
        """Return one of the choices, or the default where the key is absent and there is one."""
        if default is not None and key not in self._left:
            return default
        value = self.text(key)
        return self._choose(key, value, choices) if value else next(iter(choices))

    def optional_choice(self, key: str, choices: type[_Choice]) -> _Choice | None:
        """Return one of the choices, or `None` where the key is absent."""
        return self.choice(key, choices) if key in self._left else None

    def choices(self, key: str, choices: type[_Choice]) -> tuple[_Choice, ...]:
        """Return several of the choices, at least one, none twice."""
        values = self._left.pop(key, None)
        if not isinstance(values, list) or not values:
            self.note(f"{key} is {values!r}; give a list of at least one")
            return ()
        chosen = tuple(self._choose(key, value, choices) for value in values)
        if len(set(chosen)) < len(chosen):
            self.note(f"{key} names one twice; name each once")
        return chosen

    def _choose(self, key: str, value: str, choices: type[_Choice]) -> _Choice:
        try:
            return choices(value)
        except ValueError:
            self.note(f"{key} is {value!r}; give one of {', '.join(choices)}")
            return next(iter(choices))

    def table(self, key: str, *, optional: bool = False) -> "Table":
        """Return a table inside this one; empty where it is optional and absent."""
        value = self._left.pop(key, {} if optional else None)
        if isinstance(value, dict):
            return Table(value, f"{self.name}, {key}", self._faults)
        self.note(f"{key} is missing; state it" if value is None else f"{key} is not a table")
        # Nothing more is said of what is in a table that is not there.
        return Table({}, f"{self.name}, {key}", [])

    def tables(self, key: str, id_key: str) -> Iterator["Table"]:
        """Yield the tables of a list, each named by its id; none may have the id of another."""
        values = self._left.pop(key, [])
        if not isinstance(values, list) or not all(isinstance(value, dict) for value in values):
            self.note(f"{key} is {values!r}; give a list of tables")
            return
        seen = set()
        for position, value in enumerate(values, start=1):
            id_ = value.get(id_key)
            inner = Table(value, f"{self.name}, {key} {position} ({id_})", self._faults)
            if id_ in seen:
                inner.note(f"{id_key} {id_} is there twice; give each entry its own")
            seen.add(id_)
            yield inner

    def close(self) -> None:
        """Note every key that was not read."""
        for key in self._left:
            self.note(f"{key} is not a known key; remove it")
