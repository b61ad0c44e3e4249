"""The account of an accepted order: what is bought, has arrived, is cut, and has gone back.

An order has a stage for each plan that was accepted: the first one, and one more for each change
that bought something. Each stage keeps the purchase of its own plan, at the prices of that plan.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from pydantic import TypeAdapter

from optimiser.domain.deliveries import CutBars, OpenLine, OpenPurchase, Receipt, Units
from optimiser.domain.difference import ALREADY_BOUGHT, Holdings, KeptOpenings
from optimiser.domain.plan import Plan
from optimiser.fulfilment import hold_goods, opened_by_cutting
from optimiser.fulfilment.goods import Goods
from optimiser.fulfilment.holdings import MADE_PIECE, named_already_bought
from optimiser.fulfilment.lines import LineKey, key_of
from optimiser.units.counts import ceil_div
from service.jobs.rebuilding import Planned


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One accepted plan: its purchase as it stands, and what is cut by its patterns."""

    plan_id: str
    purchase: OpenPurchase
    cut: tuple[CutBars, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Every stage, the first one first.

    `reserves` says whether the last plan still has the offcuts that it took from the rack: a
    change that needs no plan gives those back that are not cut. `credited` is what suppliers have
    credited for what went back. `changed_request` is the order by value, as JSON, as the last
    change left it, and `kept` the openings that it keeps by what was made for them.
    """

    stages: tuple[Stage, ...]
    reserves: bool = True
    credited: Decimal = Decimal(0)
    changed_request: str | None = None
    kept: tuple[KeptOpenings, ...] = ()

    @property
    def last(self) -> Stage:
        """Return the stage of the plan that was accepted last."""
        return self.stages[-1]

    @property
    def purchase(self) -> OpenPurchase:
        """Return what is bought in all stages together: one line for what has one name."""
        lines: dict[LineKey, OpenLine] = {}
        for stage in self.stages:
            for line in stage.purchase.lines:
                known = lines.get(key_of(line))
                lines[key_of(line)] = line if known is None else _add(known, line)
        return OpenPurchase(lines=tuple(lines.values()))

    @property
    def receipt(self) -> Receipt:
        """Return how much of all that is bought has arrived."""
        return self.purchase.state


_ACCOUNT = TypeAdapter(Account)


def read_account(kept: str) -> Account:
    """Return an account as it is kept."""
    return _ACCOUNT.validate_json(kept)


def write_account(account: Account) -> str:
    """Return an account as JSON, to keep."""
    return _ACCOUNT.dump_json(account).decode()


def holdings_before_last(account: Account, plans: Sequence[Planned]) -> Holdings | None:
    """Return what was held when the last plan was made, as it stands now; `None` for the first.

    `plans` are those of the stages, in their order.
    """
    held: Holdings | None = None
    for stage, planned in zip(account.stages[:-1], plans[:-1], strict=True):
        held = hold_goods(planned.order, planned.plan, stage.purchase, stage.cut, before=held)
    return held


def as_it_reserves(account: Account, plan: Plan) -> Plan:
    """Return the last plan, taking of the rack's offcuts what it still has or has cut."""
    if account.reserves:
        return plan
    cut = {bars.pattern: bars.bars for bars in account.last.cut}
    used = {sheet.sku: cut.get(sheet.name, 0) for sheet in plan.patterns if sheet.from_rack}
    return replace(
        plan,
        offcuts_used=tuple(
            replace(offcut, used=used[offcut.id])
            for offcut in plan.offcuts_used
            if used.get(offcut.id)
        ),
    )


def paid_so_far(account: Account, plans: Sequence[Planned]) -> Decimal:
    """Return what suppliers are paid for all stages, less what they have credited."""
    first, *further = (planned.plan for planned in plans)
    beside = sum(
        (s.total for plan in further for s in plan.shipments if s.supplier != ALREADY_BOUGHT),
        Decimal(0),
    )
    return first.payable + beside - account.credited


def plan_from_rack(account: Account, plans: Sequence[Planned]) -> Plan:
    """Return a plan that takes just what the order has from the rack and has not cut."""
    last = as_it_reserves(account, plans[-1].plan)
    cut = {bars.pattern: bars.bars for bars in account.last.cut}
    used = {sheet.sku: cut.get(sheet.name, 0) for sheet in last.patterns if sheet.from_rack}
    offcuts = tuple(
        replace(offcut, used=offcut.used - used.get(offcut.id, 0))
        for offcut in last.offcuts_used
        if not offcut.id.startswith(MADE_PIECE) and offcut.used > used.get(offcut.id, 0)
    )
    fasteners = tuple(taken for planned in plans for taken in planned.plan.fasteners_used)
    return replace(last, offcuts_used=offcuts, fasteners_used=fasteners)


def opened_units(account: Account, plans: Sequence[Planned]) -> tuple[tuple[Units, ...], ...]:
    """Return, stage by stage, the units that cutting has opened.

    A later plan cuts bars of the stages before it under a name of their own.
    """
    opened: list[dict[tuple[str, str], int]] = [{} for _ in account.stages]
    for number, (stage, planned) in enumerate(zip(account.stages, plans, strict=True)):
        for units in opened_by_cutting(planned.plan, stage.cut):
            quantity = units.quantity
            if units.supplier != ALREADY_BOUGHT:
                _put(opened[number], units.supplier, units.sku, quantity)
                continue
            for earlier in range(number):
                goods = Goods(plans[earlier].order, plans[earlier].plan)
                for line in account.stages[earlier].purchase.lines:
                    if named_already_bought(line.sku) == units.sku and quantity > 0:
                        known = opened[earlier].get((line.supplier, line.sku), 0)
                        # What is held is counted in single bars.
                        bars = goods.bars(line)
                        taken = min(ceil_div(quantity, bars), max(line.held - known, 0))
                        _put(opened[earlier], line.supplier, line.sku, taken)
                        quantity -= taken * bars
    return tuple(
        tuple(
            Units(supplier=supplier, sku=sku, quantity=quantity)
            for (supplier, sku), quantity in of_stage.items()
            if quantity
        )
        for of_stage in opened
    )


def share_out(
    account: Account,
    units: Iterable[Units],
    room: Callable[[int, OpenLine], int],
) -> tuple[tuple[Units, ...], ...]:
    """Return units of all stages together, shared out to the stages, the first one first.

    `room` is how many units of a line a stage can take, by the number of the stage. What finds no
    room stays with the last stage that has the line, where it is refused.
    """
    shares: list[list[Units]] = [[] for _ in account.stages]
    left: dict[tuple[int, LineKey], int] = {}
    for stated in units:
        quantity = stated.quantity
        last = 0
        for number, stage in enumerate(account.stages):
            line = _line_of(stage.purchase, stated)
            if line is None:
                continue
            last = number
            key = (number, key_of(line))
            free = left.setdefault(key, max(room(number, line), 0))
            taken = min(free, quantity)
            left[key] -= taken
            quantity -= taken
            if taken:
                shares[number].append(replace(stated, quantity=taken))
        if quantity:
            shares[last].append(replace(stated, quantity=quantity))
    return tuple(tuple(of_stage) for of_stage in shares)


def _line_of(purchase: OpenPurchase, stated: Units) -> OpenLine | None:
    found = [
        line
        for line in purchase.lines
        if (line.supplier, line.sku) == (stated.supplier, stated.sku)
        and (stated.mark is None or stated.mark in line.made_for)
    ]
    return found[0] if len(found) == 1 else None


def _add(known: OpenLine, line: OpenLine) -> OpenLine:
    return replace(
        known,
        ordered=known.ordered + line.ordered,
        received=known.received + line.received,
        returned=known.returned + line.returned,
    )


def _put(opened: dict[tuple[str, str], int], supplier: str, sku: str, quantity: int) -> None:
    opened[supplier, sku] = opened.get((supplier, sku), 0) + quantity
