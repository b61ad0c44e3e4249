"""What the service writes for the site: install sheets, measurement sheets, reading checks."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import Any

from optimiser.documents import count_positions, write_install_sheets
from optimiser.domain.faults import Fault
from optimiser.domain.field import MeasurementSheet, ReadingLimits
from optimiser.domain.fit import Calculation, Fit
from optimiser.domain.opening import OpeningKind
from optimiser.domain.order import Order
from optimiser.domain.takeoff import OpeningTakeoff, Takeoff
from optimiser.explain import applicable_cautions, sentence
from optimiser.field import check_readings, list_measurements
from optimiser.fit import FitInputs, FitRejected, work_out_fit
from optimiser.render import (
    render_install_sheet,
    render_measurement_sheet,
    render_reading_check,
)
from optimiser.rule_sets import RuleSet
from optimiser.takeoff import work_out_sizes
from optimiser.units.lengths import format_length
from service.mapping import measuring
from service.mapping import site_out as shown
from service.mapping.faults import FaultGatherer
from service.mapping.fit_in import FitReader
from service.mapping.reading import OrderRequest, invalid_order, read_request
from service.use_cases import take_off_settled
from service.wire import limits
from service.wire.measuring import MeasuringOrder, ReadingOrder
from service.wire.order import TakeoffOrder
from service.wire.site import InstallOrder

Fits = list[tuple[FitInputs, int | None, list[str]]]
"""The inputs of each fit, the length of strip where it is stated, and the marks."""

Sizes = dict[str, dict[str, Calculation]]
"""The net sizes of each mark, by their names."""


def write_install_sheets_document(
    body: bytes, as_text: bool, *, of_files: Iterable[RuleSet] = ()
) -> bytes:
    """Return the install sheets of an order in UTF-8, as text or as JSON.

    `of_files` are rule sets beside those that the order brings.

    Raises:
        Problem: the order cannot be read, taken off or fitted; all faults are listed.
    """
    fits: Fits = []
    request = _read(body, InstallOrder, partial(_read_fits, fits=fits), of_files)
    order, (takeoff, sizes) = request.order, _take_off_for_sheets(request, body)
    if (positions := count_positions(takeoff)) > limits.POSITIONS:
        raise _too_many("too-many-fasteners", "positions of fasteners", positions, limits.POSITIONS)
    sheets = write_install_sheets(
        takeoff,
        applicable_cautions(takeoff),
        fits=_fit_leaves(fits, order, takeoff, sizes),
        sizes={mark: _sizes_on_site(of_mark) for mark, of_mark in sizes.items()},
        rule_sets=request.rule_sets,
    )
    if as_text:
        say = partial(sentence, unit=order.unit, currency=order.catalogue.currency)
        texts = (render_install_sheet(sheet, order.unit, say) for sheet in sheets)
        return "\n\n".join(texts).encode()
    return shown.write_install_sheets(order, sheets).model_dump_json().encode()


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

    request = _read(body, MeasuringOrder, read_limits, of_files)
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

    request = _read(body, ReadingOrder, read_further, of_files)
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


def _read(
    body: bytes,
    model: type[TakeoffOrder],
    further: Callable[[Any, FaultGatherer], None],
    of_files: Iterable[RuleSet],
) -> OrderRequest:
    """Return the order with the rule sets that it brings and those of files."""
    request = read_request(body, model, further=further)
    return replace(request, rule_sets=(*request.rule_sets, *of_files))


def _take_off_for_sheets(request: OrderRequest, body: bytes) -> tuple[Takeoff, Sizes]:
    """Return the takeoff and the net sizes of each mark.

    Raises:
        Problem: too many marks, the order cannot be taken off, or its clearances leave nothing.
    """
    order = request.order
    marks = len(order.openings)
    if marks > limits.SHEETS:
        raise _too_many(
            "too-many-sheets", "marks, each with a sheet of its own", marks, limits.SHEETS
        )
    takeoff = take_off_settled(request, body)
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


def _too_many(code: str, what: str, number: int, limit: int) -> Exception:
    message = f"There are {number:,} {what}, above the limit of {limit:,}; split the order."
    return invalid_order([Fault(("openings",), code, message)])


def _list_sheets(request: OrderRequest, body: bytes) -> list[MeasurementSheet]:
    takeoff, sizes = _take_off_for_sheets(request, body)
    return [
        list_measurements(taken.opening, sizes[taken.opening.mark]) for taken in takeoff.openings
    ]


def _sizes_on_site(sizes: dict[str, Calculation]) -> list[Calculation]:
    """Return the sizes that an install sheet shows: all but the diagonal, which is measured."""
    return [size for name, size in sizes.items() if not name.endswith("-diagonal")]


def _read_fits(stated: Any, gatherer: FaultGatherer, *, fits: Fits) -> None:
    """Read the fits of an order, each mark in one of them; a fixed window has no leaf."""
    kinds = {opening.mark: opening.kind for opening in stated.openings}
    fitted: set[str] = set()
    for position, fit in enumerate(stated.fits):
        path = ("fits", position)
        reader = FitReader(stated.unit, path, gatherer)
        fits.append((reader.read(fit), reader.read_strip_length(fit.heat), list(fit.marks)))
        for place, mark in enumerate(fit.marks):
            at = (*path, "marks", place)
            if mark not in kinds:
                gatherer.add(at, "unknown-mark", f"there is no opening {mark!r}; correct the mark.")
            elif kinds[mark] is OpeningKind.FIXED_WINDOW:
                gatherer.add(
                    at, "no-leaf", f"{mark} is a fixed window, which has no leaf; leave it out."
                )
            elif mark in fitted:
                gatherer.add(at, "repeated-mark", f"{mark} has a fit already; name it once.")
            fitted.add(mark)


def _fit_leaves(fits: Fits, order: Order, takeoff: Takeoff, sizes: Sizes) -> dict[str, Fit]:
    """Return the fit of each mark that has one.

    Raises:
        Problem: a fit cannot be; every fault of every fit is listed once.
    """
    taken = {opening.opening.mark: opening for opening in takeoff.openings}
    fitted: dict[str, Fit] = {}
    faults: dict[Fault, None] = {}
    for position, (inputs, stated_nm, marks) in enumerate(fits):
        for mark in marks:
            strip_nm = stated_nm or _longest_piece(taken[mark])
            on_site = _with_height(inputs, sizes[mark])
            try:
                fitted[mark] = work_out_fit(on_site, strip_nm=strip_nm, unit=order.unit)
            except FitRejected as rejected:
                faults.update(dict.fromkeys(_within(("fits", position), rejected.faults)))
    if faults:
        raise invalid_order(list(faults))
    return fitted


def _with_height(inputs: FitInputs, sizes: dict[str, Calculation]) -> FitInputs:
    """Return the inputs with the leaf's net height where they state none."""
    height = sizes.get("leaf-height")
    if inputs.moisture is None or inputs.moisture.height_nm is not None or height is None:
        return inputs
    return replace(inputs, moisture=replace(inputs.moisture, height_nm=height.length_nm))


def _within(path: tuple[str | int, ...], faults: Iterable[Fault]) -> list[Fault]:
    return [Fault((*path, *fault.path), fault.code, fault.message) for fault in faults]


def _longest_piece(taken: OpeningTakeoff) -> int | None:
    """Return the longest piece of the opening's main work; `None` where it has none."""
    main = taken.opening.rule_set
    return max((p.length_nm for p in taken.pieces if p.rule_set == main), default=None)
