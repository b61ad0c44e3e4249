"""The command `document`: a document that people read, of the plan of an order in a file."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from optimiser.domain.publication import Language, LengthsShown, Paper
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS, DOCUMENTS_OF_QUOTES
from optimiser.publishing.forms import FORMS, Form, forms_of, require_installed
from optimiser.publishing.forms.faults import FormNotInstalled
from service.jobs.outcomes import PlanJob
from service.media_types import TEXT
from service.publications import prepare_publication
from service.rule_set_option import add_rule_set_option, read_rule_set_files
from service.wire.publications import EditionAsked

_DOCUMENTS = (*DOCUMENTS_OF_PLANS, *DOCUMENTS_OF_QUOTES)


class NoForm(ValueError):
    """The file's name does not say a form that the document comes in here."""


def add_publication_command(commands: Any, run: Callable[[argparse.Namespace], int]) -> None:
    """Add the command to a parser's commands."""
    parser: argparse.ArgumentParser = commands.add_parser(
        "document", help="write a document of an order's plan: for the buyer, the bench, the site"
    )
    parser.set_defaults(command=run)
    parser.add_argument("document", choices=_DOCUMENTS, help="which document")
    parser.add_argument("order", metavar="ORDER.json", help="the order; - reads standard input")
    parser.add_argument(
        "--to",
        type=Path,
        metavar="FILE",
        help=f"the file to write; its form goes by its ending: {_endings(FORMS)}; without one "
        "text is printed",
    )
    parser.add_argument(
        "--locale",
        type=Language,
        choices=tuple(Language),
        default=Language.AMERICAN,
        help="the language of words, numbers, money and dates; en-US unless stated",
    )
    parser.add_argument(
        "--lengths",
        type=LengthsShown,
        choices=tuple(LengthsShown),
        help="what lengths are written in; the order's unit unless stated",
    )
    parser.add_argument(
        "--paper",
        type=Paper,
        choices=tuple(Paper),
        help="the sheet that it is set for; that of the locale unless stated",
    )
    add_rule_set_option(parser)


def prepare_publication_command(options: argparse.Namespace, body: bytes) -> PlanJob:
    """Return the job of planning the order and writing the document.

    Raises:
        NoForm: the document does not come in the form of the file, or it is not installed.
        OSError: a rule set's file cannot be read.
        Problem: the order cannot be read, or is too large for the document.
    """
    return prepare_publication(
        body,
        options.document,
        _media_type(options.document, options.to),
        EditionAsked(locale=options.locale, lengths=options.lengths, paper=options.paper),
        of_files=read_rule_set_files(options.rule_sets),
    )


def _media_type(document: str, file: Path | None) -> str:
    if file is None:
        return TEXT
    for form in forms_of(document):
        if file.name.lower().endswith(form.suffix):
            try:
                require_installed(form)
            except FormNotInstalled as error:
                raise NoForm(str(error)) from None
            return form.media_type
    raise NoForm(
        f"{file.name}: {document} comes as {_endings(forms_of(document))}; name the file so."
    )


def _endings(forms: tuple[Form, ...]) -> str:
    return ", ".join(form.suffix for form in forms)
