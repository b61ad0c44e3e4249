"""Plans and takeoffs as documents."""

from optimiser.render.bench_text import (
    render_bench_sheets,
    render_cutting_diagrams,
    render_labels,
    word_label,
)
from optimiser.render.difference_text import render_difference
from optimiser.render.field_text import render_measurement_sheet, render_reading_check, word_finding
from optimiser.render.fit_text import render_fit, word_calculation, word_clearance
from optimiser.render.fulfilment_text import (
    render_back_orders,
    render_open_purchase,
    render_order_state,
    render_rack,
    render_return,
)
from optimiser.render.quote_difference_text import (
    render_customer_difference,
    render_inside_difference,
)
from optimiser.render.quote_text import render_customer_quote, render_inside_quote
from optimiser.render.site_text import mark_position, render_install_sheet
from optimiser.render.takeoff_text import render_takeoff_text
from optimiser.render.text import Say, render_text
from optimiser.render.weighing_text import render_calibration

__all__ = [
    "Say",
    "mark_position",
    "render_back_orders",
    "render_bench_sheets",
    "render_calibration",
    "render_customer_difference",
    "render_customer_quote",
    "render_cutting_diagrams",
    "render_difference",
    "render_fit",
    "render_inside_difference",
    "render_inside_quote",
    "render_install_sheet",
    "render_labels",
    "render_measurement_sheet",
    "render_open_purchase",
    "render_order_state",
    "render_rack",
    "render_reading_check",
    "render_return",
    "render_takeoff_text",
    "render_text",
    "word_calculation",
    "word_clearance",
    "word_finding",
    "word_label",
]
