"""The command `weatherstrip`: plan or take off an order from a file, or serve the API.

Exit codes: 0 done; 1 a defect of the program, or drift of the exported contract; 2 wrong use;
3 the order, schedule or other input is malformed or invalid; 4 nothing offered can serve the
order; 5 no plan in time; 6 a file, or the address, cannot be used.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path

from service.access.keys import KeyFault
from service.catalogue_commands import add_catalogue_commands
from service.export import export_contract, find_drift
from service.install_documents import prepare_planned_install_sheets
from service.jobs.outcomes import PlanDocument, PlanJob
from service.jobs.work import carry_out, standard_output_kept_clean
from service.key_commands import add_key_commands
from service.log import set_up_logging
from service.mapping.reading import OrderRequest, read_request
from service.output import write_file
from service.problem_kinds import ProblemKind
from service.problems import (
    INVALID_CATALOGUE_TABLE,
    INVALID_INPUTS,
    INVALID_ORDER,
    INVALID_SCHEDULE,
    MALFORMED_JSON,
    NO_PLAN,
    NO_PLAN_IN_TIME,
    Problem,
    write_pointer,
)
from service.publication_command import (
    NoForm,
    add_publication_command,
    write_publication,
)
from service.purchase_order_command import add_purchase_order_command
from service.quote_command import add_quote_commands
from service.rule_set_option import add_rule_set_option, read_rule_set_files
from service.schedule_command import add_schedule_command, read_schedule_command
from service.server import ServerError, serve
from service.settings import PREFIX, LogFormat, SettingsError, read_settings
from service.sheet_commands import Writer, add_document_commands, add_file_options
from service.store.store import StoreError
from service.store_commands import add_store_commands
from service.study_command import add_study_command
from service.use_cases import settle_outcome, write_takeoff_document
from service.wire.order import Order, TakeoffOrder
from service.work_command import add_work_command

EXIT_DONE, EXIT_DEFECT, EXIT_USAGE, EXIT_ORDER, EXIT_NO_PLAN, EXIT_TIME, EXIT_FILE = range(7)
EXIT_INTERRUPTED = 130

_EXIT_OF: dict[ProblemKind, int] = {
    MALFORMED_JSON: EXIT_ORDER,
    INVALID_ORDER: EXIT_ORDER,
    INVALID_SCHEDULE: EXIT_ORDER,
    INVALID_INPUTS: EXIT_ORDER,
    INVALID_CATALOGUE_TABLE: EXIT_ORDER,
    NO_PLAN: EXIT_NO_PLAN,
    NO_PLAN_IN_TIME: EXIT_TIME,
}
_EXIT_CODES = __doc__.partition("\n\n")[2]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code."""
    options = _parser().parse_args(arguments)
    set_up_logging(LogFormat.TEXT)
    command: Callable[[argparse.Namespace], int] = options.command
    try:
        return command(options)
    except Problem as problem:
        if problem.text is not None:
            print(problem.text, end="", file=sys.stderr)
            return _EXIT_OF.get(problem.kind, EXIT_DEFECT)
        for fault in problem.faults:
            place = write_pointer(fault.path) or "the whole document"
            print(f"{place}: {fault.message}", file=sys.stderr)
        if not problem.faults:
            print(problem.detail, file=sys.stderr)
        return _EXIT_OF.get(problem.kind, EXIT_DEFECT)
    except SettingsError as error:
        print(*error.faults, sep="\n", file=sys.stderr)
        return EXIT_USAGE
    except KeyFault as error:
        print(error, file=sys.stderr)
        return EXIT_USAGE
    except (OSError, ServerError, StoreError) as error:
        print(error, file=sys.stderr)
        return EXIT_FILE
    except KeyboardInterrupt:
        return EXIT_INTERRUPTED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="weatherstrip",
        description="Takeoff, purchase plan and cutting plan for metal weatherstrip.",
        epilog=_EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    plan = commands.add_parser("plan", help="make a purchase plan of an order")
    plan.set_defaults(command=_plan)
    _add_order_options(plan)

    bench = commands.add_parser("bench-sheets", help="write cut lists, labels, cutting diagrams")
    bench.set_defaults(command=_write_bench_sheets)
    _add_order_options(bench)

    install = commands.add_parser(
        "planned-install-sheets", help="write the install sheets of an order's plan"
    )
    install.set_defaults(command=_write_planned_install_sheets)
    _add_order_options(install)

    add_purchase_order_command(commands, _make_document)
    add_quote_commands(commands, _make_document)
    add_study_command(commands, _make_document)

    takeoff = commands.add_parser("takeoff", help="take off the pieces and fasteners of an order")
    takeoff.set_defaults(command=_take_off)
    _add_order_options(takeoff)

    add_publication_command(commands, _write_publication)

    add_document_commands(commands, _write_document)

    add_schedule_command(commands).set_defaults(command=_read_schedule)

    add_catalogue_commands(commands, _make_document)

    server = commands.add_parser(
        "serve",
        help="serve the API",
        description=f"Serve the API. Settings are read from the environment: {PREFIX}HOST, "
        f"{PREFIX}PORT, {PREFIX}SOLVERS and others; options come before them.",
    )
    server.set_defaults(command=_serve)
    server.add_argument("--host", help="the address to listen at; default 127.0.0.1")
    server.add_argument("--port", type=int, help="the port; default 8000, 0 takes a free one")
    add_work_command(commands)
    add_key_commands(commands)
    add_store_commands(commands)

    contract = commands.add_parser("openapi", help="export the contract to openapi/")
    contract.set_defaults(command=_export)
    contract.add_argument("--check", action="store_true", help="write nothing; fail on drift")
    contract.add_argument("--folder", type=Path, default=Path("openapi"), help=argparse.SUPPRESS)
    return parser


