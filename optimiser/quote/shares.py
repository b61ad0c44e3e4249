"""What each mark has of each cost of a plan: exact fractions that add up to the account."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.account import AccountKind
from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.plan import OpeningPlan, Plan, PurchaseKind, PurchaseLine
from optimiser.domain.quote_terms import LineKind
from optimiser.domain.takeoff import FastenerPool

ByMark = tuple[Fraction, ...]
"""One figure for each mark, in the order of the plan's openings."""

Weights = Mapping[int, Fraction | int]
"""The weight of each mark that has any, by its position among the plan's openings.

Marks without weight are left out: an order has many marks, and most goods are for few of them.
"""


def share_costs(plan: Plan) -> dict[LineKind, ByMark]:
    """Return the cost of each kind by mark; each adds up to the kind's line in the account.

    Kinds that cost nothing are left out, and so is what `left_out` leaves out.
    """
    sharing = _Sharing(plan)
    sharing.share_goods()
    sharing.share_carriage()
    sharing.share_rack()
    sharing.share_by_count()
    return {kind: tuple(sharing.costs[kind]) for kind in LineKind if any(sharing.costs[kind])}


def left_out(plan: Plan) -> dict[AccountKind, Decimal]:
    """Return what the account has that nobody pays for: it is in no price.

    The preference against substitutions; in the plan for a changed order also what is already
    bought, which stands in it as goods of one more supplier (see `optimiser.fulfilment`).
    """
    amounts: dict[AccountKind, Decimal] = {
        line.kind: line.amount for line in plan.account if line.kind is AccountKind.PREFERENCE
    }
    for line in plan.purchases:
        if line.supplier == ALREADY_BOUGHT:
            kind = AccountKind(line.kind)
            amounts[kind] = amounts.get(kind, Decimal(0)) + line.amount
    return amounts


def share(
    amount: Fraction, weights: Weights, otherwise: Weights, total: Fraction | int | None = None
) -> dict[int, Fraction]:
    """Return an amount in proportion to weights, or to other ones where there are none.

    `total` is the sum of the weights, where it is known: over many marks fractions add up slowly.
    """
    if not weights:
        weights, total = otherwise, None
    whole = sum(weights.values(), Fraction(0)) if total is None else total
    return {mark: amount * weight / whole for mark, weight in weights.items()}


def need_lengths(plan: Plan) -> Weights:
    """Return the running length that each mark needs in nanometres.

    Where no mark needs any, the number of openings stands for it.
    """
    openings = [item.takeoff for item in plan.openings]
    lengths = weigh(taken.running_length_nm * taken.opening.quantity for taken in openings)
    return lengths or weigh(taken.opening.quantity for taken in openings)


def weigh(weights: Iterable[Fraction | int]) -> Weights:
    """Return weights by position, without those that are zero."""
    return {position: weight for position, weight in enumerate(weights) if weight}


