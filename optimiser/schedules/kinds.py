"""The words under which schedules state the kind of an opening, as data.

IFC names are those of the enumerations IfcDoorTypeOperationEnum, IfcWindowTypePartitioningEnum
and IfcWindowPanelOperationEnum (schema IFC4); that a window of two panels, one above the other,
with vertical sliding is a double-hung window is inferred. The rest is common practice, no source.
"""

import re
from typing import Final

from optimiser.domain.opening import OpeningKind

WORDS: Final[dict[OpeningKind, tuple[str, ...]]] = {
    OpeningKind.SINGLE_DOOR: (
        "single door",
        "single",
        "sgl",
        "sgl door",
        "single leaf",
        "single leaf door",
        "single swing",
        "single swing door",
        "single swing left",
        "single swing right",
        "one leaf",
        "1 leaf",
        "swing door",
    ),
    OpeningKind.PAIR_OF_DOORS: (
        "pair of doors",
        "pair",
        "pr",
        "pair doors",
        "doors pair",
        "double door",
        "double doors",
        "dbl door",
        "dbl doors",
        "double leaf",
        "double leaf door",
        "two leaf",
        "2 leaf",
        "two leaves",
        "french doors",
        "french door",
        "double door single swing",
        "double door single swing opposite left",
        "double door single swing opposite right",
    ),
    OpeningKind.DUTCH_DOOR: ("dutch door", "dutch", "stable door", "half door"),
    OpeningKind.CASEMENT_WINDOW: (
        "casement window",
        "casement",
        "csmt",
        "casement sash",
        "side hung",
        "side hung window",
        "side hung left hand",
        "side hung right hand",
        "sidehunglefthand",
        "sidehungrighthand",
    ),
    OpeningKind.HOPPER_WINDOW: (
        "hopper window",
        "hopper",
        "bottom hung",
        "bottomhung",
        "bottom hung window",
    ),
    OpeningKind.AWNING_WINDOW: (
        "awning window",
        "awning",
        "top hung",
        "tophung",
        "top hung window",
    ),
    OpeningKind.DOUBLE_HUNG_WINDOW: (
        "double hung window",
        "double hung",
        "dh",
        "dh window",
        "double hung sash",
        "sliding vertical",
        "slidingvertical",
        "double panel horizontal slidingvertical",
        "double panel horizontal sliding vertical",
        "vertical sliding sash",
        "box sash",
    ),
    OpeningKind.FIXED_WINDOW: (
        "fixed window",
        "fixed",
        "fixed light",
        "fixed lite",
        "picture window",
        "fixed casement",
        "fixedcasement",
        "fixed sash",
    ),
}
"""The words of each kind, as `fold_kind` leaves them."""

SEVERAL: Final[dict[str, tuple[OpeningKind, ...]]] = {
    "door": (OpeningKind.SINGLE_DOOR, OpeningKind.PAIR_OF_DOORS),
    "doors": (OpeningKind.SINGLE_DOOR, OpeningKind.PAIR_OF_DOORS),
    "double": (OpeningKind.PAIR_OF_DOORS, OpeningKind.DOUBLE_HUNG_WINDOW),
    "dbl": (OpeningKind.PAIR_OF_DOORS, OpeningKind.DOUBLE_HUNG_WINDOW),
    "window": (OpeningKind.CASEMENT_WINDOW, OpeningKind.FIXED_WINDOW),
    "windows": (OpeningKind.CASEMENT_WINDOW, OpeningKind.FIXED_WINDOW),
    "sash": (OpeningKind.CASEMENT_WINDOW, OpeningKind.DOUBLE_HUNG_WINDOW),
    "single panel": (OpeningKind.CASEMENT_WINDOW, OpeningKind.FIXED_WINDOW),
    "double panel horizontal": (OpeningKind.DOUBLE_HUNG_WINDOW, OpeningKind.CASEMENT_WINDOW),
}
"""Words that may mean more than one kind: never guessed."""

NOT_SERVED: Final[dict[str, str]] = {
    "double swing left": "swings both ways",
    "double swing right": "swings both ways",
    "double door double swing": "swings both ways",
    "sliding to left": "slides",
    "sliding to right": "slides",
    "double door sliding": "slides",
    "sliding horizontal": "slides",
    "slidinghorizontal": "slides",
    "sliding": "slides",
    "sliding door": "slides",
    "pocket door": "slides",
    "folding to left": "folds",
    "folding to right": "folds",
    "double door folding": "folds",
    "bifold": "folds",
    "revolving": "revolves",
    "rollingup": "rolls up",
    "rolling up": "rolls up",
    "overhead": "rolls up",
    "swing fixed left": "has a leaf and a fixed panel",
    "swing fixed right": "has a leaf and a fixed panel",
    "pivot horizontal": "pivots",
    "pivothorizontal": "pivots",
    "pivot vertical": "pivots",
    "pivotvertical": "pivots",
    "removablecasement": "is lifted out",
    "removable casement": "is lifted out",
    "tilt and turn": "tilts and turns",
    "tiltandturnlefthand": "tilts and turns",
    "tiltandturnrighthand": "tilts and turns",
    "notdefined": "is not defined",
    "userdefined": "is defined elsewhere",
    "otheroperation": "is defined elsewhere",
}
"""Words for what no kind stands for, and what they say."""

PANELS: Final[dict[str, str]] = {
    "double panel vertical": "two panels side by side",
    "triple panel vertical": "three panels side by side",
    "triple panel horizontal": "three panels one above the other",
    "triple panel bottom": "two panels side by side over a third",
    "triple panel top": "two panels side by side under a third",
    "triple panel left": "one panel beside two, one above the other",
    "triple panel right": "one panel beside two, one above the other",
}
"""Names of windows of several panels, each of which may open in a way of its own."""

_BY_WORD: Final = {
    word: kind for kind, words in WORDS.items() for word in (kind.replace("-", " "), *words)
}


class KindError(ValueError):
    """A kind that cannot be read. `problem` and `remedy` complete a sentence."""

    def __init__(self, code: str, problem: str, remedy: str) -> None:
        self.code = code
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}; {remedy}")


def fold_kind(text: str) -> str:
    """Return the words of a kind in small letters, without dashes, underscores and dots."""
    return " ".join(re.sub(r"[\W_]+", " ", text.casefold()).split())


def read_kind(text: str) -> OpeningKind:
    """Return the kind of opening that a text states, by the words of schedules or of IFC.

    Raises:
        KindError: not among the words, more than one kind, or a kind that is not taken.
    """
    folded = fold_kind(text)
    # What a single panel does is all that its window does.
    if kind := _BY_WORD.get(folded) or _BY_WORD.get(folded.removeprefix("single panel ")):
        return kind
    choices = ", ".join(OpeningKind)
    if folded in SEVERAL:
        raise KindError(
            "kind-ambiguous",
            f"may mean {' or '.join(SEVERAL[folded])}",
            "write the one meant, or say once what the word means in this schedule",
        )
    if folded in NOT_SERVED:
        raise KindError(
            "kind-not-taken",
            f"{NOT_SERVED[folded]}, which no rule set seals",
            f"give one of {choices}, or take the row out",
        )
    if folded in PANELS:
        raise KindError(
            "kind-not-taken",
            f"means {PANELS[folded]}, and not how each opens",
            "give each panel a row of its own, with its kind and its size",
        )
    raise KindError(
        "kind-unknown",
        "is not a known kind",
        f"give one of {choices}, or say once what the word means in this schedule",
    )
