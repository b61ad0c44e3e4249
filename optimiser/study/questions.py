"""Questions that are asked again and again, each as points of a study and an answer.

The points are orders like any other: `run_study` takes them beside the user's own.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.opening import Opening
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.study import StudyRow
from optimiser.domain.study_questions import Answer, PriceBreak, Question
from optimiser.study.points import Point
from optimiser.study.solve_points import Planned, PointSolver
from optimiser.units.lengths import NM_PER_INCH, format_length

USUAL_SPACINGS_NM = tuple(halves * NM_PER_INCH // 2 for halves in (3, 4, 6, 12))
"""1 1/2, 2, 3 and 6 in; common practice, no source."""

NOW, NEXT, TOGETHER = "this order alone", "the next order alone", "both together"


def ask_spacing(order: Order, spacings_nm: Iterable[int] = USUAL_SPACINGS_NM) -> tuple[Point, ...]:
    """Return the order with each spacing of the installer's, in every opening."""
    return tuple(
        Point(
            name=f"every {format_length(spacing_nm, order.unit)}",
            order=replace(
                order,
                openings=tuple(
                    replace(opening, fastener_spacing_nm=spacing_nm) for opening in order.openings
                ),
                policy=replace(order.policy, fastener_spacing_nm=spacing_nm),
            ),
        )
        for spacing_nm in spacings_nm
    )


def ask_fasteners(order: Order) -> tuple[Point, ...]:
    """Return the order with fasteners in every kit, in some as it comes cheapest, and in none.

    A supplier's kits of the other kind are left out of the catalogue; openings may still be cut.
    """
    return (
        Point(name="fasteners with every kit", order=_keep_kits(order, with_fasteners=True)),
        Point(name="fasteners with some kits", order=order),
        Point(name="fasteners with no kit", order=_keep_kits(order, with_fasteners=False)),
    )


def ask_now_or_next(order: Order, openings: Sequence[Opening]) -> tuple[Point, ...]:
    """Return the order, the next one with these openings, and both as one.

    The next one is bought by the same catalogues and policy, and finds the same rack. A mark that
    both have is told apart by "next" behind it.
    """
    taken = {opening.mark for opening in order.openings}
    later = tuple(
        replace(opening, mark=f"{opening.mark} next") if opening.mark in taken else opening
        for opening in openings
    )
    return (
        Point(name=NOW, order=order),
        Point(name=NEXT, order=replace(order, openings=later)),
        Point(name=TOGETHER, order=replace(order, openings=(*order.openings, *later))),
    )


def ask_catalogues(
    order: Order, offers: Iterable[tuple[str, tuple[Catalogue, ...]]]
) -> tuple[Point, ...]:
    """Return the order bought from each of the named offers; an offer is one or more catalogues."""
    return tuple(
        Point(name=name, order=replace(order, catalogues=catalogues)) for name, catalogues in offers
    )


def ask_quantity(order: Order, mark: str, up_to: int) -> tuple[Point, ...]:
    """Return the order with more and more openings of a mark, one by one."""
    (now,) = (opening.quantity for opening in order.openings if opening.mark == mark)
    return tuple(
        Point(
            name=f"{quantity} of {mark}",
            values=(("quantity", str(quantity)),),
            place=(quantity - now - 1,),
            order=replace(
                order,
                openings=tuple(
                    replace(opening, quantity=quantity) if opening.mark == mark else opening
                    for opening in order.openings
                ),
            ),
        )
        for quantity in range(now + 1, up_to + 1)
    )


def ask_finish(order: Order, finishes: Iterable[str]) -> tuple[Point, ...]:
    """Return the order with all that it needs in each finish."""
    return tuple(
        Point(
            name=finish,
            order=replace(
                order,
                openings=tuple(
                    replace(
                        opening,
                        finish=finish,
                        finishes=tuple((product, finish) for product, _ in opening.finishes),
                    )
                    for opening in order.openings
                ),
            ),
        )
        for finish in finishes
    )


def answer(
    question: Question,
    rows: Sequence[StudyRow],
    points: Sequence[Point] = (),
    *,
    base: Planned | None = None,
    solver: PointSolver | None = None,
) -> Answer:
    """Return what the rows of a question's points come to.

    `points`, `base` and `solver` are for the question of quantity: what an article costs stands in
    the plans alone.
    """
    known = [(row.cost, n) for n, row in enumerate(rows) if row.cost is not None]
    found = Answer(question=question, points=tuple(row.scenario for row in rows))
    if question is Question.NOW_OR_NEXT:
        costs = [row.cost for row in rows]
        if None in costs or len(costs) != 3:
            return found
        now, later, together = (cost or Decimal(0) for cost in costs)
        return replace(found, saving=now + later - together)
    if question is Question.QUANTITY:
        if base is None or solver is None:
            return found
        return replace(found, next_break=find_next_break(base, points, rows, solver))
    currencies = {row.currency for row in rows if row.cost is not None}
    if not known or len(currencies) > 1:
        return found
    return replace(found, cheapest=rows[min(known)[1]].scenario)


def find_next_break(
    base: Planned, points: Sequence[Point], rows: Sequence[StudyRow], solver: PointSolver
) -> PriceBreak | None:
    """Return the first point at which an article costs less each than in the base's plan."""
    before = _prices(base.plan)
    for point, row in zip(points, rows, strict=True):
        if row.cost is None or point.order is None:
            continue
        now = _prices(solver.plan(point.order, point.rule_sets).plan)
        for (supplier, sku, lengths), price in sorted(now.items()):
            base_price = before.get((supplier, sku, lengths))
            if base_price is not None and price < base_price:
                return PriceBreak(
                    point=point.name, supplier=supplier, sku=sku, base_price=base_price, price=price
                )
    return None


def _prices(plan: Plan) -> dict[tuple[str, str, tuple[tuple[int, int], ...]], Decimal]:
    """Return the least price of each article in a plan; a kit's by its pieces, too."""
    prices: dict[tuple[str, str, tuple[tuple[int, int], ...]], Decimal] = {}
    for line in plan.purchases:
        key = (line.supplier, line.sku, line.lengths)
        prices[key] = min(line.unit_price, prices.get(key, line.unit_price))
    return prices


def _keep_kits(order: Order, *, with_fasteners: bool) -> Order:
    return replace(
        order,
        catalogues=tuple(
            replace(
                catalogue,
                kits=tuple(
                    kit for kit in catalogue.kits if (kit.fasteners is not None) == with_fasteners
                ),
                standard_kits=tuple(
                    kit
                    for kit in catalogue.standard_kits
                    if (kit.fasteners is not None) == with_fasteners
                ),
            )
            for catalogue in order.catalogues
        ),
    )
