"""Commands that read one JSON file and write one document: fits, calibrations, sheets."""

import argparse
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from service.fitting import write_calibration_document, write_fit_document
from service.install_documents import write_install_sheets_document
from service.rule_set_option import add_rule_set_option
from service.site_documents import (
    write_measurement_sheets_document,
    write_reading_checks_document,
)

Writer = Callable[..., bytes]
"""Takes a file's content and whether text is wanted; returns the document."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentCommand:
    """A command: what its file is called in the help, what it does, and what writes for it.

    A command that `takes_rule_sets` hands those of files to its writer, as `of_files`.
    """

    name: str
    file: str
    help: str
    write: Writer
    takes_rule_sets: bool = False


DOCUMENT_COMMANDS = (
    DocumentCommand(
        name="install-sheets",
        file="ORDER.json",
        help="write install sheets: pieces, fasteners, cuts, order of work",
        write=write_install_sheets_document,
        takes_rule_sets=True,
    ),
    DocumentCommand(
        name="measurement-sheets",
        file="ORDER.json",
        help="write the sheets of what to measure on site",
        write=write_measurement_sheets_document,
        takes_rule_sets=True,
    ),
    DocumentCommand(
        name="check-readings",
        file="READINGS.json",
        help="check a second reading of openings against the first",
        write=write_reading_checks_document,
        takes_rule_sets=True,
    ),
    DocumentCommand(
        name="fit",
        file="FIT.json",
        help="fit a profile to a leaf: groove, rabbet, bits, clearances",
        write=write_fit_document,
    ),
    DocumentCommand(
        name="calibrate-pack",
        file="SAMPLES.json",
        help="work out what a pack holds from weighed samples",
        write=write_calibration_document,
    ),
)


def add_document_commands(commands: Any, run: Callable[[argparse.Namespace], int]) -> None:
    """Add the commands to a parser's commands; `run` finds the writer in its options."""
    for command in DOCUMENT_COMMANDS:
        parser: argparse.ArgumentParser = commands.add_parser(command.name, help=command.help)
        parser.set_defaults(command=run, write=command.write, rule_sets=None)
        add_file_options(parser, command.file, "the file")
        if command.takes_rule_sets:
            add_rule_set_option(parser)


def add_file_options(parser: argparse.ArgumentParser, metavar: str, what: str) -> None:
    """Add the file to read, the form of the document, and the file to write."""
    parser.add_argument("order", metavar=metavar, help=f"{what}; - reads standard input")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--text", action="store_true", help="write text for a reader; the default")
    form.add_argument("--json", action="store_true", help="write JSON, as the API does")
    parser.add_argument("-o", "--output", type=Path, metavar="FILE", help="write to a file")
