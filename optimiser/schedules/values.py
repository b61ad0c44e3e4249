"""What a cell states, by field: counts, lengths, kinds and other choices."""

import re
from collections.abc import Mapping
from enum import StrEnum
from typing import Final, TypeVar

from optimiser.domain.opening import (
    MeetingStiles,
    OpeningKind,
    SashCords,
    SideStrips,
    SizeOf,
    Threshold,
)
from optimiser.schedules import limits
from optimiser.schedules.kinds import KindError, read_kind
from optimiser.units.faults import QuantityError
from optimiser.units.lengths import LengthUnit, format_length, parse_length

BLANK_WORDS: Final = frozenset({"-", "–", "—", "--", "n/a", "na", "nil"})
"""Texts by which a cell is marked as blank. Common practice, no source."""

DITTO_WORDS: Final = frozenset({'"', "''", "”", "〃", "ditto", "do", "do.", "as above", "same"})
"""Texts that repeat the cell above. Common practice, no source."""

_CHOICE_WORDS: Final[Mapping[type[StrEnum], Mapping[str, str]]] = {
    MeetingStiles: {
        "by others": "by-others",
        "others": "by-others",
        "none": "by-others",
        "no": "by-others",
        "nested": "nested-members",
        "nested member": "nested-members",
        "two nested members": "nested-members",
    },
    Threshold: {
        "no": "none",
        "by others": "none",
        "interlock": "interlocking",
        "interlocking threshold": "interlocking",
        "with hook": "interlocking",
    },
    SashCords: {
        "no": "none",
        "yes": "over-pulleys",
        "cords": "over-pulleys",
        "pulleys": "over-pulleys",
    },
    SideStrips: {
        "full": "full-height",
        "half": "sash-height",
        "half height": "sash-height",
        "sash": "sash-height",
    },
    SizeOf: {
        "leaves": "leaf",
        "door": "leaf",
        "panel": "leaf",
        "sash": "leaf",
        "frame": "opening",
        "frame opening": "opening",
        "rough": "rough-opening",
        "ro": "rough-opening",
    },
}
_COUNT = re.compile(
    r"\(?\s*(?:x\s*)?([0-9]{1,12})(?:[.,]0+)?\s*\)?\s*"
    r"(?:x|ea|each|no|nos|off|pcs?|pieces?|openings?|doors?|windows?)?\.?",
    re.IGNORECASE,
)
_SPACING_TAIL = re.compile(
    r"\s*(?:o\.?\s*c\.?|c\s*/\s*c|ctrs?\.?|cent(?:re|er)s?)\s*$", re.IGNORECASE
)
_DOUBTFUL_COMMA = re.compile(r"(?<![0-9.])[0-9]{1,3},[0-9]{3}(?![0-9])")
_COMMA_IN_NUMBER = re.compile(r"(?<=[0-9]),(?=[0-9])")
_BARE_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]*)?(?: ?[0-9]+/[0-9]+)?|\.[0-9]+|[0-9]+/[0-9]+")
_BARE_SIZE = re.compile(
    rf"({_BARE_NUMBER.pattern})\s*(?:x|×|by)\s*({_BARE_NUMBER.pattern})", re.IGNORECASE
)

_Choice = TypeVar("_Choice", bound=StrEnum)


class ValueFault(ValueError):
    """A value that cannot be taken. `problem` goes on from the value; `remedy` mends it."""

    def __init__(self, code: str, problem: str, remedy: str) -> None:
        self.code = code
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}; {remedy}")


def read_count(text: str) -> int:
    """Return the number of openings that a cell states.

    Raises:
        ValueFault: not a whole number, below 1, or above the limit.
    """
    match = _COUNT.fullmatch(text.strip())
    if not match:
        raise ValueFault("quantity-unreadable", "is not a whole number", "write one, such as 4")
    count = int(match[1])
    if count < 1:
        raise ValueFault("quantity-below-one", "is below 1", "write 1 or more, or remove the row")
    if count > limits.OPENINGS:
        raise ValueFault(
            "quantity-too-high", f"is above the limit, {limits.OPENINGS:,}", "split the schedule"
        )
    return count


def settle_commas(text: str, *, decimal_comma: bool, sure: bool) -> str:
    """Return a text whose decimal commas are points.

    `sure` says that the user has stated it, so that three digits after a comma are no doubt.

    Raises:
        ValueFault: a comma with three digits behind it may mark thousands.
    """
    if not decimal_comma or not _COMMA_IN_NUMBER.search(text):
        return text
    if not sure and _DOUBTFUL_COMMA.search(text):
        raise ValueFault(
            "comma-ambiguous",
            "holds a comma that may mark thousands or decimals",
            "write it without the comma, or say that the file has decimal commas",
        )
    return _COMMA_IN_NUMBER.sub(".", text)


