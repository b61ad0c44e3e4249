"""The option `--rule-sets` of the commands: rule sets from files of the user's."""

import argparse
from collections.abc import Iterable
from pathlib import Path

from optimiser.rule_sets import RuleSet
from service.mapping.rule_set_files import read_rule_set_file
from service.problems import Problem, count_faults


def add_rule_set_option(parser: argparse.ArgumentParser) -> None:
    """Add the option to a command; its value is the list of the files' paths."""
    parser.add_argument(
        "--rule-sets",
        action="append",
        default=[],
        type=Path,
        metavar="FILE",
        help="rule sets of your own, which openings may name: a TOML file with one, or a JSON "
        "file with one or a list; may be given several times",
    )


def read_rule_set_files(paths: Iterable[Path]) -> tuple[RuleSet, ...]:
    """Return the rule sets of files, in their order.

    Raises:
        OSError: a file cannot be read.
        Problem: rule sets have faults; those of all files are listed.
    """
    rule_sets: list[RuleSet] = []
    problems: list[Problem] = []
    for path in paths:
        try:
            rule_sets += read_rule_set_file(path.name, path.read_bytes())
        except Problem as problem:
            problems.append(problem)
    if problems:
        faults = tuple(fault for problem in problems for fault in problem.faults)
        raise Problem(problems[0].kind, count_faults(faults), faults=faults)
    return tuple(rule_sets)
