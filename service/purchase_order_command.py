"""The command `purchase-order`: the orders to the suppliers of an order's plan, as UBL."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from service.jobs.work import carry_out, standard_output_kept_clean
from service.json_text import MalformedJson, read_json, write_json
from service.media_types import JSON, XML, ZIP
from service.problems import NOT_ACCEPTABLE, Problem
from service.purchase_orders import form_purchase_orders, prepare_purchase_orders
from service.rule_set_option import add_rule_set_option, read_rule_set_files
from service.use_cases import settle_outcome

ReadFile = Callable[[str], bytes]

_FORMS = {".json": JSON, ".xml": XML, ".zip": ZIP}


def add_purchase_order_command(commands: Any, run: Callable[[argparse.Namespace], int]) -> None:
    """Add the command to a parser's commands; `run` is that of the catalogues' commands."""
    parser: argparse.ArgumentParser = commands.add_parser(
        "purchase-order",
        help="write the orders to the suppliers of an order's plan, as UBL",
        description="Make the plan of an order and write an order to each supplier that it buys "
        "from: OASIS UBL 2.1 Order, which other systems read. Who buys, when and where to is the "
        "member `ordering` of the order, or a file of its own.",
    )
    parser.add_argument("order", metavar="ORDER.json", help="the order; - reads standard input")
    parser.add_argument(
        "--ordering", metavar="ORDERING.json", help="who buys, when and where to, as a file"
    )
    parser.add_argument(
        "--to",
        type=Path,
        metavar="FILE",
        help="FILE.zip, an XML file for each supplier; FILE.xml, where there is one supplier; or "
        "FILE.json, as the API answers. Without it the JSON is written to standard output",
    )
    add_rule_set_option(parser)
    parser.set_defaults(command=run, make=_make, parser=parser, exactly=True, output=None)


def _make(options: argparse.Namespace, read_file: ReadFile) -> bytes:
    """Return the file that the command writes.

    Raises:
        Problem: the order cannot be read or served; all faults are listed.
    """
    refuse_use: Callable[[str], None] = options.parser.error
    media_type = JSON
    if options.to is None:
        options.exactly = False
    else:
        options.output = options.to
        media_type = _FORMS.get(options.to.suffix.lower(), "")
        if not media_type:
            refuse_use(f"{options.to} is not a name to write to; end it in .zip, .xml or .json")
    body = read_file(options.order)
    if options.ordering is not None:
        body = _put_in(body, read_file(options.ordering))
    job = prepare_purchase_orders(body, of_files=read_rule_set_files(options.rule_sets))
    with standard_output_kept_clean():
        outcome = carry_out(job)
    document = settle_outcome(outcome, body).document
    try:
        return form_purchase_orders(document, media_type)
    except Problem as problem:
        if problem.kind is NOT_ACCEPTABLE:
            refuse_use(f"{options.to} holds one order, and the plan has more or none; use FILE.zip")
        raise


def _put_in(order: bytes, ordering: bytes) -> bytes:
    """Return the order with `ordering`; what cannot be read is left to be told of."""
    try:
        raw = read_json(order)
    except MalformedJson:
        return order
    try:
        stated = read_json(ordering)
    except MalformedJson:
        return ordering
    return write_json({**raw, "ordering": stated}).encode() if isinstance(raw, dict) else order
