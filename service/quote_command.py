"""The command `quote`: the customer's price of an order, or what stays inside."""

import argparse
from collections.abc import Callable
from typing import Any

from service.jobs.outcomes import PlanDocument
from service.jobs.work import carry_out, standard_output_kept_clean
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.quote_terms_in import TERMS
from service.quotes import prepare_quote
from service.rule_set_option import add_rule_set_option, read_rule_set_files
from service.sheet_commands import add_file_options
from service.use_cases import settle_outcome

ReadFile = Callable[[str], bytes]


def add_quote_command(commands: Any, run: Callable[[argparse.Namespace], int]) -> None:
    """Add the command to a parser's commands; `run` is that of the catalogues' commands."""
    parser: argparse.ArgumentParser = commands.add_parser(
        "quote",
        help="write the customer's quote of an order; with --inside what stays in the shop",
        description="Make the plan of an order and price it for a customer. The terms are the "
        "member `terms` of the order, or a file of their own. Text is one part alone, JSON both.",
    )
    add_file_options(parser, "ORDER.json", "the order")
    parser.add_argument("--terms", metavar="TERMS.json", help="the terms, as a file")
    parser.add_argument(
        "--inside",
        action="store_true",
        help="as text, write what stays inside (cost, what was added, labour), and not the quote",
    )
    add_rule_set_option(parser)
    parser.set_defaults(command=run, make=_make, exactly=False)


def _make(options: argparse.Namespace, read_file: ReadFile) -> bytes:
    """Return the quote that the command writes.

    Raises:
        Problem: the order or its terms cannot be read or served; all faults are listed.
    """
    body = read_file(options.order)
    if options.terms is not None:
        body = put_in(body, TERMS, read_file(options.terms))
    job = prepare_quote(
        body,
        not options.json,
        document=PlanDocument.QUOTE_INSIDE if options.inside else PlanDocument.QUOTE,
        of_files=read_rule_set_files(options.rule_sets),
    )
    with standard_output_kept_clean():
        outcome = carry_out(job)
    return settle_outcome(outcome, body).document


def put_in(order: bytes, member: str, stated: bytes) -> bytes:
    """Return an order with a member from a file; what cannot be read is left to be told of."""
    try:
        raw = read_json(order)
    except MalformedJson:
        return order
    try:
        value = read_json(stated)
    except MalformedJson:
        return stated
    return write_json({**raw, member: value}).encode() if isinstance(raw, dict) else order
