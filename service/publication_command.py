"""The command `document`: what people read of an order's plan, or of a study, in a file."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from optimiser.domain.publication import Language, LengthsShown, Paper
from optimiser.publishing.builders import (
    DOCUMENTS_OF_PLANS,
    DOCUMENTS_OF_QUOTES,
    DOCUMENTS_OF_STUDIES,
)
from optimiser.publishing.forms import FORMS, Form, forms_of, require_installed
from optimiser.publishing.forms.faults import FormNotInstalled
from service.jobs.outcomes import StudyJob, ToPublish
from service.jobs.study_work import carry_out_study
from service.jobs.work import carry_out, standard_output_kept_clean
from service.media_types import TEXT
from service.publications import prepare_publication, to_edition
from service.rule_set_option import add_rule_set_option, read_rule_set_files
from service.studies.reading import read_study
from service.use_cases import settle_outcome, settle_study
from service.wire.publications import EditionAsked

_DOCUMENTS = (*DOCUMENTS_OF_PLANS, *DOCUMENTS_OF_QUOTES, *DOCUMENTS_OF_STUDIES)


class NoForm(ValueError):
    """What is asked for does not come so: in the form of the file, or with these rule sets."""


def add_publication_command(commands: Any, run: Callable[[argparse.Namespace], int]) -> None:
    """Add the command to a parser's commands."""
    parser: argparse.ArgumentParser = commands.add_parser(
        "document", help="write a document of an order's plan: for the buyer, the bench, the site"
    )
    parser.set_defaults(command=run)
    parser.add_argument("document", choices=_DOCUMENTS, help="which document")
    parser.add_argument(
        "order", metavar="FILE.json", help="the order, or the study; - reads standard input"
    )
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


def write_publication(options: argparse.Namespace, body: bytes) -> bytes:
    """Return the document, of the plan of an order or of a study.

    Raises:
        NoForm: the document does not come in the form of the file, or it is not installed.
        OSError: a rule set's file cannot be read.
        Problem: the order or the study cannot be read, is too large for the document, or has no
            plan; all faults are listed.
    """
    media_type = _media_type(options.document, options.to)
    asked = EditionAsked(locale=options.locale, lengths=options.lengths, paper=options.paper)
    of_files = read_rule_set_files(options.rule_sets)
    if options.document in DOCUMENTS_OF_STUDIES:
        if of_files:
            raise NoForm("A study has its rule sets in its order; put them there.")
        study = read_study(body)
        edition = to_edition(asked, study.base.order.unit)
        wanted = ToPublish(document=options.document, media_type=media_type, edition=edition)
        with standard_output_kept_clean():
            outcome = carry_out_study(StudyJob(study=study, publish=wanted))
        return settle_study(outcome, study).published
    job = prepare_publication(body, options.document, media_type, asked, of_files=of_files)
    with standard_output_kept_clean():
        outcome = carry_out(job)
    return settle_outcome(outcome, body).document


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
