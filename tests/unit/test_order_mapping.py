"""Orders of the wire read into those of the domain."""

import json
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.opening import Opening, OpeningKind
from optimiser.domain.order import Order, Policy
from service.mapping.faults import name_place, settle_path
from service.mapping.reading import read_order
from service.problems import write_pointer
from service.wire.order import Order as WireOrder
from service.wire.order import TakeoffOrder
from tests.harbour_row import Wire, ten_doors


def read(order: Wire) -> Order:
    return read_order(json.dumps(order).encode(), WireOrder)


def test_an_empty_policy_is_the_policy_of_the_library() -> None:
    assert read(ten_doors()).policy == Policy()


def test_an_opening_that_states_the_least_is_that_of_the_library() -> None:
    order = {
        "openings": [
            {"mark": "D-1", "kind": "single-door", "size": "36 x 80", "finish": "zinc"},
        ]
    }
    opening = read_order(json.dumps(order).encode(), TakeoffOrder).openings[0]
    # 1 in is 25,400,000 nm exactly.
    assert opening == Opening(
        mark="D-1",
        kind=OpeningKind.SINGLE_DOOR,
        width_nm=914_400_000,
        height_nm=2_032_000_000,
        finish="zinc",
    )


def test_contents_by_weight_are_an_exact_fraction() -> None:
    order = ten_doors()
    contents = {"count_per_weight": "1040", "weight": "1 lb", "pack_weight": "1 oz"}
    order["catalogues"][0]["fastener_packs"][0]["contents"] = contents
    pack = read(order).catalogues[0].fastener_packs[0]
    assert pack.contents.nominal == 65
    order["catalogues"][0]["fastener_packs"][0]["contents"] = {**contents, "pack_weight": "100 g"}
    # 1,040 × 100 ÷ 453.59237.
    nominal = read(order).catalogues[0].fastener_packs[0].contents.nominal
    assert nominal == Fraction(104_000) / Fraction("453.59237")


def test_prices_and_percentages_are_exact() -> None:
    order = ten_doors(fastener_allowance_percent=7.3)
    order["catalogues"][0]["fastener_packs"][0]["price"] = "2.850001"
    taken = read(order)
    assert taken.policy.fastener_allowance_percent == Decimal("7.3")
    assert taken.catalogues[0].fastener_packs[0].price == Decimal("2.850001")


def test_lengths_in_mixed_units_are_the_same_length() -> None:
    lengths = set()
    for width in (36, 36.0, "36", "36 in", "3 ft", "3'-0\"", "914.4 mm", "0.9144 m"):
        order = ten_doors()
        order["openings"][0]["size"] = {"width": width, "height": 80}
        lengths.add(read(order).openings[0].width_nm)
    assert lengths == {914_400_000}


def test_a_bare_number_is_in_the_unit_of_the_order() -> None:
    order = ten_doors()
    order["unit"] = "mm"
    order["openings"][0]["size"] = {"width": 914.4, "height": "2032"}
    opening = read(order).openings[0]
    assert (opening.width_nm, opening.height_nm) == (914_400_000, 2_032_000_000)


def test_a_pointer_escapes_tilde_and_slash() -> None:
    # RFC 6901, section 3.
    assert write_pointer(("a/b", "m~n", 0)) == "/a~1b/m~0n/0"
    assert write_pointer(()) == ""


def test_a_path_ends_where_its_value_has_no_members() -> None:
    raw = {"openings": [{"size": "3068"}]}
    assert settle_path(("openings", 0, "size", "width"), raw) == ("openings", 0, "size")
    assert settle_path(("openings", 0, "mark"), raw) == ("openings", 0, "mark")
    assert settle_path(("openings", 4, "mark"), raw) == ("openings",)


def test_a_place_is_named_in_the_words_of_the_reader() -> None:
    raw = {
        "openings": [{"mark": "D-14"}, {}],
        "catalogues": [{"kits": [{"sku": "LK-Z"}, {"sku": 5}]}],
    }
    assert name_place(("openings", 0, "size", "width"), raw) == "Opening D-14, size.width"
    assert name_place(("openings", 1, "kind"), raw) == "Opening number 2, kind"
    assert name_place(("catalogues", 0, "kits", 0, "price"), raw) == "SKU LK-Z, price"
    assert name_place(("catalogues", 0, "kits", 1, "sku"), raw) == "Kits, number 2, sku"
    assert name_place(("policy", "kerf"), raw) == "policy.kerf"
    assert name_place((), raw) == "The order"
