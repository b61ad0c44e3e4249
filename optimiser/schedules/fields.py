"""What a column of a schedule may state."""

from enum import StrEnum


class ScheduleField(StrEnum):
    """One thing that a schedule states of an opening; the names are those of the wire format."""

    MARK = "mark"
    QUANTITY = "quantity"
    KIND = "kind"
    SIZE = "size"
    WIDTH = "width"
    HEIGHT = "height"
    SIZE_OF = "size_of"
    FINISH = "finish"
    RULE_SET = "rule_set"
    FASTENER_SPACING = "fastener_spacing"
    MEETING_STILES = "meeting_stiles"
    THRESHOLD = "threshold"
    SASH_CORDS = "sash_cords"
    SIDE_STRIPS = "side_strips"
    LOWER_HEIGHT = "lower_height"
    INACTIVE_LEAF_WIDTH = "inactive_leaf_width"
    ALSO = "also"
    REMARKS = "remarks"
    HAND = "hand"
    MATERIAL = "material"
    LEAF_FINISH = "leaf_finish"
    FRAME = "frame"
    FIRE_RATING = "fire_rating"
    HARDWARE = "hardware"
    THICKNESS = "thickness"
    LOCATION = "location"


KEPT_AS_TEXT = {
    ScheduleField.HAND: "Hand",
    ScheduleField.MATERIAL: "Material",
    ScheduleField.LEAF_FINISH: "Leaf finish",
    ScheduleField.FRAME: "Frame",
    ScheduleField.FIRE_RATING: "Fire rating",
    ScheduleField.HARDWARE: "Hardware",
    ScheduleField.THICKNESS: "Thickness",
    ScheduleField.LOCATION: "Location",
    ScheduleField.REMARKS: "",
}
"""Fields that are handed through as text in an opening's remarks, with what leads the text.

Conventions of handing differ, so that a hand is kept word for word and never interpreted.
"""

LENGTHS = frozenset(
    {
        ScheduleField.SIZE,
        ScheduleField.WIDTH,
        ScheduleField.HEIGHT,
        ScheduleField.LOWER_HEIGHT,
        ScheduleField.INACTIVE_LEAF_WIDTH,
        ScheduleField.FASTENER_SPACING,
    }
)
"""Fields whose header may name a unit: `Width (mm)`."""
