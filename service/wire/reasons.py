"""Why a number of the plan is what it is: a reason for each, typed by its code."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypeAliasType

from optimiser.domain.account import AccountKind
from optimiser.domain.decision import Aim, Method
from service.wire.base import WireModel
from service.wire.buying_reasons import (
    BreakReached,
    CutsCharged,
    DiscountReached,
    DropsKept,
    FastenersOnHandUsed,
    LeastValueReached,
    OffcutUsed,
    PiecesSpliced,
    SetSubstituted,
    ShipmentPriced,
    StandardKitsTrimmed,
)
from service.wire.shown import Amount, Count, Material, ShownLength, SignedLength
from service.wire.supply_reasons import (
    FastenersCounted,
    FastenersNeeded,
    FastenersSupplied,
    KitFastenersCounted,
    KitFastenersPriced,
    KitPriced,
    SetServed,
)
from service.wire.told import Told


class NamedLength(WireModel):
    """A length that a rule started from, or that it adds; what is deducted is below zero."""

    name: str
    length: SignedLength


class RuleFiredFacts(WireModel):
    """The sum of the inputs, divided by `divided_by`, and the adjustments make the length."""

    rule_id: str
    statement: str
    source: str
    inputs: list[NamedLength]
    divided_by: int
    adjustments: list[NamedLength]
    """Settings of the rule set, added after the division; what is deducted is negative."""
    length: ShownLength
    count: Count
    """Pieces per opening."""


class RuleFired(Told[Literal["rule-fired"], RuleFiredFacts]):
    """A rule of the takeoff gave pieces."""


class LengthAccountedFacts(WireModel):
    """Bars × stock length = pieces + kerf + end trim + drop."""

    from_rack: bool
    """Whether it is an offcut from the rack."""
    sku: str
    """The SKU of the stock length, or the id of the offcut."""
    material: Material
    stock_length: ShownLength
    bars: Count
    pieces: Count
    in_pieces: ShownLength
    kerf: ShownLength
    end_trim: ShownLength
    drop: ShownLength


class LengthAccounted(Told[Literal["length-accounted"], LengthAccountedFacts]):
    """Where the length of a stock length goes."""


class AccountLine(WireModel):
    """The cost of one kind; the lines add up to the total."""

    kind: AccountKind
    amount: Amount
    """Below zero for a credit."""
    paid: bool
    """Whether suppliers are paid it; else it is weighed only."""


class CostAccountedFacts(WireModel):
    """Stock lengths + kits + fastener packs + others = total."""

    stock_lengths: Amount
    kits: Amount
    fastener_packs: Amount
    others: list[AccountLine]
    """Every other kind that costs or credits anything."""
    payable: Amount
    """What suppliers are paid."""
    total: Amount


class CostAccounted(Told[Literal["cost-accounted"], CostAccountedFacts]):
    """The total as the sum of its parts."""


class AimProof(WireModel):
    """Whether an aim was proved to be at its best, given the aims before it."""

    aim: Aim
    proved: bool


class CostBoundedFacts(WireModel):
    """How far the cost is proved."""

    cost: Amount
    lower_bound: Amount
    gap: Amount
    method: Method
    patterns_considered: Count
    aims: list[AimProof]


class CostBounded(Told[Literal["cost-bounded"], CostBoundedFacts]):
    """How far the cost is proved to be the least."""


Reason = TypeAliasType(
    "Reason",
    Annotated[
        RuleFired
        | FastenersCounted
        | FastenersNeeded
        | SetServed
        | KitFastenersCounted
        | KitPriced
        | KitFastenersPriced
        | FastenersSupplied
        | LengthAccounted
        | BreakReached
        | DiscountReached
        | LeastValueReached
        | ShipmentPriced
        | OffcutUsed
        | FastenersOnHandUsed
        | DropsKept
        | CutsCharged
        | PiecesSpliced
        | SetSubstituted
        | StandardKitsTrimmed
        | CostAccounted
        | CostBounded,
        Field(discriminator="code", description="Why a number of the plan is what it is."),
    ],
)
