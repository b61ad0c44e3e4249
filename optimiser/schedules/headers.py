"""The usual names of a schedule's columns, as data: the only place where they stand.

Names are written as `fold_header` leaves them: small letters, no punctuation. Words of
`_QUALIFIERS` and of `_DATUMS` may stand before or after any of them: `Door width`, `Leaf height`.
Common practice, no source; the columns mark, number, size, type, material, frame, finish and
remarks are those of a door schedule as taught (vdci.edu).
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from optimiser.domain.opening import SizeOf
from optimiser.schedules import limits
from optimiser.schedules.fields import LENGTHS, ScheduleField

HEADERS: Final[Mapping[ScheduleField, tuple[str, ...]]] = {
    ScheduleField.MARK: ("mark", "marks", "tag", "id", "ref", "reference", "door no", "door number",
                         "window no", "window number", "opening no", "opening number", "door mark",
                         "window mark", "opening mark", "mark no", "door nr", "door id", "code"),
    ScheduleField.QUANTITY: ("qty", "quantity", "count", "qnty", "quant", "no of", "number of",
                             "no off", "pcs", "pieces", "how many", "number off", "ea",
                             "no required", "quantity required", "qty required", "total qty"),
    ScheduleField.KIND: ("kind", "type", "door type", "window type", "opening type", "operation",
                         "operation type", "operationtype", "style", "configuration",
                         "predefined type"),
    ScheduleField.SIZE: ("size", "sizes", "dimensions", "dims", "dimension", "w x h", "wxh",
                         "width x height", "size w x h", "size wxh", "size width x height"),
    ScheduleField.WIDTH: ("width", "w", "wd", "wide", "overallwidth", "wdth"),
    ScheduleField.HEIGHT: ("height", "h", "ht", "hgt", "high", "overallheight"),
    ScheduleField.SIZE_OF: ("size of", "size is of", "datum", "sized by", "measured at"),
    ScheduleField.FINISH: ("finish", "strip finish", "seal finish", "weatherstrip finish", "fin"),
    ScheduleField.RULE_SET: ("rule set", "ruleset", "product", "strip", "seal", "seal type",
                             "weatherstrip", "weatherstripping", "strip type", "system"),
    ScheduleField.FASTENER_SPACING: ("spacing", "fastener spacing", "nail spacing",
                                     "screw spacing", "nails at", "centres", "centers",
                                     "fixing centres", "fixing centers", "oc"),
    ScheduleField.MEETING_STILES: ("meeting stiles", "meeting stile", "astragal"),
    ScheduleField.THRESHOLD: ("threshold", "saddle", "interlocking threshold"),
    ScheduleField.SASH_CORDS: ("sash cords", "cords", "pulleys"),
    ScheduleField.SIDE_STRIPS: ("side strips", "sides", "jamb strips"),
    ScheduleField.INACTIVE_LEAF_WIDTH: ("inactive leaf width", "inactive leaf", "inactive width",
                                        "width of inactive leaf"),
    ScheduleField.LOWER_HEIGHT: ("lower height", "lower leaf height", "lower sash height",
                                 "lower leaf", "lower sash", "bottom leaf height"),
    ScheduleField.ALSO: ("also", "with", "in addition", "further rule sets"),
    ScheduleField.REMARKS: ("remarks", "remark", "notes", "note", "comments", "comment",
                            "description"),
    ScheduleField.HAND: ("hand", "handing", "swing", "handed", "hinge side"),
    ScheduleField.MATERIAL: ("material", "matl", "mat", "leaf material", "door material"),
    ScheduleField.LEAF_FINISH: ("door finish", "leaf finish", "window finish", "frame finish",
                                "paint", "colour", "color", "sash finish"),
    ScheduleField.FRAME: ("frame", "frame type", "frame material"),
    ScheduleField.FIRE_RATING: ("fire rating", "rating", "fire", "label", "fire label",
                                "firerating"),
    ScheduleField.HARDWARE: ("hardware", "hardware set", "hdwr", "hw set", "hw", "hdw", "hdw set",
                             "hardware group"),
    ScheduleField.THICKNESS: ("thickness", "thk", "thick", "t", "leaf thickness"),
    ScheduleField.LOCATION: ("location", "room", "floor", "level", "storey", "area", "from room",
                             "to room", "room name", "building"),
}  # fmt: skip

WEAK_HEADERS: Final = frozenset(
    {"no", "nos", "nr", "number", "num", "#", "name", "item", "item no", "door", "doors",
     "window", "windows", "opening", "openings"}
)  # fmt: skip
"""Names that mean the mark where no column has a name of its own for it.

