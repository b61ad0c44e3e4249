"""Documents for the bench and the site, as data; `render` writes them as text."""

from optimiser.documents.bench import draw_cutting_diagrams, list_labels, write_bench_sheets
from optimiser.documents.site import count_positions, write_install_sheets

__all__ = [
    "count_positions",
    "draw_cutting_diagrams",
    "list_labels",
    "write_bench_sheets",
    "write_install_sheets",
]
