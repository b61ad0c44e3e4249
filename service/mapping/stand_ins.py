"""What stands for the required members of a part that are faulty, while the others are read."""

from typing import Any

from pydantic import BaseModel

from service.wire import catalogue, concessions, freight, rack
from service.wire.opening import Opening
from service.wire.order import Policy

_MATERIAL = {"product": "-", "finish": "-"}

STAND_INS: dict[type[BaseModel], dict[str, Any]] = {
    Opening: {"mark": "-", "kind": "single-door", "size": "3068", "finish": "-"},
    catalogue.StockLength: {"sku": "0", **_MATERIAL, "length": 1, "price": "0"},
    catalogue.Kit: {"sku": "0", **_MATERIAL, "price": {}},
    catalogue.FastenerPack: {
        "sku": "0",
        "fastener": "-",
        "contents": {"count": 1},
        "price": "0",
    },
    catalogue.StandardKit: {
        "sku": "0",
        **_MATERIAL,
        "lengths": [{"length": 1}],
        "price": "0",
    },
    freight.FreightByWeight: {
        "basis": "weight",
        "tiers": [{"from_weight": "0 lb", "charge": "0"}],
    },
    freight.FreightByValue: {"basis": "value", "tiers": [{"from_value": "0", "charge": "0"}]},
    rack.Offcut: {"id": "0", **_MATERIAL, "length": 1},
    rack.FastenersOnHand: {"fastener": "-", "count": 0},
    Policy: {},
    concessions.Splice: {
        "product": "-",
        "edges": ["head"],
        "least_segment": 1,
        "position_step": 1,
    },
    concessions.Substitution: {"wanted": _MATERIAL, "instead": _MATERIAL},
}
"""By the model of the part; a part that is read with any of them is never handed on."""
