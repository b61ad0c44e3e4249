"""Whatever a study asks is laid out, or refused with faults: nothing else comes of it."""

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.study import Point
from service.json_text import write_json
from service.problems import Problem
from service.studies.merge_patch import merge_patch
from service.studies.numbers import to_input, to_number_axis
from service.studies.pointer import evaluate, put, read_pointer, write_tokens
from service.studies.points import lay_out
from service.studies.reading import read_study
from tests.harbour_row import ten_doors

ORDER = ten_doors()


def places(value: Any, path: tuple[str, ...] = ()) -> list[str]:
    """Return the pointer of every value within one."""
    found = [write_tokens(path)]
    listed = dict(enumerate(value)) if isinstance(value, list) else value
    for name, part in listed.items() if isinstance(listed, dict) else ():
        found += places(part, (*path, str(name)))
    return found


NAMES = st.sampled_from(["policy", "openings", "rack", "catalogues", "unit", "a/b", "m~n", ""])
SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**30), 10**30),
    st.decimals(allow_nan=False, allow_infinity=False, places=12, min_value=-10, max_value=10**20),
    st.sampled_from(["2.40", "36 1/2 in", "", "Larkmoor", "0" * 40, "1e5"]),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(NAMES, inner, max_size=3)),
    max_leaves=6,
)
POINTERS = st.one_of(
    st.sampled_from(places(ORDER)),
    st.text("/~01a-", max_size=8),
    st.lists(NAMES, max_size=3).map(lambda tokens: write_tokens(tuple(tokens))),
)
NUMBERS = st.one_of(SCALARS, st.sampled_from([0, 1, 2, "0.50", "3.00"]))
STUDIES = st.fixed_dictionaries(
    {"order": st.just(ORDER)},
    optional={
        "scenarios": st.lists(
            st.fixed_dictionaries(
                {"name": st.sampled_from("abc")},
                optional={
                    "patch": st.dictionaries(NAMES, VALUES, max_size=2),
                    "values": st.dictionaries(POINTERS, VALUES, max_size=2),
                },
            ),
            max_size=2,
        ),
        "axes": st.lists(
            st.fixed_dictionaries(
                {"pointer": POINTERS},
                optional={
                    "values": st.lists(VALUES, min_size=1, max_size=3),
                    "range": st.fixed_dictionaries(
                        {"first": NUMBERS, "last": NUMBERS, "step": NUMBERS}
                    ),
                },
            ),
            max_size=2,
        ),
        "break_evens": st.lists(
            st.fixed_dictionaries({"pointer": POINTERS, "low": NUMBERS, "high": NUMBERS}),
            max_size=1,
        ),
        "ranking": st.lists(
            st.fixed_dictionaries({"pointer": POINTERS}, optional={"step": NUMBERS}), max_size=1
        ),
    },
)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(STUDIES)
def test_a_study_is_laid_out_or_refused_with_faults(asked: Any) -> None:
    try:
        study = read_study(write_json(asked).encode())
    except Problem as problem:
        assert problem.faults
        return
    points = [one.point for one in lay_out(study)]
    for number in study.break_evens:
        axis = to_number_axis(study, number)
        points += [axis.make(axis.low), axis.make(axis.value(axis.steps))]
    for moved in study.ranking:
        found = to_input(study, moved)
        points += [found.low, found.high]
    assert all(bool(point.faults) == (point.order is None) for point in points)
    assert all(isinstance(point, Point) for point in points)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(VALUES, VALUES)
def test_what_a_patch_leaves_alone_stays_and_null_never_comes_in(target: Any, patch: Any) -> None:
    kept = write_json(target)
    merged = merge_patch(target, patch)

    assert write_json(target) == kept
    assert merge_patch(merged, patch) == merged
    if isinstance(patch, dict) and isinstance(target, dict):
        assert all(merged[name] == target[name] for name in set(target) - set(patch))


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.sampled_from(places(ORDER)), VALUES)
def test_a_value_is_found_where_it_was_put(text: str, value: Any) -> None:
    pointer = read_pointer(text)

    assert evaluate(put(ORDER, pointer, value), pointer) == value


def test_numbers_of_many_digits_are_refused() -> None:
    spread = {"first": 0, "last": 10**40, "step": 1}
    body = {"order": ORDER, "axes": [{"pointer": "/policy/kerf", "range": spread}]}

    with pytest.raises(Problem) as refused:
        read_study(json.dumps(body).encode())

    assert [fault.code for fault in refused.value.faults] == ["mixed-range"]
