"""The order of marks."""

from optimiser.units.natural_order import natural_key


def test_numbers_in_marks_are_compared_as_numbers() -> None:
    marks = ["D-10", "d-3", "W-1", "D-2", "D", "101", "D-02", "D-2a", "99", "D-1-10", "D-1-9"]
    assert sorted(marks, key=natural_key) == [
        "99", "101", "D", "D-1-9", "D-1-10", "D-02", "D-2", "D-2a", "d-3", "D-10", "W-1",
    ]  # fmt: skip


def test_marks_that_differ_have_keys_that_differ() -> None:
    marks = ["D-2", "D-02", "d-2", "D-2 ", "", "0", "00"]
    assert len({natural_key(mark) for mark in marks}) == len(marks)


def test_a_mark_of_thousands_of_digits_is_compared() -> None:
    assert natural_key("9" * 5000) < natural_key("1" + "0" * 5000)
