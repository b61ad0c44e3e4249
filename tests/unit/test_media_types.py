import pytest

from service.media_types import HTML, JSON, TEXT, choose_media_type
from service.problems import NOT_ACCEPTABLE, Problem

BOTH = (JSON, TEXT)


@pytest.mark.parametrize(
    ("accept", "chosen"),
    [
        (None, JSON),
        ("", JSON),
        ("*/*", JSON),
        ("application/json", JSON),
        ("text/plain", TEXT),
        ("text/*", TEXT),
        ("TEXT/PLAIN", TEXT),
        ("text/plain; charset=utf-8", TEXT),
        ("application/json;q=0.5, text/plain", TEXT),
        ("application/json;q=0.5, text/plain;q=0.4", JSON),
        ("text/plain;q=0.9, */*;q=0.1", TEXT),
        ("application/json;q=0, */*", TEXT),
        ("image/png, */*;q=0.1", JSON),
        ("text/plain;q=inf", TEXT),
        ("text/plain;q=0.5, application/json;q=nonsense", TEXT),
        ("text/plain, application/json;q=nan", TEXT),
    ],
)
def test_the_preferred_media_type_is_chosen(accept: str | None, chosen: str) -> None:
    assert choose_media_type(accept, BOTH) == chosen


@pytest.mark.parametrize("accept", ["image/png", "*/*;q=0", "text/plain;q=0", "text", ",;="])
def test_nothing_acceptable_is_a_problem_that_lists_what_there_is(accept: str) -> None:
    with pytest.raises(Problem) as raised:
        choose_media_type(accept, BOTH)
    assert raised.value.kind is NOT_ACCEPTABLE
    assert raised.value.detail == (
        "The answer comes as application/json or text/plain; accept one of them."
    )


def test_a_browser_gets_a_page() -> None:
    accept = "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"
    assert choose_media_type(accept, (JSON, HTML)) == HTML
