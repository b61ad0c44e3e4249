"""A rack, splices, substitutions and credits that are refused."""

import pytest

from tests.harbour_row import Wire, ten_doors
from tests.unit.buying_faults import OFFCUT, SPLICE, ZINC, faults_of


@pytest.mark.parametrize(
    ("rack", "pointer", "code", "message"),
    [
        (
            {"offcuts": [OFFCUT | {"quantity": -1}]},
            "/rack/offcuts/0/quantity",
            "out-of-range",
            "Offcut R-01, quantity: -1 is too low; send 0 or more.",
        ),
        (
            {"offcuts": [OFFCUT | {"length": "0 in"}]},
            "/rack/offcuts/0/length",
            "length-not-positive",
            "Offcut R-01: the length is 0 in; give more than 0.",
        ),
        (
            {"offcuts": [OFFCUT, OFFCUT]},
            "/rack/offcuts/1/id",
            "repeated-id",
            "Offcut R-01 has the name of another offcut; give it one of its own.",
        ),
        (
            {"offcuts": [OFFCUT | {"id": "LS-Z-084"}]},
            "/rack/offcuts/0/id",
            "repeated-id",
            "Offcut LS-Z-084 has the name of a SKU; give it one of its own.",
        ),
        (
            {"fasteners": [{"fastener": "strip-nail", "count": -1}]},
            "/rack/fasteners/0/count",
            "out-of-range",
            "rack.fasteners[0].count: -1 is too low; send 0 or more.",
        ),
        (
            {"fasteners": [{"fastener": "strip-nail", "count": 1}] * 2},
            "/rack/fasteners/1/fastener",
            "repeated-fastener",
            "strip-nail on hand stands twice; give one entry with the whole count.",
        ),
    ],
)
def test_a_wrong_rack_is_refused(rack: Wire, pointer: str, code: str, message: str) -> None:
    assert faults_of(ten_doors() | {"rack": rack}) == [(pointer, code, message)]


@pytest.mark.parametrize(
    ("splices", "inner", "code", "message"),
    [
        (
            [SPLICE | {"least_segment": "10 ft 1 in"}],
            "0/least_segment",
            "segment-longer-than-bar",
            "Splices of interlocking-strip: the least segment is 121 in, and no bar or offcut of "
            "it gives more than 120 in; give that or less, or add a longer stock length.",
        ),
        (
            [SPLICE | {"position_step": "1 mm"}],
            "0/position_step",
            "below-least",
            "Splices of interlocking-strip: the position step is 1 mm; give 5 mm or more.",
        ),
        (
            [SPLICE | {"edges": []}],
            "0/edges",
            "number-of-entries",
            "policy.splices[0].edges: has 0 entries; send 1 or more.",
        ),
        (
            [SPLICE | {"least_head": -1}],
            "0/least_head",
            "out-of-range",
            "policy.splices[0].least_head: -1 must be 0 or more; correct the length.",
        ),
        (
            [SPLICE, SPLICE],
            "1/product",
            "repeated-product",
            "Splices of interlocking-strip have two rules; give one.",
        ),
    ],
)
def test_a_wrong_rule_for_splices_is_refused(
    splices: list[Wire], inner: str, code: str, message: str
) -> None:
    found = faults_of(ten_doors(splices=splices))
    assert found == [(f"/policy/splices/{inner}", code, message)]


@pytest.mark.parametrize(
    ("substitution", "inner", "code", "message"),
    [
        (
            {"wanted": ZINC, "instead": ZINC | {"finish": "bronse"}},
            "/instead",
            "substitute-not-offered",
            "interlocking-strip, bronse instead of interlocking-strip, zinc: neither a catalogue "
            "nor the rack offers interlocking-strip, bronse; correct its product or finish, or "
            "remove the substitution.",
        ),
        (
            {"wanted": ZINC, "instead": ZINC},
            "",
            "repeated-substitution",
            "interlocking-strip, zinc instead of interlocking-strip, zinc: it stands twice, or is "
            "no change; remove it.",
        ),
        (
            {"wanted": "zinc", "instead": ZINC},
            "/wanted",
            "wrong-type",
            'policy.substitutions[0].wanted: "zinc" is not an object; send one.',
        ),
    ],
)
def test_a_wrong_substitution_is_refused(
    substitution: Wire, inner: str, code: str, message: str
) -> None:
    found = faults_of(ten_doors(substitutions=[substitution]))
    assert found == [(f"/policy/substitutions/0{inner}", code, message)]


def test_a_credit_above_the_price_of_a_bar_is_refused() -> None:
    keep = {"least_length": "1 ft", "credit": {"price": "1.60", "length": "1 ft"}}
    # 7 ft × 1.60 = 11.20, below 11.48; 10 ft × 1.60 = 16.00, above 15.85.
    assert faults_of(ten_doors(keep_drops=keep)) == [
        (
            "/policy/keep_drops/credit",
            "credit-above-price",
            "Drops are credited at 1.60 for 12 in, which is 16.00 for a bar of SKU LS-Z-120, but "
            "a bar of it costs only 15.85; lower the credit, or it would pay to buy for the rack.",
        )
    ]
