"""Install sheets: of a takeoff as it is, or as a job that makes the plan first."""

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from typing import Any

from optimiser.documents import count_positions
from optimiser.domain.faults import Fault
from optimiser.domain.fit import Calculation, Fit
from optimiser.domain.opening import OpeningKind
from optimiser.domain.order import Order
from optimiser.domain.takeoff import OpeningTakeoff, Takeoff
from optimiser.fit import FitInputs, FitRejected, work_out_fit
from optimiser.rule_sets import RuleSet
from service.jobs.documents import write_install_document
from service.jobs.outcomes import PlanDocument, PlanJob, SiteFigures
from service.mapping.faults import FaultGatherer
from service.mapping.fit_in import FitReader
from service.mapping.reading import OrderRequest, invalid_order
from service.site_documents import Sizes, read_sheet_order, take_off_for_sheets, too_many
from service.wire import limits
from service.wire.order import Order as WireOrder
from service.wire.site import InstallOrder, PlannedInstallOrder

Fits = list[tuple[FitInputs, int | None, list[str]]]
"""The inputs of each fit, the length of strip where it is stated, and the marks."""


def write_install_sheets_document(
    body: bytes, as_text: bool, *, of_files: Iterable[RuleSet] = ()
) -> bytes:
    """Return the install sheets of an order in UTF-8, as text or as JSON; nothing is planned.

    `of_files` are rule sets beside those that the order brings.

    Raises:
        Problem: the order cannot be read, taken off or fitted; all faults are listed.
    """
    fits: Fits = []
    request = read_sheet_order(body, InstallOrder, partial(_read_fits, fits=fits), of_files)
    takeoff, figures = _work_out_figures(request, body, fits, buys=False)
    return write_install_document(
        request.order, takeoff, figures, rule_sets=request.rule_sets, as_text=as_text
    )


def prepare_planned_install_sheets(
    body: bytes,
    as_text: bool,
    *,
    of_files: Iterable[RuleSet] = (),
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
    model: type[WireOrder] = PlannedInstallOrder,
) -> PlanJob:
    """Return the job of planning an order and writing the install sheets of its plan.

    `model` is an order with `fits`.

    Raises:
        Problem: the order cannot be read, taken off or fitted; all faults are listed.
    """
    fits: Fits = []
    request = read_sheet_order(
        body,
        model,
        partial(_read_fits, fits=fits),
        of_files,
        longest_time_limit_seconds=longest_time_limit_seconds,
    )
    _, figures = _work_out_figures(request, body, fits, buys=True)
    return PlanJob(
        order=request.order,
        rule_sets=request.rule_sets,
        as_text=as_text,
        document=PlanDocument.INSTALL_SHEETS,
        on_site=figures,
    )


def _work_out_figures(
    request: OrderRequest, body: bytes, fits: Fits, *, buys: bool
) -> tuple[Takeoff, SiteFigures]:
    takeoff, sizes = take_off_with_positions(request, body, buys=buys)
    return takeoff, SiteFigures(
        sizes={mark: sizes_on_site(of_mark) for mark, of_mark in sizes.items()},
        fits=_fit_leaves(fits, request.order, takeoff, sizes),
    )


def take_off_with_positions(
    request: OrderRequest, body: bytes, *, buys: bool
) -> tuple[Takeoff, Sizes]:
    """Return what `take_off_for_sheets` does, unless there are too many positions to list.

    Raises:
        Problem: as there, and too many positions.
    """
    takeoff, sizes = take_off_for_sheets(request, body, buys=buys)
    if (positions := count_positions(takeoff)) > limits.POSITIONS:
        raise too_many("too-many-fasteners", "positions of fasteners", positions, limits.POSITIONS)
    return takeoff, sizes


def sizes_on_site(sizes: dict[str, Calculation]) -> tuple[Calculation, ...]:
    """Return the sizes that an install sheet shows, each once.

    The diagonal is measured; one width for all leaves is that of the active one where they differ.
    """
    shown = (size for name, size in sizes.items() if not name.endswith("-diagonal"))
    return tuple(dict.fromkeys(shown))


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
