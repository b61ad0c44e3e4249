"""Campaigns that take longer than a test may: `python -m tests.benchmark --help`."""

import argparse
import sys

from tests.benchmark import (
    agreement,
    constraints,
    contract,
    duplicates,
    faults,
    instances,
    load,
    orders,
    schedules,
    storefaults,
    study,
    terms,
)

CAMPAIGNS = {
    "agreement": agreement,
    "constraints": constraints,
    "contract": contract,
    "duplicates": duplicates,
    "faults": faults,
    "instances": instances,
    "load": load,
    "orders": orders,
    "schedules": schedules,
    "storefaults": storefaults,
    "study": study,
    "terms": terms,
}
"""Each module has `HELP`, `add_options(parser)` and `run(options)`, which returns an exit code."""


def main() -> int:
    """Run the campaign that the command line names."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmark", description=__doc__)
    commands = parser.add_subparsers(required=True, metavar="CAMPAIGN")
    for name, campaign in CAMPAIGNS.items():
        command = commands.add_parser(name, help=campaign.HELP)
        campaign.add_options(command)
        command.set_defaults(run=campaign.run)
    options = parser.parse_args()
    code: int = options.run(options)
    return code


if __name__ == "__main__":
    sys.exit(main())
