"""Questions of the wire as points of a study."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from optimiser.domain.order import Order
from optimiser.domain.study_questions import Question
from optimiser.study import Point
from optimiser.study.questions import (
    ask_catalogues,
    ask_fasteners,
    ask_finish,
    ask_now_or_next,
    ask_quantity,
    ask_spacing,
)
from optimiser.units.lengths import parse_length
from service.mapping.catalogue_in import to_catalogue
from service.mapping.faults import FaultGatherer, Path
from service.mapping.order_in import check_currency, to_opening
from service.mapping.reading import OrderRequest
from service.studies.request import Asked
from service.wire import study_questions as wire
from service.wire.catalogue import Catalogue

MOST_QUANTITIES = 200


def to_questions(
    questions: list[wire.StudyQuestion], base: OrderRequest, gatherer: FaultGatherer
) -> tuple[Asked, ...]:
    """Return the questions with their points; what cannot be asked is kept by the gatherer."""
    found = []
    for n, asked in enumerate(questions):
        points = _POINTS[type(asked)](asked, base.order, ("questions", n), gatherer)
        own = tuple(replace(point, rule_sets=base.rule_sets) for point in points)
        found.append(Asked(question=Question(asked.question), points=own))
    return tuple(found)


def _spacing(
    asked: wire.InstallersSpacing, order: Order, path: Path, gatherer: FaultGatherer
) -> tuple[Point, ...]:
    spacings = [
        gatherer.read((*path, "spacings", n), 1, parse_length, spacing, order.unit)
        for n, spacing in enumerate(asked.spacings)
    ]
    return ask_spacing(order, spacings)


def _fasteners(
    _asked: wire.FastenersWithKits, order: Order, _path: Path, _gatherer: FaultGatherer
) -> tuple[Point, ...]:
    return ask_fasteners(order)


def _now_or_next(
    asked: wire.NowOrNext, order: Order, path: Path, gatherer: FaultGatherer
) -> tuple[Point, ...]:
    openings = [
        to_opening(opening, order.unit, (*path, "openings", n), gatherer)
        for n, opening in enumerate(asked.openings)
    ]
    return ask_now_or_next(order, openings)


def _catalogues(
    asked: wire.OtherCatalogue, order: Order, path: Path, gatherer: FaultGatherer
) -> tuple[Point, ...]:
    offers = []
    for n, offer in enumerate(asked.offers):
        place = (*path, "offers", n, "catalogues")
        catalogues = tuple(
            to_catalogue(catalogue, order.unit, (*place, m), gatherer)
            for m, catalogue in enumerate(offer.catalogues)
            if isinstance(catalogue, Catalogue)
        )
        for m, catalogue in enumerate(offer.catalogues):
            if not isinstance(catalogue, Catalogue):
                gatherer.add(
                    (*place, m, "stored"),
                    "unknown-stored",
                    "what is kept is known to the service alone; send the catalogue by value.",
                )
        check_currency(catalogues[0].currency if catalogues else None, catalogues, gatherer)
        offers.append((offer.name, catalogues))
    return ask_catalogues(order, offers)


def _quantity(
    asked: wire.Quantity, order: Order, path: Path, gatherer: FaultGatherer
) -> tuple[Point, ...]:
    now = next((o.quantity for o in order.openings if o.mark == asked.mark), None)
    if now is None:
        gatherer.add(
            (*path, "mark"), "unknown-mark", f"no opening has the mark {asked.mark!r}; name one."
        )
        return ()
    if not now < asked.up_to <= now + MOST_QUANTITIES:
        gatherer.add(
            (*path, "up_to"),
            "out-of-range",
            f"{asked.up_to:,}: there are {now:,} of {asked.mark}; look up to {now + 1:,} to "
            f"{now + MOST_QUANTITIES:,}.",
        )
        return ()
    return ask_quantity(order, asked.mark, asked.up_to)


def _finish(
    asked: wire.Finish, order: Order, _path: Path, _gatherer: FaultGatherer
) -> tuple[Point, ...]:
    return ask_finish(order, asked.finishes)


_POINTS: dict[type, Callable[[Any, Order, Path, FaultGatherer], tuple[Point, ...]]] = {
    wire.InstallersSpacing: _spacing,
    wire.FastenersWithKits: _fasteners,
    wire.NowOrNext: _now_or_next,
    wire.OtherCatalogue: _catalogues,
    wire.Quantity: _quantity,
    wire.Finish: _finish,
}
