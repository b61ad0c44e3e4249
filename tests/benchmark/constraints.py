"""Breaks each constraint of the purchase program in turn and says what noticed it."""

import argparse

from tests.oracle.mutations import main

HELP = "break one constraint of the program at a time and see it noticed"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add nothing: the campaign is always the same."""


def run(options: argparse.Namespace) -> int:
    """Run every mutation; return how many were not noticed."""
    return main()
