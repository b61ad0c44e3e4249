"""The command `schedule`: a CSV or XLSX file in, openings out."""

import argparse
import json
from pathlib import Path
from typing import Any

from optimiser.schedules import ScheduleField
from optimiser.units.lengths import LengthUnit
from service.mapping.schedules import read_options
from service.rule_set_option import add_rule_set_option, read_rule_set_files
from service.use_cases import write_schedule_document


def add_schedule_command(commands: Any) -> argparse.ArgumentParser:
    """Add the command to a parser's commands and return its own parser."""
    parser: argparse.ArgumentParser = commands.add_parser(
        "schedule",
        help="read a door and window schedule into openings",
        description="Read a CSV or XLSX schedule. Columns are found by their usual names; fields "
        f"to map or to give a default are: {', '.join(ScheduleField)}.",
    )
    parser.add_argument("order", metavar="FILE", help="the schedule; - reads standard input")
    parser.add_argument(
        "--unit", choices=list(LengthUnit), default=LengthUnit.INCH, help="the unit of bare numbers"
    )
    parser.add_argument(
        "--map",
        action="append",
        default=[],
        metavar="FIELD=COLUMN",
        help="the column of a field, by header or letter; nothing after = means no column",
    )
    parser.add_argument(
        "--default",
        action="append",
        default=[],
        metavar="FIELD=TEXT",
        help="what stands for a missing column or a blank cell",
    )
    parser.add_argument(
        "--options",
        default="{}",
        metavar="JSON",
        help="further options as a JSON object, as the API takes them",
    )
    add_rule_set_option(parser)
    parser.add_argument("--sheet", help="the sheet of a workbook")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--text", action="store_true", help="write a report for a reader")
    form.add_argument("--json", action="store_true", help="write the openings; the default")
    parser.add_argument("-o", "--output", type=Path, metavar="FILE", help="write to a file")
    return parser


def read_schedule_command(options: argparse.Namespace, content: bytes) -> bytes:
    """Return the document that the command writes.

    Raises:
        OSError: a file of rule sets cannot be read.
        Problem: the options, rule sets or the schedule cannot be read; all faults are listed.
        ValueError: an option is not of the form FIELD=TEXT.
    """
    # What does not read as an object is left to the reader of options, which says so.
    stated = _read_object(options.options)
    if stated is not None:
        stated.setdefault("unit", options.unit)
        if options.sheet is not None:
            stated["sheet"] = options.sheet
        if options.rule_sets and isinstance(stated.get("rule_sets", []), list):
            own = [rule_set.id for rule_set in read_rule_set_files(options.rule_sets)]
            stated["rule_sets"] = [*stated.get("rule_sets", []), *own]
        mapped = {field: column or None for field, column in _pairs("--map", options.map)}
        defaults = dict(_pairs("--default", options.default))
        for member, given in (("mapping", mapped), ("defaults", defaults)):
            # Anything but an object is left as it stands, and refused by the reader.
            if isinstance(stated.get(member, {}), dict):
                stated[member] = {**stated.get(member, {}), **given}
    text = options.options if stated is None else json.dumps(stated)
    return write_schedule_document(content, None, read_options(text), as_text=options.text)


def _read_object(text: str) -> dict[str, Any] | None:
    try:
        value = json.loads(text)
    except ValueError:
        return None
    return value if isinstance(value, dict) else None


def _pairs(option: str, entries: list[str]) -> list[tuple[str, str]]:
    pairs = []
    for entry in entries:
        field, sign, text = entry.partition("=")
        if not sign:
            raise ValueError(f"{option} {entry!r} has no =; write {option} FIELD=TEXT")
        pairs.append((field.strip(), text.strip()))
    return pairs
