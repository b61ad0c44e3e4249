"""Forms: a publication becomes a file. A form reads blocks alone and knows no builder."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib.util import find_spec

from optimiser.domain.publication import Publication
from optimiser.publishing.forms.csv_files import write_csv, write_csv_archive
from optimiser.publishing.forms.faults import FormNotInstalled
from optimiser.publishing.forms.html import write_html
from optimiser.publishing.forms.pdf import PDF_EXTRA, write_pdf
from optimiser.publishing.forms.svg_file import write_svg
from optimiser.publishing.forms.text import write_text
from optimiser.publishing.forms.xlsx import write_xlsx


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """A form that publications are written in: its media type and the suffix of its files.

    `kinds` are the publications that it can write; every one where it is `None`. `needs` is the
    package beyond those that are always there, and the extra that brings it.
    """

    media_type: str
    suffix: str
    write: Callable[[Publication], bytes]
    kinds: frozenset[str] | None = None
    needs: tuple[str, str] | None = None

    def takes(self, kind: str) -> bool:
        """Return whether publications of this kind can be written in the form."""
        return self.kinds is None or kind in self.kinds

    @property
    def installed(self) -> bool:
        """Return whether what the form needs is there."""
        return self.needs is None or find_spec(self.needs[0]) is not None


DRAWN = frozenset({"why-this-plan", "cutting-diagrams", "study"})
"""The publications that hold drawings."""

FORMS: tuple[Form, ...] = (
    Form(media_type="text/html", suffix=".html", write=write_html),
    Form(media_type="application/pdf", suffix=".pdf", write=write_pdf, needs=("typst", PDF_EXTRA)),
    Form(
        media_type="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        suffix=".xlsx",
        write=write_xlsx,
    ),
    Form(media_type="text/csv", suffix=".csv", write=write_csv),
    Form(media_type="application/zip", suffix=".zip", write=write_csv_archive),
    Form(media_type="text/plain", suffix=".txt", write=write_text),
    Form(media_type="image/svg+xml", suffix=".svg", write=write_svg, kinds=DRAWN),
)
"""Every form; the first one is what a reader gets who asks for none."""


def forms_of(kind: str) -> tuple[Form, ...]:
    """Return the forms that publications of a kind come in, the usual one first."""
    return tuple(form for form in FORMS if form.takes(kind))


def find_form(media_type: str) -> Form:
    """Return the form that has a media type.

    Raises:
        KeyError: no form has it.
    """
    return {form.media_type: form for form in FORMS}[media_type]


def require_installed(form: Form) -> None:
    """Make sure that what a form needs is there.

    Raises:
        FormNotInstalled: it is not; the message names the remedy.
    """
    if form.needs is not None and not form.installed:
        raise FormNotInstalled(form.suffix, package=form.needs[0], extra=form.needs[1])
