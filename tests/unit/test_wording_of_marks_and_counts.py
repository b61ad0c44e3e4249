"""Lists of marks and counted things as text."""

import pytest

from optimiser.domain.phrases import plural, with_article, write_count, write_marks


@pytest.mark.parametrize(
    ("marks", "text"),
    [
        ((), ""),
        (("D-1",), "D-1"),
        (("D-1", "D-2"), "D-1, D-2"),
        (("D-1", "D-2", "D-3"), "D-1 to D-3"),
        (("D-8", "D-9", "D-10"), "D-8 to D-10"),
        (("D-08", "D-09", "D-10"), "D-08 to D-10"),
        (("D-1", "D-2", "D-3", "W-1"), "D-1 to D-3, W-1"),
        (("D-1", "W-2", "D-3"), "D-1, W-2, D-3"),
        (("lobby", "office", "D-3"), "lobby, office, D-3"),
        (("D-099", "D-100", "D-101"), "D-099 to D-101"),
        (("D-1a", "D-2a", "D-3a"), "D-1a, D-2a, D-3a"),
    ],
)
def test_three_marks_in_a_row_become_a_range(marks: tuple[str, ...], text: str) -> None:
    assert write_marks(marks) == text


def test_a_long_list_is_cut_short_and_the_rest_counted() -> None:
    marks = tuple(f"D-{2 * number}" for number in range(1_500))
    assert write_marks(marks) == ("D-0, D-2, D-4, D-6, D-8, D-10, D-12, D-14 and 1,492 more")


@pytest.mark.parametrize(
    ("number", "noun", "text"),
    [(1, "nail", "1 nail"), (0, "nail", "0 nails"), (1040, "strip-nail", "1,040 strip-nails")],
)
def test_counts_agree_with_their_noun(number: int, noun: str, text: str) -> None:
    assert write_count(number, noun) == text


def test_a_noun_in_s_stays_as_it_is() -> None:
    assert plural("brads") == "brads"


@pytest.mark.parametrize(
    ("noun", "named"), [("awning-window", "an awning-window"), ("hopper-window", "a hopper-window")]
)
def test_a_noun_takes_the_article_of_its_first_letter(noun: str, named: str) -> None:
    assert with_article(noun) == named
