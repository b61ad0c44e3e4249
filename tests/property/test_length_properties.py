"""What holds for every length, money and door size."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.units.counts import fasteners_by_running_length, fasteners_per_piece
from optimiser.units.door_sizes import parse_door_size
from optimiser.units.faults import DoorSizeError, LengthError, MassError
from optimiser.units.lengths import (
    LONGEST_LENGTH_NM,
    NM_PER_INCH,
    LengthUnit,
    divide_up,
    format_length,
    parse_length,
)
from optimiser.units.masses import parse_mass
from optimiser.units.money import format_money, round_to_minor
from optimiser.units.natural_order import natural_key

fixed = settings(derandomize=True, deadline=None, max_examples=300)

units = st.sampled_from(LengthUnit)
lengths_nm = st.one_of(
    st.integers(0, LONGEST_LENGTH_NM),
    st.integers(0, 3900 * 64).map(lambda n: n * NM_PER_INCH // 64),
    st.integers(0, 99_000).map(lambda n: n * 1_000_000),
)
positive_nm = st.integers(1, LONGEST_LENGTH_NM)
# Text near to lengths: what the trade writes, in any order.
scribbles = st.text(alphabet="0123456789./-'\" xinftmc½′″×\0, ", max_size=20)


class TestLengthsAsText:
    @fixed
    @given(lengths_nm, units, units)
    def test_a_length_that_is_written_is_read_back_the_same(
        self, length_nm: int, written_in: LengthUnit, read_in: LengthUnit
    ) -> None:
        assert parse_length(format_length(length_nm, written_in), read_in) == length_nm

    @fixed
    @given(st.integers(0, 300), st.integers(0, 12 * 64 - 1), units)
    def test_feet_and_inches_are_read_as_their_sum(
        self, feet: int, in_64ths: int, unit: LengthUnit
    ) -> None:
        whole, rest = divmod(in_64ths, 64)
        text = f"{feet}'-{whole} {rest}/64\""
        expected = (feet * 12 * 64 + in_64ths) * NM_PER_INCH // 64
        assert parse_length(text, unit) == expected

    @fixed
    @given(st.decimals(0, 3000, places=5), units)
    def test_a_bare_decimal_and_its_text_are_the_same_length(
        self, value: Decimal, unit: LengthUnit
    ) -> None:
        assert parse_length(value, unit) == parse_length(f"{value:f}", unit)
        assert parse_length(value, unit) == parse_length(f"{value:f} {unit}", unit)

    @settings(fixed, max_examples=1000)
    @given(st.one_of(scribbles, st.text(max_size=80)), units)
    def test_any_text_is_read_or_refused_in_words(self, text: str, unit: LengthUnit) -> None:
        try:
            assert 0 <= parse_length(text, unit) <= LONGEST_LENGTH_NM
        except LengthError as error:
            assert str(error) == f"{error.value} {error.problem}; {error.remedy}."
            assert str(error).isprintable()

    @fixed
    @given(st.one_of(st.integers(), st.decimals()), units)
    def test_any_number_is_read_exactly_or_refused(
        self, value: int | Decimal, unit: LengthUnit
    ) -> None:
        try:
            length_nm = parse_length(value, unit)
        except LengthError:
            return
        per_unit = NM_PER_INCH if unit is LengthUnit.INCH else 1_000_000
        assert length_nm == Fraction(value) * per_unit

    @settings(fixed, max_examples=1000)
    @given(st.one_of(scribbles, st.text(max_size=80)), units)
    def test_any_text_is_a_size_or_refused_in_words(self, text: str, unit: LengthUnit) -> None:
        try:
            size = parse_door_size(text, unit)
            assert size.width_nm > 0 and size.height_nm > 0
        except DoorSizeError as error:
            assert str(error).isprintable()

    @fixed
    @given(st.one_of(scribbles, st.text(max_size=80)))
    def test_any_text_is_a_mass_or_refused_in_words(self, text: str) -> None:
        try:
            assert parse_mass(text) > 0
        except MassError as error:
            assert str(error).isprintable()


class TestDoorSizes:
    @fixed
    @given(
        st.integers(1, 9),
        st.integers(0, 11),
        st.integers(1, 9),
        st.integers(0, 11),
        st.sampled_from(
            ["{}-{} x {}-{}", "{}/{} {}/{}", "{}'{}\" x {}'{}\"", "{}'-{}\" × {}'-{}\""]
        ),
        units,
    )
    def test_every_form_gives_the_feet_and_inches_that_were_put_in(
        self, wide: int, inches: int, high: int, rest: int, form: str, unit: LengthUnit
    ) -> None:
        size = parse_door_size(form.format(wide, inches, high, rest), unit)
        assert size.width_nm == (12 * wide + inches) * NM_PER_INCH
        assert size.height_nm == (12 * high + rest) * NM_PER_INCH

    @fixed
    @given(st.integers(1, 9), st.integers(0, 11), st.integers(1, 9), st.integers(0, 11))
    def test_digits_give_what_was_put_in_or_are_refused_as_ambiguous(
        self, wide: int, inches: int, high: int, rest: int
    ) -> None:
        try:
            size = parse_door_size(f"{wide}{inches}{high}{rest}", LengthUnit.INCH)
        except DoorSizeError as error:
            assert "can be read as" in str(error)
            return
        assert size.width_nm == (12 * wide + inches) * NM_PER_INCH
        assert size.height_nm == (12 * high + rest) * NM_PER_INCH


class TestRounding:
    @fixed
    @given(st.integers(0, LONGEST_LENGTH_NM), st.integers(1, 12))
    def test_divided_pieces_are_never_short_and_never_a_nanometre_too_long(
        self, length_nm: int, parts: int
    ) -> None:
        piece_nm = divide_up(length_nm, parts)
        assert piece_nm * parts >= length_nm > (piece_nm - 1) * parts

    @fixed
    @given(positive_nm, positive_nm)
    def test_fasteners_by_running_length_are_just_enough(
        self, length_nm: int, spacing_nm: int
    ) -> None:
        count = fasteners_by_running_length(length_nm, spacing_nm)
        assert count * spacing_nm >= length_nm > (count - 1) * spacing_nm

    @fixed
    @given(positive_nm, positive_nm, st.integers(0, 10**9))
    def test_fasteners_of_a_piece_stand_no_further_apart_than_the_spacing(
        self, length_nm: int, spacing_nm: int, end_distance_nm: int
    ) -> None:
        gaps = fasteners_per_piece(length_nm, spacing_nm, end_distance_nm) - 1
        between_nm = length_nm - 2 * end_distance_nm
        assert gaps >= 1
        assert gaps * spacing_nm >= between_nm
        assert gaps == 1 or (gaps - 1) * spacing_nm < between_nm

    @fixed
    @given(st.fractions(0, 10**12), st.sampled_from(["USD", "JPY", "KWD"]))
    def test_price_is_rounded_by_at_most_half_a_minor_unit_and_then_up(
        self, amount: Fraction, currency: str
    ) -> None:
        rounded = round_to_minor(amount, currency)
        digits = -rounded.as_tuple().exponent  # type: ignore[operator]
        half = Fraction(1, 2 * 10**digits)
        assert -half < Fraction(rounded) - amount <= half

    @fixed
    @given(st.decimals(0, 10**9, places=6), st.sampled_from(["USD", "JPY", "KWD"]))
    def test_money_as_text_loses_nothing(self, amount: Decimal, currency: str) -> None:
        text = format_money(amount, currency)
        assert Decimal(text.removeprefix(f"{currency} ").replace(",", "")) == amount


class TestNaturalOrder:
    @fixed
    @given(st.lists(st.text(alphabet="dD-0129a ", max_size=6), unique=True))
    def test_any_marks_can_be_put_in_one_order(self, marks: list[str]) -> None:
        in_order = sorted(marks, key=natural_key)
        marks.reverse()
        assert sorted(marks, key=natural_key) == in_order

    @fixed
    @given(st.integers(0, 10**6), st.integers(0, 10**6))
    def test_numbers_in_marks_sort_as_numbers(self, one: int, other: int) -> None:
        in_order = natural_key(f"D-{one}") < natural_key(f"D-{other}")
        assert in_order is (one < other)
