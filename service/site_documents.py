"""What the service writes of measuring on site: measurement sheets, reading checks."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from optimiser.domain.faults import Fault
from optimiser.domain.field import MeasurementSheet, ReadingLimits
from optimiser.domain.fit import Calculation
from optimiser.domain.takeoff import Takeoff
from optimiser.field import check_readings, list_measurements
from optimiser.render import (
    render_measurement_sheet,
    render_reading_check,
)
from optimiser.rule_sets import RuleSet
from optimiser.takeoff import work_out_sizes
from optimiser.units.lengths import format_length
from service.mapping import measuring
from service.mapping.faults import FaultGatherer
from service.mapping.reading import OrderRequest, invalid_order, read_request
from service.use_cases import take_off_settled
from service.wire import limits
from service.wire.measuring import MeasuringOrder, ReadingOrder
from service.wire.order import Order as WireOrder
from service.wire.order import TakeoffOrder

Sizes = dict[str, dict[str, Calculation]]
"""The net sizes of each mark, by their names."""


def write_measurement_sheets_document(
    body: bytes, as_text: bool, *, of_files: Iterable[RuleSet] = ()
) -> bytes:
    """Return the measurement sheets of an order in UTF-8, as text or as JSON.

    Raises:
        Problem: the order cannot be read or taken off; all faults are listed.
    """
    found: list[ReadingLimits] = []

    def read_limits(stated: MeasuringOrder, gatherer: FaultGatherer) -> None:
        found.append(measuring.to_limits(stated, gatherer))

    request = read_sheet_order(body, MeasuringOrder, read_limits, of_files)
    order, sheets = request.order, _list_sheets(request, body)
    if as_text:
        texts = (render_measurement_sheet(sheet, order.unit, found[0]) for sheet in sheets)
        return "\n\n".join(texts).encode()
    return measuring.write_measurement_sheets(order, sheets).model_dump_json().encode()


def write_reading_checks_document(
    body: bytes, as_text: bool, *, of_files: Iterable[RuleSet] = ()
) -> bytes:
    """Return what two readings of openings say in UTF-8, as text or as JSON.

    Raises:
        Problem: the order or the readings cannot be read; all faults are listed.
    """
    found: list[tuple[ReadingLimits, measuring.Taken]] = []

    def read_further(stated: ReadingOrder, gatherer: FaultGatherer) -> None:
        found.append(
            (measuring.to_limits(stated, gatherer), measuring.to_readings(stated, gatherer))
        )

    request = read_sheet_order(body, ReadingOrder, read_further, of_files)
    order, sheets = request.order, _list_sheets(request, body)
    ((agreed, taken),) = found
    numbers: dict[str, list[int]] = defaultdict(list)
    for mark, number in sorted(taken):
        numbers[mark].append(number)
    checks = [
        check_readings(sheet, *taken[sheet.opening.mark, number], agreed, number=number)
        for sheet in sheets
        for number in numbers[sheet.opening.mark]
    ]
    not_read = {
        sheet.opening.mark: left
        for sheet in sheets
        if (left := sheet.opening.quantity - len(numbers[sheet.opening.mark]))
    }
    if not as_text:
        return measuring.write_checks(order, checks, taken, not_read).model_dump_json().encode()
    text = "\n".join(render_reading_check(check, order.unit) for check in checks)
    lines = [f"{mark}: {left:,} not read yet.\n" for mark, left in not_read.items()]
    return (text + ("\n" + "".join(lines) if lines else "")).encode()


def read_sheet_order(
    body: bytes,
    model: type[WireOrder] | type[TakeoffOrder],
    further: Callable[[Any, FaultGatherer], None],
    of_files: Iterable[RuleSet],
    *,
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
) -> OrderRequest:
    """Return the order with the rule sets that it brings and those of files.

    `further` reads what the model has beyond an order.

    Raises:
        Problem: the order cannot be read; all faults are listed.
    """
    request = read_request(
        body, model, further=further, longest_time_limit_seconds=longest_time_limit_seconds
    )
    return replace(request, rule_sets=(*request.rule_sets, *of_files))


def take_off_for_sheets(
    request: OrderRequest, body: bytes, *, buys: bool = False
) -> tuple[Takeoff, Sizes]:
    """Return the takeoff and the net sizes of each mark.

    `buys` asks for the faults of catalogues, rack and policy, too.

    Raises:
        Problem: too many marks, the order cannot be taken off, or its clearances leave nothing.
    """
    order = request.order
    marks = len(order.openings)
    if marks > limits.SHEETS:
        raise too_many(
            "too-many-sheets", "marks, each with a sheet of its own", marks, limits.SHEETS
        )
    takeoff = take_off_settled(request, body, buys=buys)
    sizes: Sizes = {}
    faults = []
    for position, opening in enumerate(order.openings):
        sizes[opening.mark] = work_out_sizes(opening, order.policy.clearances)
        faults += [
            Fault(
                ("openings", position, "size"),
                "nothing-left",
                f"Opening {opening.mark}: by the clearances the {size.what} is "
                f"{format_length(size.length_nm, order.unit)}; correct them, or the size.",
            )
            for size in sizes[opening.mark].values()
            if size.length_nm <= 0
        ]
    if faults:
        raise invalid_order(faults)
    return takeoff, sizes


def too_many(code: str, what: str, number: int, limit: int) -> Exception:
    """Return the problem of an order with more of something than its sheets may have."""
    message = f"There are {number:,} {what}, above the limit of {limit:,}; split the order."
    return invalid_order([Fault(("openings",), code, message)])


def _list_sheets(request: OrderRequest, body: bytes) -> list[MeasurementSheet]:
    takeoff, sizes = take_off_for_sheets(request, body)
    return [
        list_measurements(taken.opening, sizes[taken.opening.mark]) for taken in takeoff.openings
    ]
