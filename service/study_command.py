"""The command `study`: an order under many changes."""

import argparse
from collections.abc import Callable
from typing import Any

from service.jobs.outcomes import Studied, StudyJob
from service.jobs.study_work import carry_out_study
from service.jobs.work import standard_output_kept_clean
from service.sheet_commands import add_file_options
from service.studies.reading import read_study
from service.use_cases import settle_study

ReadFile = Callable[[str], bytes]


def add_study_command(commands: Any, run: Callable[[argparse.Namespace], int]) -> None:
    """Add the command to a parser's commands; `run` is that of the catalogues' commands."""
    parser: argparse.ArgumentParser = commands.add_parser(
        "study", help="ask what if: plan an order under many changes, in one table"
    )
    add_file_options(parser, "STUDY.json", "the study")
    parser.add_argument("--csv", action="store_true", help="write a table in CSV")
    parser.set_defaults(command=run, make=_make, exactly=False)


def _make(options: argparse.Namespace, read_file: ReadFile) -> bytes:
    """Return the study that the command writes.

    Raises:
        Problem: the study cannot be read, or its order not be served; all faults are listed.
    """
    studied = study_body(read_file(options.order))
    if options.json:
        return studied.document
    return (studied.table if options.csv else studied.text).encode()


def study_body(body: bytes) -> Studied:
    """Return what comes of a study by value.

    Raises:
        Problem: it cannot be read, or its order not be served; all faults are listed.
    """
    study = read_study(body)
    with standard_output_kept_clean():
        outcome = carry_out_study(StudyJob(study=study))
    return settle_study(outcome, study)


def write_study_document(body: bytes, as_text: bool) -> bytes:
    """Return what a study answers, as text or as JSON.

    Raises:
        Problem: it cannot be read, or its order not be served; all faults are listed.
    """
    studied = study_body(body)
    return studied.text.encode() if as_text else studied.document
