"""The commands `quote` and `quote-difference`: for the customer, or what stays inside."""

import argparse
from collections.abc import Callable
from typing import Any

from service.jobs.outcomes import PlanDocument, Quoted
from service.jobs.work import carry_out, standard_output_kept_clean
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.quote_terms_in import TERMS
from service.quote_differences import (
    CHANGE,
    ChangedOrder,
    placed,
    prepare_changed_order,
    write_difference,
)
from service.quotes import prepare_quote
from service.rule_set_option import add_rule_set_option, read_rule_set_files
from service.sheet_commands import add_file_options
from service.use_cases import settle_outcome

ReadFile = Callable[[str], bytes]


def add_quote_commands(commands: Any, run: Callable[[argparse.Namespace], int]) -> None:
    """Add the commands to a parser's commands; `run` is that of the catalogues' commands."""
    _add_quote(commands).set_defaults(command=run, make=_make, exactly=False)
    difference = _add_difference(commands)
    difference.set_defaults(command=run, make=_make_difference, exactly=False)


def _add_quote(commands: Any) -> argparse.ArgumentParser:
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
    return parser


def _add_difference(commands: Any) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(
        "quote-difference",
        help="write what a change of an order does to its quote",
        description="Quote an order as it was and as it is changed, on the same terms. The change, "
        "a JSON Merge Patch (RFC 7396), is the member `change` of the order, or a file of its own.",
    )
    add_file_options(parser, "ORDER.json", "the order as it was quoted, with its terms")
    parser.add_argument("--change", metavar="CHANGE.json", help="what changes, as a file")
    parser.add_argument(
        "--inside",
        action="store_true",
        help="as text, write what stays inside: cost, price, earned",
    )
    add_rule_set_option(parser)
    return parser


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


def _make_difference(options: argparse.Namespace, read_file: ReadFile) -> bytes:
    """Return the difference that the command writes.

    Raises:
        Problem: the order, its terms or the change cannot be read or served; all faults are listed.
    """
    body = read_file(options.order)
    if options.change is not None:
        body = put_in(body, CHANGE, read_file(options.change))
    changed = prepare_changed_order(body, of_files=read_rule_set_files(options.rule_sets))
    return quote_changed_order(changed, as_text=not options.json, inside=options.inside)


def quote_changed_order(changed: ChangedOrder, *, as_text: bool, inside: bool = False) -> bytes:
    """Return what a change does to a quote, planned here and now.

    Raises:
        Problem: an order cannot be served, in time; all faults are listed.
    """
    quotes = []
    for body, job, members in (
        (changed.body_before, changed.before, frozenset[str]()),
        (changed.body_after, changed.after, changed.changed),
    ):
        with standard_output_kept_clean():
            outcome = carry_out(job)
        with placed(members):
            planned = settle_outcome(outcome, body)
        assert isinstance(planned, Quoted)
        quotes.append(planned.quote)
    before, after = quotes
    return write_difference(before, after, as_text=as_text, inside=inside)


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
