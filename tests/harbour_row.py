"""Orders for Harbour Row, an invented terrace of houses and a small hotel being refitted.

Supplier, prices and quantities are invented. Every function returns an order in the wire
format, as plain Python objects ready for `json.dumps`, and depends on its arguments alone.
"""

import random
from typing import Any

Wire = dict[str, Any]

DOOR_WIDTHS = ("28", "30", "32", "34", "36", "29 7/8", "31 15/16", "35 13/16", "33 3/4")
DOOR_HEIGHTS = ("78", "80", "84", "79 1/4", "80 1/8", "81 11/16", "83 1/2")
PAIR_WIDTHS = ("60", "64", "72", "59 3/4", "71 5/8")
WINDOW_WIDTHS = ("20", "24", "28 1/2", "30", "23 7/8", "31 5/16", "26 3/16")
WINDOW_HEIGHTS = ("36", "42", "48", "54 1/4", "59 15/16", "47 5/8")

STOCK_PRICES = (("84", "11.48"), ("96", "12.95"), ("108", "14.90"), ("120", "15.85"),
                ("144", "19.70"), ("192", "26.95"))  # fmt: skip
"""Six stock lengths with their invented prices in zinc; the price per foot is not constant."""

BRONZE_SURCHARGE_PERCENT = 46


def ten_doors(**policy: Any) -> Wire:
    """Return ten 36 × 80 single doors, kits bare and with fasteners, loose one-ounce packs.

    The kit with fasteners costs 9.60 more than the bare one; four loose packs cost 11.40.
    """
    return {
        "reference": "Harbour Row hotel, first floor",
        "unit": "in",
        "openings": [
            {
                "mark": "D-01",
                "kind": "single-door",
                "size": {"width": 36, "height": 80},
                "quantity": 10,
                "finish": "zinc",
                "fastener_spacing": 3,
            }
        ],
        "catalogues": [
            {
                "supplier": "Larkmoor Strip & Seal",
                "currency": "USD",
                "stock_lengths": [
                    {
                        "sku": "LS-Z-084",
                        "product": "interlocking-strip",
                        "finish": "zinc",
                        "length": 84,
                        "price": "11.48",
                    },
                    {
                        "sku": "LS-Z-120",
                        "product": "interlocking-strip",
                        "finish": "zinc",
                        "length": 120,
                        "price": "15.85",
                    },
                ],
                "kits": [
                    _kit("LK-Z", "zinc", with_fasteners=False),
                    _kit("LK-Z-N", "zinc", with_fasteners=True),
                ],
                "fastener_packs": [_pack()],
            }
        ],
        "policy": policy,
    }


def mixed_order(
    openings: int, *, seed: int = 1, sizes: int | None = None, keen_kits: bool = False
) -> Wire:
    """Return an order of `openings` openings: doors, pairs and windows in two finishes.

    Each opening has a mark of its own. `sizes` limits the number of distinct sizes; `None`
    takes all of the trade's usual ones that the lists above give. `keen_kits` is that of
    `full_catalogue`.
    """
    draw = random.Random(seed)
    kinds = _kinds_with_sizes()
    if sizes is not None:
        kinds = draw.sample(kinds, sizes)
    schedule = []
    for number in range(1, openings + 1):
        kind, width, height = draw.choice(kinds)
        opening: Wire = {
            "mark": f"{'W' if kind.endswith('window') else 'D'}-{number:03d}",
            "kind": kind,
            "size": {"width": width, "height": height},
            "size_of": "opening",
            "quantity": 1,
            "finish": draw.choice(("zinc", "bronze")),
            "fastener_spacing": draw.choice(("1 1/2", "2", "3")),
        }
        if kind == "pair-of-doors" and draw.random() < 0.5:
            opening["meeting_stiles"] = "nested-members"
        schedule.append(opening)
    return {
        "reference": f"Harbour Row, {openings} openings, draw {seed}",
        "unit": "in",
        "openings": schedule,
        "catalogues": [full_catalogue(keen_kits=keen_kits)],
        "policy": {"kerf": "1/16", "end_trim": "1/8", "fastener_allowance_percent": "5"},
    }


def full_catalogue(*, keen_kits: bool = False) -> Wire:
    """Return a catalogue of two finishes: six stock lengths, two kits each, two packs.

    At their usual price kits are hardly ever worth their money. Keenly priced ones cost about
    what the strip for a door costs, so that the plan has to weigh each opening.
    """
    zinc, bronze = ("1.38", "2.01") if keen_kits else ("1.75", "2.60")
    stock_lengths = []
    for letter, finish, surcharge in (
        ("Z", "zinc", 0),
        ("B", "bronze", BRONZE_SURCHARGE_PERCENT),
    ):
        for length, price in STOCK_PRICES:
            cents = round(float(price) * 100) * (100 + surcharge) // 100
            stock_lengths.append(
                {
                    "sku": f"LS-{letter}-{length:0>3}",
                    "product": "interlocking-strip",
                    "finish": finish,
                    "length": f"{length} in",
                    "price": f"{cents // 100}.{cents % 100:02d}",
                }
            )
    return {
        "supplier": "Larkmoor Strip & Seal",
        "currency": "USD",
        "stock_lengths": stock_lengths,
        "kits": [
            _kit("LK-Z", "zinc", with_fasteners=False, per_foot=zinc),
            _kit("LK-Z-N", "zinc", with_fasteners=True, per_foot=zinc),
            _kit("LK-B", "bronze", with_fasteners=False, per_foot=bronze),
            _kit("LK-B-N", "bronze", with_fasteners=True, per_foot=bronze),
        ],
        "fastener_packs": [
            _pack(),
            {
                "sku": "LN-16",
                "fastener": "strip-nail",
                "contents": {
                    "count_per_weight": "1040",
                    "weight": "1 lb",
                    "pack_weight": "1 lb",
                },
                "price": "39.00",
            },
        ],
    }


def _kinds_with_sizes() -> list[tuple[str, str, str]]:
    doors = [("single-door", w, h) for w in DOOR_WIDTHS for h in DOOR_HEIGHTS]
    pairs = [("pair-of-doors", w, h) for w in PAIR_WIDTHS for h in DOOR_HEIGHTS]
    windows = [
        (kind, w, h)
        for kind in ("casement-window", "fixed-window")
        for w in WINDOW_WIDTHS
        for h in WINDOW_HEIGHTS
    ]
    return [*doors, *pairs, *windows]


def _kit(sku: str, finish: str, *, with_fasteners: bool, per_foot: str = "1.38") -> Wire:
    kit: Wire = {
        "sku": sku,
        "product": "interlocking-strip",
        "finish": finish,
        "price": {
            "base": "4.50",
            "per_length": {"price": per_foot, "length": "1 ft"},
            "per_piece": "0.35",
            "per_pack": "2.40" if with_fasteners else "0",
        },
    }
    if with_fasteners:
        kit["fasteners"] = {
            "fastener": "strip-nail",
            "spacing": "1 1/2 in",
            "contents": {"count": 65},
            "rounding": "up",
        }
    return kit


def _pack() -> Wire:
    return {
        "sku": "LN-01",
        "fastener": "strip-nail",
        "contents": {"count": 65},
        "price": "2.85",
    }
