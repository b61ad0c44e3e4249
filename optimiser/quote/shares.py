"""What each mark has of each cost of a plan: exact fractions that add up to the account."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.account import AccountKind
from optimiser.domain.plan import OpeningPlan, Plan, PurchaseKind, PurchaseLine
from optimiser.domain.quote_terms import LineKind
from optimiser.domain.takeoff import FastenerPool

ByMark = tuple[Fraction, ...]
"""One figure for each mark, in the order of the plan's openings."""


def share_costs(plan: Plan) -> dict[LineKind, ByMark]:
    """Return the cost of each kind by mark; each adds up to the kind's line in the account.

    Kinds that cost nothing, and the preference against substitutions, are left out.
    """
    sharing = _Sharing(plan)
    sharing.share_goods()
    sharing.share_carriage()
    sharing.share_rack()
    sharing.share_by_count()
    return {kind: tuple(sharing.costs[kind]) for kind in LineKind if any(sharing.costs[kind])}


def share(amount: Fraction, weights: Sequence[Fraction | int], otherwise: ByMark) -> ByMark:
    """Return an amount in proportion to weights, or to other ones where all of them are zero."""
    used = weights if any(weights) else otherwise
    total = sum(used, Fraction(0))
    return tuple(amount * weight / total for weight in used)


def need_lengths(plan: Plan) -> ByMark:
    """Return the running length that each mark needs in nanometres.

    Where no mark needs any, the number of openings stands for it.
    """
    lengths = tuple(
        Fraction(item.takeoff.running_length_nm * item.takeoff.opening.quantity)
        for item in plan.openings
    )
    if any(lengths):
        return lengths
    return tuple(Fraction(item.takeoff.opening.quantity) for item in plan.openings)


class _Sharing:
    """Shares each cost of a plan among its marks; `costs` holds what each kind came to."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.costs: dict[LineKind, list[Fraction]] = defaultdict(
            lambda: [Fraction(0)] * len(plan.openings)
        )
        self._of_supplier: dict[str, list[Fraction]] = defaultdict(
            lambda: [Fraction(0)] * len(plan.openings)
        )
        self._otherwise = need_lengths(plan)
        self._cut_nm = _count_lengths(plan)
        self._account = {line.kind: line.amount for line in plan.account}

    def share_goods(self) -> None:
        """Share each purchase line; keep each supplier's goods apart for freight."""
        for line in self.plan.purchases:
            shares = self._add(LineKind(line.kind), line.amount, self._weigh_goods(line))
            _add_to(self._of_supplier[line.supplier], shares)

    def share_carriage(self) -> None:
        """Share freight and surcharges of each shipment by the cost of its goods."""
        for shipment in self.plan.shipments:
            goods = self._of_supplier[shipment.supplier]
            self._add(LineKind.FREIGHT, shipment.charge, goods)
            for _, surcharge in shipment.over_length:
                self._add(LineKind.OVER_LENGTH, surcharge, goods)

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
            self._add(LineKind(kind), self._account.get(kind, Decimal(0)), weights)

    def _add(self, kind: LineKind, amount: Decimal, weights: Sequence[Fraction | int]) -> ByMark:
        shares = share(Fraction(amount), weights, self._otherwise)
        _add_to(self.costs[kind], shares)
        return shares

    def _weigh_goods(self, line: PurchaseLine) -> Sequence[Fraction | int]:
        match line.kind:
            case PurchaseKind.STOCK_LENGTH:
                return self._cut_nm[False, line.sku]
            case PurchaseKind.KIT:
                made_for = set(line.made_for)
                return [
                    _count_kits(item, line.sku) if item.takeoff.opening.mark in made_for else 0
                    for item in self.plan.openings
                ]
            case PurchaseKind.STANDARD_KIT:
                return [_count_kits(item, line.sku) for item in self.plan.openings]
            case PurchaseKind.FASTENER_PACK:
                return self._weigh_pools(
                    supply.pool
                    for supply in self.plan.fasteners
                    if any(sku == line.sku for sku, _, _ in supply.packs)
                )

    def _weigh_pools(self, pools: Iterable[FastenerPool]) -> Sequence[int]:
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
        return weights


def _count_lengths(plan: Plan) -> Mapping[tuple[bool, str], list[int]]:
    """Return the length cut for each mark from the bars of each SKU and from each offcut."""
    sheets = {sheet.name: (sheet.from_rack, sheet.sku) for sheet in plan.patterns}
    lengths: dict[tuple[bool, str], list[int]] = defaultdict(lambda: [0] * len(plan.openings))
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


def _add_to(sums: list[Fraction], shares: ByMark) -> None:
    for position, amount in enumerate(shares):
        sums[position] += amount