class _Sharing:
    """Shares each cost of a plan among its marks; `costs` holds what each kind came to."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.costs: dict[LineKind, list[Fraction]] = defaultdict(
            lambda: [Fraction(0)] * len(plan.openings)
        )
        self._of_supplier: dict[str, dict[int, Fraction]] = defaultdict(dict)
        self._otherwise = need_lengths(plan)
        self._cut_nm = _count_lengths(plan)
        self._position = {
            item.takeoff.opening.mark: position for position, item in enumerate(plan.openings)
        }
        self._account = {line.kind: line.amount for line in plan.account}

    def share_goods(self) -> None:
        """Share each purchase line; keep each supplier's goods apart for freight."""
        for line in self.plan.purchases:
            if line.supplier == ALREADY_BOUGHT:
                continue
            shares = self._add(LineKind(line.kind), line.amount, self._weigh_goods(line))
            goods = self._of_supplier[line.supplier]
            for mark, amount in shares.items():
                if amount:
                    goods[mark] = goods.get(mark, Fraction(0)) + amount

    def share_carriage(self) -> None:
        """Share freight and surcharges of each shipment by the cost of its goods."""
        for shipment in self.plan.shipments:
            if shipment.supplier == ALREADY_BOUGHT:
                continue
            goods = self._of_supplier[shipment.supplier]
            value = Fraction(shipment.goods)
            self._add(LineKind.FREIGHT, shipment.charge, goods, value)
            for _, surcharge in shipment.over_length:
                self._add(LineKind.OVER_LENGTH, surcharge, goods, value)

    def share_rack(self) -> None:
        """Share what is used from the rack: offcuts by length, fasteners by need."""
        for offcut in self.plan.offcuts_used:
            weights = self._cut_nm[True, offcut.id]
            self._add(LineKind.RACK, offcut.used * offcut.value, weights)
        for held in self.plan.fasteners_used:
            pools = (
                supply.pool
                for supply in self.plan.fasteners
                if supply.pool.fastener == held.fastener
                and supply.pool.finish in {None, held.finish}
            )
            self._add(LineKind.RACK, held.used * held.value, self._weigh_pools(pools))

    def share_by_count(self) -> None:
        """Share what the account has in one sum: cuts, splices, the credit of drops."""
        openings = self.plan.openings
        cut = [sum(line.pieces for line in item.cut_list) for item in openings]
        spliced = [
            sum(line.pieces for line in item.cut_list if line.segment_of_nm is not None)
            for item in openings
        ]
        length = [sum(line.pieces * line.length_nm for line in item.cut_list) for item in openings]
        for kind, weights in (
            (AccountKind.CUT_CHARGE, cut),
            (AccountKind.SPLICE, spliced),
            (AccountKind.DROP_CREDIT, length),
        ):
            self._add(LineKind(kind), self._account.get(kind, Decimal(0)), weigh(weights))

    def _add(
        self, kind: LineKind, amount: Decimal, weights: Weights, total: Fraction | None = None
    ) -> dict[int, Fraction]:
        shares = share(Fraction(amount), weights, self._otherwise, total)
        costs = self.costs[kind]
        for mark, part in shares.items():
            costs[mark] += part
        return shares

    def _weigh_goods(self, line: PurchaseLine) -> Weights:
        match line.kind:
            case PurchaseKind.STOCK_LENGTH:
                return self._cut_nm[False, line.sku]
            case PurchaseKind.KIT:
                served = {self._position[mark] for mark in line.made_for}
                counts = {n: _count_kits(self.plan.openings[n], line.sku) for n in sorted(served)}
                return {position: count for position, count in counts.items() if count}
            case PurchaseKind.STANDARD_KIT:
                return weigh(_count_kits(item, line.sku) for item in self.plan.openings)
            case PurchaseKind.FASTENER_PACK:
                return self._weigh_pools(
                    supply.pool
                    for supply in self.plan.fasteners
                    if any(sku == line.sku for sku, _, _ in supply.packs)
                )

    def _weigh_pools(self, pools: Iterable[FastenerPool]) -> Weights:
        """Return the fasteners of some pools that each mark needs, as the plan counts them."""
        needs = {supply.pool: supply.need for supply in self.plan.fasteners}
        weights = [0] * len(self.plan.openings)
        for pool in pools:
            by_length = needs[pool].counted == needs[pool].by_running_length
            for position, item in enumerate(self.plan.openings):
                for count in item.takeoff.fasteners:
                    if count.pool == pool:
                        each = count.by_running_length if by_length else count.per_piece
                        weights[position] += each * item.takeoff.opening.quantity
        return weigh(weights)


def _count_lengths(plan: Plan) -> Mapping[tuple[bool, str], dict[int, int]]:
    """Return the length cut for each mark from the bars of each SKU and from each offcut."""
    sheets = {sheet.name: (sheet.from_rack, sheet.sku) for sheet in plan.patterns}
    lengths: dict[tuple[bool, str], dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for position, item in enumerate(plan.openings):
        for line in item.cut_list:
            for name, pieces in line.from_patterns:
                lengths[sheets[name]][position] += pieces * line.length_nm
    return lengths


def _count_kits(item: OpeningPlan, sku: str) -> int:
    return sum(
        count
        for supply in item.supplies
        for named, count in (*supply.kits, *supply.standard_kits)
        if named == sku
    )
