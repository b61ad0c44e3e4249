"""Goods that go back to their suppliers, and what is credited for them."""

import json
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace

from optimiser.domain.deliveries import OpenPurchase, Units
from optimiser.domain.faults import Fault, ReturnRejected
from optimiser.domain.order_states import OrderAction
from optimiser.domain.returns import ReturnCredit, ReturnTerms, SupplierCredit
from optimiser.fulfilment import return_goods
from optimiser.fulfilment.lines import LineFinder
from service.jobs.rebuilding import Planned
from service.json_text import read_json
from service.mapping.orders_in import invalid_content, to_return_terms, to_units
from service.orders.account import Stage, opened_units, share_out, write_account
from service.orders.effects import Done, write_effect
from service.orders.goods import account_for, as_sent, line_name, name_of
from service.orders.keeping import Step, add_movement, after_action, change_order
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.wire import orders as wire


async def return_units(
    transaction: Transaction,
    actor: Actor,
    order: StoredRow,
    stated: wire.Return,
    plans: tuple[Planned, ...],
) -> Done:
    """Give goods of an order that is locked back to their suppliers.

    Raises:
        Problem: the state does not allow it, or goods may not go back; every fault is named.
    """
    account = account_for(order, OrderAction.RETURN)
    units, used = to_units(stated.lines), to_units(stated.used)
    opened = opened_units(account, plans)
    faults = list(_find_unknown(account.purchase, units, "lines"))
    faults += _find_unknown(account.purchase, used, "used")
    if faults:
        raise invalid_content(faults)
    begun = share_out(account, used, lambda _, line: line.received - line.returned)
    counted = [_add_up((*opened[n], *begun[n])) for n in range(len(account.stages))]
    shares = share_out(
        account,
        units,
        lambda number, line: (
            line.received - line.returned - counted[number][line.supplier, line.sku]
        ),
    )
    terms = terms_of(order)
    stages: list[Stage] = []
    credits: list[ReturnCredit] = []
    for number, stage in enumerate(account.stages):
        if not shares[number]:
            stages.append(stage)
            continue
        planned = plans[number]
        try:
            purchase, credit = return_goods(
                planned.order,
                planned.plan,
                stage.purchase,
                shares[number],
                used=(*opened[number], *begun[number]),
                terms=narrow_terms(terms, stage.purchase),
            )
        except ReturnRejected as rejected:
            faults += _to_stated(rejected.faults, shares[number], units)
            continue
        stages.append(replace(stage, purchase=purchase))
        credits.append(credit)
    if faults:
        raise invalid_content(faults)
    credit = sum_credits(credits)
    step = Step(
        action="returned",
        values={
            "state": after_action(order, OrderAction.RETURN).value,
            "account": write_account(
                replace(
                    account,
                    stages=tuple(stages),
                    credited=account.credited + credit.total,
                )
            ),
        },
        told={"lines": as_sent(stated)["lines"], "credit": f"{credit.total:f} {credit.currency}"},
    )
    after = await change_order(transaction, actor, order, step)
    kept = {**as_sent(stated), "credit": f"{credit.total:f}", "currency": credit.currency}
    await add_movement(transaction, actor, order, "return", json.dumps(kept))
    return write_effect(OrderAction.RETURN, order, after, credit=credit)


def sum_credits(credits: list[ReturnCredit]) -> ReturnCredit:
    """Return the credits of the purchases of several plans as one."""
    suppliers: dict[str, SupplierCredit] = {}
    for of in (supplier for credit in credits for supplier in credit.suppliers):
        known = suppliers.get(of.supplier)
        suppliers[of.supplier] = (
            of
            if known is None
            else replace(known, credit=known.credit + of.credit, charge=known.charge + of.charge)
        )
    return ReturnCredit(
        currency=credits[0].currency,
        lines=tuple(line for credit in credits for line in credit.lines),
        suppliers=tuple(suppliers.values()),
    )


def _find_unknown(purchase: OpenPurchase, units: tuple[Units, ...], member: str) -> Iterator[Fault]:
    finder = LineFinder(purchase, member)
    finder.add_up(
        units,
        lambda line: line.received - line.returned,
        "more-than-is-left",
        "return what has arrived and is not used",
    )
    yield from finder.faults


def _to_stated(
    faults: tuple[Fault, ...], share: tuple[Units, ...], stated: tuple[Units, ...]
) -> Iterator[Fault]:
    """Yield faults of one stage's share with the paths of the units as they were stated."""
    for fault in faults:
        root, *rest = fault.path
        if root == "returned" and rest and isinstance(rest[0], int):
            units = share[rest[0]]
            position = next(
                n
                for n, whole in enumerate(stated)
                if (name_of(whole), whole.mark) == (name_of(units), units.mark)
            )
            yield Fault(("lines", position, *rest[1:]), fault.code, fault.message)
        else:
            yield fault


def narrow_terms(terms: tuple[ReturnTerms, ...], purchase: OpenPurchase) -> tuple[ReturnTerms, ...]:
    """Return the terms of what is bought here: an order may state terms of more."""
    bought = {line_name(line) for line in purchase.lines}
    suppliers = {supplier for supplier, _ in bought}
    return tuple(
        stated
        for stated in terms
        if ((stated.supplier, stated.sku) in bought if stated.sku else stated.supplier in suppliers)
    )


def terms_of(order: StoredRow) -> tuple[ReturnTerms, ...]:
    """Return the terms on which suppliers of an order take goods back."""
    stated = read_json(order.terms.encode()).get("return_terms", [])
    return to_return_terms(wire.ReturnTerms.model_validate(terms) for terms in stated)


def _add_up(units: Iterable[Units]) -> Counter[tuple[str, str]]:
    total: Counter[tuple[str, str]] = Counter()
    for some in units:
        total[name_of(some)] += some.quantity
    return total