def _add_order_options(parser: argparse.ArgumentParser) -> None:
    add_file_options(parser, "ORDER.json", "the order")
    add_rule_set_option(parser)


def _plan(options: argparse.Namespace) -> int:
    return _write_planned(options, PlanDocument.PLAN)


def _write_bench_sheets(options: argparse.Namespace) -> int:
    return _write_planned(options, PlanDocument.BENCH_SHEETS)


def _write_planned_install_sheets(options: argparse.Namespace) -> int:
    body = _read_body(options.order)
    of_files = read_rule_set_files(options.rule_sets)
    job = prepare_planned_install_sheets(body, not options.json, of_files=of_files)
    return _carry_out(job, options, body)


def _write_planned(options: argparse.Namespace, wanted: PlanDocument) -> int:
    body = _read_body(options.order)
    request = _read_request(options, body, Order)
    job = PlanJob(
        order=request.order,
        rule_sets=request.rule_sets,
        as_text=not options.json,
        document=wanted,
    )
    return _carry_out(job, options, body)


def _write_publication(options: argparse.Namespace) -> int:
    try:
        document = write_publication(options, _read_body(options.order))
    except NoForm as error:
        print(error, file=sys.stderr)
        return EXIT_USAGE
    if options.to is None:
        _write(None, document)
    else:
        write_file(options.to, document)
    return EXIT_DONE


def _carry_out(job: PlanJob, options: argparse.Namespace, body: bytes) -> int:
    with standard_output_kept_clean():
        outcome = carry_out(job)
    _write(options.output, settle_outcome(outcome, body).document)
    return EXIT_DONE


def _take_off(options: argparse.Namespace) -> int:
    body = _read_body(options.order)
    request = _read_request(options, body, TakeoffOrder)
    _write(options.output, write_takeoff_document(request, body, as_text=not options.json))
    return EXIT_DONE


def _write_document(options: argparse.Namespace) -> int:
    write: Writer = options.write
    if options.rule_sets is not None:
        write = partial(write, of_files=read_rule_set_files(options.rule_sets))
    _write(options.output, write(_read_body(options.order), not options.json))
    return EXIT_DONE


def _read_request(
    options: argparse.Namespace, body: bytes, model: type[Order] | type[TakeoffOrder]
) -> OrderRequest:
    """Return the order with the rule sets that it brings and those of the files."""
    request = read_request(body, model)
    of_files = read_rule_set_files(options.rule_sets)
    return replace(request, rule_sets=(*request.rule_sets, *of_files))


def _read_schedule(options: argparse.Namespace) -> int:
    content = _read_body(options.order)
    try:
        document = read_schedule_command(options, content)
    except ValueError as error:
        print(error, file=sys.stderr)
        return EXIT_USAGE
    _write(options.output, document)
    return EXIT_DONE


def _make_document(options: argparse.Namespace) -> int:
    make: Callable[..., bytes] = options.make
    document = make(options, _read_body)
    if options.exactly:
        write_file(options.output, document)
    else:
        _write(options.output, document)
    return EXIT_DONE


def _serve(options: argparse.Namespace) -> int:
    environment = dict(os.environ)
    if options.host is not None:
        environment[f"{PREFIX}HOST"] = options.host
    if options.port is not None:
        environment[f"{PREFIX}PORT"] = str(options.port)
    # An interrupt is the usual way to stop a server at a terminal; it has shut down by then.
    with suppress(KeyboardInterrupt):
        serve(read_settings(environment), announce=lambda text: print(text, flush=True))
    return EXIT_DONE


def _export(options: argparse.Namespace) -> int:
    if not options.check:
        for path in export_contract(options.folder):
            print(f"written: {path}")
        return EXIT_DONE
    drifted = find_drift(options.folder)
    for path in drifted:
        print(f"{path} differs from the code; run: python -m service openapi", file=sys.stderr)
    return EXIT_DEFECT if drifted else EXIT_DONE


def _read_body(name: str) -> bytes:
    return sys.stdin.buffer.read() if name == "-" else Path(name).read_bytes()


def _write(path: Path | None, document: bytes) -> None:
    ended = document if document.endswith(b"\n") else document + b"\n"
    if path is not None:
        write_file(path, ended)
        return
    sys.stdout.flush()
    sys.stdout.buffer.write(ended)
    sys.stdout.buffer.flush()
