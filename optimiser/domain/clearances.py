"""How the leaf, the frame's opening, the rough opening and the nominal size differ."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearances:
    """What lies between one size of an opening and another, in nanometres.

    The gaps are those between leaf (or sash) and frame at each jamb, at the head and at the
    sill, and between two leaves where they meet. `nominal_width_nm` is how much narrower one
    leaf is than its nominal width, `nominal_height_nm` how much lower. `rough_width_nm` and
    `rough_height_nm` are how much larger the rough opening is than the frame's opening; `None`
    states nothing, and sizes of a rough opening are then refused.
    """

    jamb_nm: int = 0
    head_nm: int = 0
    sill_nm: int = 0
    meeting_nm: int = 0
    nominal_width_nm: int = 0
    nominal_height_nm: int = 0
    rough_width_nm: int | None = None
    rough_height_nm: int | None = None
