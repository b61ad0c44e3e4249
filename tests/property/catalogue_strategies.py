"""Catalogues of the wire as strategies: every list, every term, texts that tables stumble over."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from service.wire.catalogue import Catalogue

Draw = Callable[[st.SearchStrategy[Any]], Any]

AWKWARD = ("=1+1", "+1", "-2 in", "@SUM(A1)", "'quoted'", "''", "＝1", "_x0041_", "_x005F_x0041_",
           "\ufffe", "#N/A", "TRUE", "3-6", "0084", "1e5", "1,234", "a;b", 'x"y', "3'-0\"",
           "\u00a0x\u00a0", "½ zinc", "nan", "\ufeffx", "a\u2028b", "😀", "%", "5 %")  # fmt: skip


_CHARACTERS = st.characters(exclude_categories=["Cs", "Cc"])
NAMES = st.one_of(
    st.sampled_from(AWKWARD),
    st.text(_CHARACTERS, min_size=1, max_size=20).filter(
        lambda text: text[0] != " " and text[-1] != " "
    ),
)
SKUS = st.from_regex(r"[A-Za-z0-9]([A-Za-z0-9 ._/+#-]{0,10}[A-Za-z0-9._/+#-])?", fullmatch=True)
MONEY = st.from_regex(r"(0|[1-9][0-9]{0,8})(\.[0-9]{1,6})?", fullmatch=True).filter(str.isascii)
UNITS = st.integers(1, 1_000_000)
ANY_TEXTS = st.one_of(
    st.sampled_from((*AWKWARD, " ", " 36 in ", "36", "36.50", "-5", "0" * 40 + "1")),
    st.text(_CHARACTERS, min_size=1, max_size=64),
)
NUMBERS = st.one_of(
    st.integers(1, 100_000),
    st.decimals(Decimal("0.000001"), 100_000, places=6).filter(lambda d: d > 0),
)
LONG_NUMBERS = st.builds(
    lambda digits, places: Decimal(digits).scaleb(-places),
    st.integers(10**15, 10**40),
    st.integers(12, 60),
).filter(lambda value: value <= 100_000)
"""Numbers of more digits than a spreadsheet keeps."""
LENGTHS = st.one_of(
    st.sampled_from(("7 ft", "84 in", "36 1/2 in", "3'-0\"", "914.4 mm", "  12 ft", "36", "2 m")),
    st.integers(1, 1_000),
    st.integers(1, 4_000).map(lambda eighths: Decimal(eighths) / 8),
)
WEIGHTS = st.sampled_from(("1 lb", "1 lb 2 oz", "250 g", "2.6 oz", "1/2 kg", " 3 oz"))


def _percents(most: int) -> st.SearchStrategy[Any]:
    return st.one_of(
        st.from_regex(r"[0-9]{1,2}(\.[0-9]{1,6})?", fullmatch=True).filter(str.isascii),
        st.integers(0, most),
        st.decimals(0, most, places=3).map(_as_json),
    )


def _as_json(value: Decimal) -> int | Decimal:
    whole = value.to_integral_value()
    return int(whole) if whole == value else value


COUNTS_PER_WEIGHT = st.one_of(
    st.from_regex(r"[1-9][0-9]{0,5}(\.[0-9]{1,6})?", fullmatch=True).filter(str.isascii),
    st.integers(1, 10**9),
    LONG_NUMBERS.filter(lambda value: 0 < value < 10**9),
)


@st.composite
def catalogues(draw: Any, *, readable: bool) -> Catalogue:
    """Return catalogues of the wire; `readable` ones are such that an order would take them."""
    lengths = LENGTHS if readable else st.one_of(NUMBERS, ANY_TEXTS, LENGTHS, LONG_NUMBERS)
    weights = WEIGHTS if readable else ANY_TEXTS
    skus = iter(draw(st.lists(SKUS, min_size=12, max_size=12, unique=True)))
    terms = _Terms(draw, lengths, weights, readable)
    freight = draw(st.sampled_from((None, "weight", "value")))
    heavy = freight == "weight"
    raw: dict[str, Any] = {
        "supplier": draw(NAMES),
        "currency": draw(st.sampled_from(("USD", "EUR", "JPY"))),
        "stock_lengths": [
            {
                **terms.article(next(skus)),
                "length": draw(lengths),
                "price": draw(MONEY),
                "bars_per_unit": draw(UNITS),
                **terms.sale(heavy),
            }
            for _ in range(draw(st.integers(0, 3)))
        ],
        "kits": [terms.kit(next(skus), heavy) for _ in range(draw(st.integers(0, 3)))],
        "fastener_packs": [
            {
                "sku": next(skus),
                "fastener": draw(NAMES),
                "finish": draw(st.none() | NAMES),
                "contents": terms.contents(),
                "price": draw(MONEY),
                **terms.sale(heavy),
            }
            for _ in range(draw(st.integers(0, 3)))
        ],
        "standard_kits": [
            terms.standard_kit(next(skus), heavy) for _ in range(draw(st.integers(0, 3)))
        ],
        "least_order": draw(MONEY),
    }
    if freight:
        raw["freight"] = terms.freight(freight)
    return Catalogue.model_validate(raw)


class _Terms:
    """Draws the terms of articles."""

    def __init__(self, draw: Draw, lengths: Any, weights: Any, readable: bool) -> None:
        self._draw = draw
        self._lengths = lengths
        self._weights = weights
        self._readable = readable

    def article(self, sku: str) -> dict[str, Any]:
        return {"sku": sku, "product": self._draw(NAMES), "finish": self._draw(NAMES)}

    def sale(self, heavy: bool) -> dict[str, Any]:
        draw = self._draw
        return {
            "sold_in_multiples_of": draw(st.integers(1, 12)),
            "least_quantity": draw(st.integers(1, 24)),
            "available": draw(st.sampled_from((None, 0, 500))),
            "break_kind": draw(st.sampled_from(("all-units", "incremental"))),
            "breaks": [
                {"from_quantity": quantity, "price": draw(MONEY)} for quantity in self._steps()
            ],
            "unit_weight": draw(self._weights if heavy else st.none() | self._weights),
        }

    def _steps(self) -> list[int]:
        drawn = self._draw(st.lists(st.integers(2, 1_000_000), max_size=3, unique=self._readable))
        return sorted(drawn) if self._readable else drawn

    def contents(self) -> dict[str, Any]:
        draw = self._draw
        tolerance = {"tolerance_percent": "0" if self._readable else draw(_percents(99))}
        if draw(st.booleans()):
            return {"count": draw(st.integers(1, 10**9)), **tolerance}
        return {
            "count_per_weight": "1040" if self._readable else draw(COUNTS_PER_WEIGHT),
            "weight": "1 lb" if self._readable else draw(self._weights),
            "pack_weight": "1 oz" if self._readable else draw(self._weights),
            **tolerance,
        }

    def kit(self, sku: str, heavy: bool) -> dict[str, Any]:
        draw = self._draw
        with_fasteners = draw(st.booleans())
        return {
            **self.article(sku),
            "price": {
                "base": draw(MONEY),
                "per_length": draw(
                    st.none() | st.fixed_dictionaries({"price": MONEY, "length": self._lengths})
                ),
                "per_piece": draw(MONEY),
                "per_pack": draw(MONEY) if with_fasteners else "0",
            },
            "fasteners": {
                "fastener": draw(NAMES),
                "spacing": draw(self._lengths),
                "contents": self.contents(),
                "rounding": draw(st.sampled_from(("up", "down", "nearest"))),
            }
            if with_fasteners
            else None,
            "longest_piece": draw(st.none() | self._lengths),
            "least_quantity": draw(st.integers(1, 9)),
            "available": draw(st.sampled_from((None, 0, 500))),
            "discounts": [
                {"from_quantity": quantity, "percent": draw(_percents(100))}
                for quantity in self._steps()
            ],
            "weight": {"weight": draw(self._weights), "length": draw(self._lengths)}
            if heavy or draw(st.booleans())
            else None,
        }

    def standard_kit(self, sku: str, heavy: bool) -> dict[str, Any]:
        draw = self._draw
        return {
            **self.article(sku),
            "lengths": [
                {"length": draw(self._lengths), "count": draw(st.integers(1, 1_000))}
                for _ in range(draw(st.integers(1, 3)))
            ],
            "price": draw(MONEY),
            "fasteners": {
                "fastener": draw(NAMES),
                "contents": self.contents(),
                "packs": draw(st.integers(1, 1_000)),
            }
            if draw(st.booleans())
            else None,
            **self.sale(heavy),
        }

    def freight(self, basis: str) -> dict[str, Any]:
        draw = self._draw
        if basis == "weight":
            starts = (
                ("0 lb", "10 lb", "40 lb")
                if self._readable
                else draw(st.lists(self._weights, min_size=1, max_size=3))
            )
        else:
            starts = (
                ("0", "100.50") if self._readable else draw(st.lists(MONEY, min_size=1, max_size=3))
            )
        over = ("8 ft", 4_000) if self._readable else draw(st.lists(self._lengths, max_size=3))
        return {
            "basis": basis,
            "tiers": [{f"from_{basis}": start, "charge": draw(MONEY)} for start in starts],
            "over_length": [{"longer_than": limit, "surcharge": draw(MONEY)} for limit in over],
            "free_from": draw(st.none() | MONEY),
        }