def with_unit(text: str, unit: str | None) -> str:
    """Return a bare number with the unit that its header names."""
    return f"{text} {unit}" if unit and _BARE_NUMBER.fullmatch(text) else text


def with_unit_on_sides(text: str, unit: str | None) -> str:
    """Return a size of two bare numbers with the unit that its header names, on both."""
    match = _BARE_SIZE.fullmatch(text) if unit else None
    return f"{match[1]} {unit} x {match[2]} {unit}" if match else text


def read_length_above_zero(text: str, unit: LengthUnit) -> int:
    """Return a length of more than 0, in nanometres.

    Raises:
        ValueFault: not a length, or 0.
    """
    try:
        length_nm = parse_length(text, unit)
    except QuantityError as error:
        raise ValueFault(f"{error.code}-unreadable", error.problem, error.remedy) from None
    if length_nm == 0:
        raise ValueFault(
            "length-not-positive",
            f"is a length of {format_length(0, unit)}",
            "state what was measured",
        )
    return length_nm


def read_spacing(text: str, unit: LengthUnit) -> int:
    """Return a spacing of fasteners in nanometres; `o.c.` and the like may follow it.

    Raises:
        ValueFault: not a length, or 0.
    """
    return read_length_above_zero(_SPACING_TAIL.sub("", text), unit)


def read_opening_kind(text: str) -> OpeningKind:
    """Return the kind of opening that a text states.

    Raises:
        ValueFault: unknown, not taken, or more than one kind.
    """
    try:
        return read_kind(text)
    except KindError as error:
        raise ValueFault(error.code, error.problem, error.remedy) from None


def read_choice(text: str, choices: type[_Choice]) -> _Choice:
    """Return one of a few choices, by its name or by a usual word for it.

    Raises:
        ValueFault: none of them.
    """
    folded = " ".join(re.sub(r"[\W_]+", " ", text.casefold()).split())
    name = _CHOICE_WORDS.get(choices, {}).get(folded, folded.replace(" ", "-"))
    for choice in choices:
        if choice.value == name:
            return choice
    raise ValueFault(
        "choice-unknown", "is not known", f"give one of {', '.join(c.value for c in choices)}"
    )


def read_name(text: str) -> str:
    """Return a name on one line: a mark, a finish.

    Raises:
        ValueFault: too long, or with a control character.
    """
    name = " ".join(text.split())
    if len(name) > limits.MARK_CHARACTERS:
        raise ValueFault(
            "name-too-long",
            f"has {len(name)} characters, more than {limits.MARK_CHARACTERS}",
            "shorten it",
        )
    if not name.isprintable():
        raise ValueFault("control-character", "holds a character that cannot be shown", "remove it")
    return name


def read_rule_set(text: str, known: frozenset[str] | None) -> str:
    """Return the identifier of a rule set: small letters, blanks as dashes.

    Raises:
        ValueFault: not among the known ones.
    """
    name = read_name(text)
    identifier = re.sub(r"[\s_]+", "-", name.casefold())
    if known is not None and identifier not in known:
        if name in known:
            return name
        raise ValueFault(
            "rule-set-unknown", "is not a known rule set", f"give one of {', '.join(sorted(known))}"
        )
    return identifier


def read_rule_sets(text: str, known: frozenset[str] | None) -> tuple[str, ...]:
    """Return the identifiers of a list of rule sets, parted by commas or semicolons.

    Raises:
        ValueFault: one is not among the known ones, or there twice.
    """
    names = [name for name in re.split(r"[,;+\n]", text) if name.strip()]
    rule_sets = tuple(read_rule_set(name.strip(), known) for name in names)
    if len(set(rule_sets)) < len(rule_sets):
        raise ValueFault("rule-set-twice", "names a rule set twice", "name each once")
    return rule_sets


def read_remarks(text: str) -> str:
    """Return a text for the remarks, line ends kept.

    Raises:
        ValueFault: too long, or with a control character.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    if len(lines) > limits.REMARKS_CHARACTERS:
        raise ValueFault(
            "remarks-too-long",
            f"has {len(lines):,} characters, more than {limits.REMARKS_CHARACTERS:,}",
            "shorten it",
        )
    if any((ord(sign) < 32 and sign not in "\n\t") or sign == "\x7f" for sign in lines):
        raise ValueFault("control-character", "holds a control character", "remove it")
    return lines
