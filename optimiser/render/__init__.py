"""Plans and takeoffs as documents."""

from optimiser.render.bench_text import (
    render_bench_sheets,
    render_cutting_diagrams,
    render_labels,
    word_label,
)
from optimiser.render.field_text import render_measurement_sheet, render_reading_check
from optimiser.render.site_text import render_install_sheet, word_calculation, word_clearance
from optimiser.render.takeoff_text import render_takeoff_text
from optimiser.render.text import Say, render_text

__all__ = [
    "Say",
    "render_bench_sheets",
    "render_cutting_diagrams",
    "render_install_sheet",
    "render_labels",
    "render_measurement_sheet",
    "render_reading_check",
    "render_takeoff_text",
    "render_text",
    "word_calculation",
    "word_clearance",
    "word_label",
]
