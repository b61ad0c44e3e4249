"""Labour of a plan: minutes by mark, and what they cost."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.plan import OpeningPlan, Plan
from optimiser.domain.quote import InsideLabour
from optimiser.domain.quote_terms import LabourTerms, Terms, Work
from optimiser.quote.shares import ByMark, need_lengths, share, weigh
from optimiser.units.money import round_to_minor


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourCost:
    """The labour of one work, and its cost by mark, which adds up to it."""

    labour: InsideLabour
    by_mark: ByMark


def cost_labour(plan: Plan, terms: Terms) -> tuple[LabourCost, ...]:
    """Return the labour of each work that the terms charge, in the order of `Work`."""
    stated = {labour.work: labour for labour in terms.labour}
    return tuple(_cost(plan, stated[work]) for work in Work if work in stated)


def _cost(plan: Plan, terms: LabourTerms) -> LabourCost:
    counts = [_count(item, terms.work) for item in plan.openings]
    minutes = [
        pieces * terms.minutes_per_piece + openings * terms.minutes_per_opening
        for pieces, openings in counts
    ]
    total = sum(minutes, Decimal(0))
    cost = round_to_minor(Fraction(total) * Fraction(terms.rate_per_hour) / 60, plan.currency)
    shares = share(Fraction(cost), weigh(map(Fraction, minutes)), need_lengths(plan))
    return LabourCost(
        labour=InsideLabour(
            work=terms.work,
            pieces=sum(pieces for pieces, _ in counts),
            openings=sum(openings for _, openings in counts),
            minutes=total,
            rate_per_hour=terms.rate_per_hour,
            cost=cost,
        ),
        by_mark=tuple(shares.get(mark, Fraction(0)) for mark in range(len(plan.openings))),
    )


def _count(item: OpeningPlan, work: Work) -> tuple[int, int]:
    """Return the pieces and the openings of a mark that a work is done on."""
    if work is Work.CUTTING:
        # Kits go to the first openings of each material, so those that are cut are the same ones.
        cut = (s.cut + sum(count for _, count in s.cut_instead) for s in item.supplies)
        return sum(line.pieces for line in item.cut_list), max(cut, default=0)
    quantity = item.takeoff.opening.quantity
    return quantity * sum(piece.count for piece in item.takeoff.pieces), quantity
