"""Every fault of an order that cannot be taken, those of its sound parts among them.

A fault of form keeps the library from ever seeing the order. So each part is read by itself: an
entry of a list, a supplier's freight, the policy. In an entry with faulty members the others are
still read; the entries that are sound make up an order of their own, which the library looks
over, and what it finds is told at the places of the order that was sent.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import replace
from decimal import Decimal
from typing import Any, TypeVar

from pydantic import BaseModel

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.faults import Fault
from optimiser.domain.order import Order, Policy
from optimiser.domain.rack import Rack
from optimiser.rule_sets import RuleSet, known_rule_sets
from optimiser.takeoff.faults import find_order_faults
from optimiser.units.lengths import LengthUnit
from optimiser.validation import NEEDS_EVERY_ENTRY, find_faults
from service.mapping.buying_in import to_freight
from service.mapping.catalogue_in import (
    to_fastener_pack,
    to_kit,
    to_standard_kit,
    to_stock_length,
)
from service.mapping.faults import FaultGatherer, Path, look_up, settle_path
from service.mapping.order_in import check_currency, check_total, to_opening, to_policy
from service.mapping.rack_in import (
    to_fasteners_on_hand,
    to_offcut,
    to_splice,
    to_substitution,
)
from service.mapping.repeated_names import REPEATS, find_repeats
from service.mapping.rule_sets_in import find_rule_set_clashes, to_rule_sets
from service.mapping.stand_ins import STAND_INS
from service.mapping.validation import validate
from service.wire import catalogue as wire
from service.wire import concessions, freight, rack
from service.wire import order as wire_order
from service.wire.opening import Opening

M = TypeVar("M", bound=BaseModel)
T = TypeVar("T")
Reads = Callable[[M, LengthUnit, Path, FaultGatherer], T]


def find_every_fault(
    raw: Any, form_faults: Iterable[Fault], *, buys: bool, longest_time_limit_seconds: float
) -> list[Fault]:
    """Return the faults of form and all others that can be told of an order beside them.

    `buys` is false for a takeoff, whose catalogues the library does not look at.
    """
    told = tuple(form_faults)
    rule_sets, of_rule_sets = to_rule_sets(raw, told)
    parts = _SoundParts(raw, told, longest_time_limit_seconds)
    order = parts.read()
    of_openings = parts.find_opening_faults(order, rule_sets)
    found = [*(find_faults(order) if buys else ()), *of_openings]
    return [
        *parts.gatherer.faults,
        *of_rule_sets,
        *find_rule_set_clashes(raw),
        *(
            Fault(settle_path(parts.place(fault.path), raw), fault.code, fault.message)
            for fault in found
            if fault.code not in REPEATS
            and (parts.whole_offer or fault.code not in NEEDS_EVERY_ENTRY)
        ),
        *find_repeats(raw),
    ]


class _SoundParts:
    """Reads an order part by part; `gatherer` keeps what is wrong with them."""

    def __init__(self, raw: Any, form_faults: Iterable[Fault], longest_seconds: float) -> None:
        self._raw = raw
        self._longest_seconds = longest_seconds
        self.gatherer = FaultGatherer(raw)
        self.gatherer.faults.extend(form_faults)
        self._faulty: dict[Path, set[str | int]] = defaultdict(set)
        for fault in self.gatherer.faults:
            depth = _depth_of_part(fault.path)
            self._faulty[fault.path[:depth]].update(fault.path[depth : depth + 1])
        self._unit = LengthUnit.INCH
        if isinstance(raw, dict) and raw.get("unit") in list(LengthUnit):
            self._unit = LengthUnit(raw["unit"])
        self._positions: dict[Path, list[int]] = {}

    def read(self) -> Order:
        """Return an order of the sound parts."""
        openings = self._entries(("openings",), Opening, to_opening)
        check_total(openings, self.gatherer)
        listed = look_up(self._raw, ("catalogues",))
        numbers = range(len(listed) if isinstance(listed, list) else 0)
        currencies = [self._text(("catalogues", number, "currency")) for number in numbers]
        currency = next((code for code in currencies if code), "USD")
        catalogues = tuple(self._catalogue(n, currencies[n] or currency) for n in numbers)
        if expected := self._text(("currency",)):
            stated = [c for c, code in zip(catalogues, currencies, strict=True) if code]
            check_currency(expected, stated, self.gatherer)
        return Order(
            openings=openings,
            catalogues=catalogues,
            policy=self._policy(),
            unit=self._unit,
            rack=Rack(
                offcuts=self._entries(("rack", "offcuts"), rack.Offcut, to_offcut),
                fasteners=self._entries(
                    ("rack", "fasteners"),
                    rack.FastenersOnHand,
                    lambda held, *_: to_fasteners_on_hand(held),
                ),
            ),
        )

    @property
    def whole_offer(self) -> bool:
        """Return whether every entry of the catalogues and of the rack could be read."""
        return not any(fault.path[:1] in _OFFERS for fault in self.gatherer.faults)

    def find_opening_faults(
        self, order: Order, rule_sets: tuple[RuleSet, ...]
    ) -> tuple[Fault, ...]:
        """Return what the takeoff finds; nothing where what its lengths hang on is faulty.

        `rule_sets` are those of the order that are sound: the others may hold what an opening
        or the policy names.
        """
        members = {fault.path[1:2] for fault in self.gatherer.faults if fault.path[:1] == _POLICY}
        if not order.openings or members & {(), ("clearances",), ("rule_settings",)}:
            return ()
        known = {rules.id: rules for rules in (*rule_sets, *known_rule_sets())}
        stated = look_up(self._raw, ("rule_sets",))
        unread = isinstance(stated, list) and len(rule_sets) < len(stated)
        return tuple(
            fault
            for fault in find_order_faults(order, known)
            if not (unread and fault.code in _MAY_NAME_A_RULE_SET)
        )

    def place(self, path: Path) -> Path:
        """Return a path of the order of the sound parts as one of the order that was sent."""
        for root, positions in self._positions.items():
            depth = len(root)
            if path[:depth] == root and len(path) > depth:
                return (*root, positions[int(path[depth])], *path[depth + 1 :])
        return path

    def _catalogue(self, number: int, currency: str) -> Catalogue:
        root: Path = ("catalogues", number)
        least_order = self._text((*root, "least_order"))
        return Catalogue(
            supplier=self._text((*root, "supplier")) or "The supplier",
            currency=currency,
            stock_lengths=self._entries(
                (*root, "stock_lengths"), wire.StockLength, to_stock_length
            ),
            kits=self._entries((*root, "kits"), wire.Kit, to_kit),
            fastener_packs=self._entries(
                (*root, "fastener_packs"), wire.FastenerPack, to_fastener_pack
            ),
            standard_kits=self._entries(
                (*root, "standard_kits"), wire.StandardKit, to_standard_kit
            ),
            freight=self._freight((*root, "freight")),
            least_order=Decimal(least_order or 0),
        )

    def _freight(self, path: Path) -> Any:
        basis = look_up(self._raw, (*path, "basis"))
        if basis == "weight":
            return self._whole(path, freight.FreightByWeight, to_freight)
        if basis == "value":
            return self._whole(path, freight.FreightByValue, to_freight)
        return None

    def _policy(self) -> Policy:
        read = self._sound(_POLICY, wire_order.Policy, apart={"splices", "substitutions"})
        if read is None:
            return Policy()
        policy = to_policy(
            read,
            self._unit,
            self.gatherer,
            longest_time_limit_seconds=self._longest_seconds,
        )
        unread = {fault.path[:2] for fault in self.gatherer.faults}
        return replace(
            policy,
            keep_drops=None if (*_POLICY, "keep_drops") in unread else policy.keep_drops,
            splices=self._entries((*_POLICY, "splices"), concessions.Splice, to_splice),
            substitutions=self._entries(
                (*_POLICY, "substitutions"),
                concessions.Substitution,
                lambda substitution, *_: to_substitution(substitution),
            ),
        )

    def _entries(self, root: Path, model: type[M], read: Reads[M, T]) -> tuple[T, ...]:
        """Return the sound entries of a list; the sound members of the others are read too."""
        listed = look_up(self._raw, root)
        numbers = range(len(listed) if isinstance(listed, list) else 0)
        values = {n: self._whole((*root, n), model, read) for n in numbers}
        whole = {n: value for n, value in values.items() if value is not None}
        self._positions[root] = list(whole)
        return tuple(whole.values())

    def _whole(self, path: Path, model: type[M], read: Reads[M, T]) -> T | None:
        """Return what a part states, or keep its faults and return `None`."""
        before = len(self.gatherer.faults)
        value = self._sound(path, model)
        if value is not None:
            result = read(value, self._unit, path, self.gatherer)
            if path not in self._faulty and len(self.gatherer.faults) == before:
                return result
        return None

    def _sound(
        self, path: Path, model: type[M], *, apart: frozenset[str] | set[str] = frozenset()
    ) -> M | None:
        """Return a part with stand-ins for its faulty members, without those read apart."""
        entry = look_up(self._raw, path)
        if not isinstance(entry, dict):
            return None
        left_out = self._faulty.get(path, set()) | apart
        members = {name: part for name, part in entry.items() if name not in left_out}
        value = validate(model, {**STAND_INS[model], **members})
        return None if isinstance(value, list) else value

    def _text(self, path: Path) -> str | None:
        """Return a text, unless it is faulty or not there."""
        value = look_up(self._raw, path)
        faulty = any(fault.path == path for fault in self.gatherer.faults)
        return value if isinstance(value, str) and not faulty else None


_POLICY: tuple[str] = ("policy",)
_MAY_NAME_A_RULE_SET = frozenset(("unknown-rule-set", "unknown-setting"))
_OFFERS: frozenset[Path] = frozenset({("catalogues",), ("rack",)})


def _depth_of_part(path: Path) -> int:
    """Return how long the path of a part is that a path leads into."""
    match path:
        case ("catalogues", _, "freight", *_) | ("policy", "splices" | "substitutions", *_):
            return 3
        case ("catalogues", *_):
            return 4
        case ("rack", *_):
            return 3
        case ("policy", *_):
            return 1
        case _:
            return 2