`No` is the mark in one schedule and the quantity in the next: beside a column for the marks, and
without one for the quantity, it is refused rather than guessed.
"""

MAY_BE_QUANTITY: Final = frozenset({"no", "nos", "nr", "number", "num", "#"})

FINISH_OF_WHAT: Final = frozenset({"finish", "fin"})
"""Names under which one schedule states the strip's finish and another the door's."""

_QUALIFIERS: Final = frozenset({"door", "window", "opening", "overall", "net", "actual", "stated"})

_DATUMS: Final[Mapping[str, SizeOf]] = {
    "leaf": SizeOf.LEAF,
    "panel": SizeOf.LEAF,
    "slab": SizeOf.LEAF,
    "sash": SizeOf.LEAF,
    "frame opening": SizeOf.OPENING,
    "frame": SizeOf.OPENING,
    "opening": SizeOf.OPENING,
    "rough opening": SizeOf.ROUGH_OPENING,
    "rough": SizeOf.ROUGH_OPENING,
    "ro": SizeOf.ROUGH_OPENING,
    "r o": SizeOf.ROUGH_OPENING,
    "structural opening": SizeOf.ROUGH_OPENING,
    "nominal": SizeOf.NOMINAL,
    "nom": SizeOf.NOMINAL,
}
"""Words of a header that say what a size measures."""

_UNIT_WORDS: Final[Mapping[str, str]] = {
    "mm": "mm", "millimetres": "mm", "millimeters": "mm", "cm": "cm", "m": "m", "metres": "m",
    "meters": "m", "in": "in", "ins": "in", "inch": "in", "inches": "in", '"': "in", "ft": "ft",
    "feet": "ft", "'": "ft",
}  # fmt: skip
_UNIT_AT_END = re.compile(
    r"(?:[(\[]\s*(?P<bracketed>[a-z]+\.?|\"|')\s*[)\]]|(?:,|\bin\b|/|-|\s)\s*(?P<plain>[a-z]+))\s*$"
)
_UNIT_ALONE = re.compile(r"[(\[]?\s*([a-z]+\.?|\"|')\s*[)\]]?")
_BY_NAME: Final = {name: field for field, names in HEADERS.items() for name in names}


@dataclass(frozen=True, slots=True, kw_only=True)
class HeaderMeaning:
    """What a header says: the field, the unit and the datum that it names, and how surely."""

    field: ScheduleField
    unit: str | None = None
    datum: SizeOf | None = None
    weak: bool = False


def fold_header(text: str) -> str:
    """Return a header in small letters without punctuation: `Qty.` and `QTY` are the same."""
    return " ".join(re.sub(r"[^\w#]+|_", " ", text.casefold().replace("×", "x")).split())


def read_unit_alone(text: str) -> str | None:
    """Return the unit where a cell states a unit and nothing else: `mm`, `(in)`."""
    match = _UNIT_ALONE.fullmatch(text.casefold().strip())
    return _UNIT_WORDS.get(match[1].rstrip(".")) if match else None


def read_header(text: str) -> HeaderMeaning | None:
    """Return what a header means, or `None` where its name is not among the usual ones."""
    if len(text) > limits.HEADER_CHARACTERS:
        return None
    if found := _find(fold_header(text)):
        return found
    stated = text.casefold().strip()
    match = _UNIT_AT_END.search(stated)
    unit = _UNIT_WORDS.get((match["bracketed"] or match["plain"]).rstrip(".")) if match else None
    if match and unit:
        found = _find(fold_header(re.sub(r"\s+in$", "", stated[: match.start()])))
        if found and found.field in LENGTHS:
            return HeaderMeaning(field=found.field, unit=unit, datum=found.datum)
    return None


def _find(folded: str) -> HeaderMeaning | None:
    if field := _BY_NAME.get(folded):
        return HeaderMeaning(field=field)
    if folded in WEAK_HEADERS:
        return HeaderMeaning(field=ScheduleField.MARK, weak=True)
    for words, datum in _DATUMS.items():
        rest = _without(folded, words)
        field = _BY_NAME.get(rest) or _BY_NAME.get(_without_qualifiers(rest))
        if rest != folded and field in LENGTHS:
            return HeaderMeaning(field=field, datum=datum)
    if field := _BY_NAME.get(_without_qualifiers(folded)):
        return HeaderMeaning(field=field)
    return None


def _without(folded: str, words: str) -> str:
    if folded.startswith(f"{words} "):
        return folded[len(words) + 1 :]
    return folded.removesuffix(f" {words}")


def _without_qualifiers(folded: str) -> str:
    kept = [word for word in folded.split() if word not in _QUALIFIERS]
    return " ".join(kept)
