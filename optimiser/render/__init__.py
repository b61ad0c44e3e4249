"""Plans and takeoffs as documents."""

from optimiser.render.field_text import render_measurement_sheet, render_reading_check
from optimiser.render.takeoff_text import render_takeoff_text
from optimiser.render.text import Say, render_text

__all__ = [
    "Say",
    "render_measurement_sheet",
    "render_reading_check",
    "render_takeoff_text",
    "render_text",
]
