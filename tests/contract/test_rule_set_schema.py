"""The exported JSON Schema of a rule set: that of the code, and true of every rule set there is."""

import copy
import json
import tomllib
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from service.contract import build_rule_set_schema
from service.export import documents_of, find_differing
from service.mapping.validation import validate
from service.wire.rule_set_document import RuleSetDocument

FOLDER = Path(__file__).parents[2] / "openapi"
SCHEMA: dict[str, Any] = json.loads((FOLDER / "rule-set.schema.json").read_text(encoding="utf-8"))
BUILT_IN = {
    file.name: tomllib.loads(file.read_text(encoding="utf-8"))
    for file in files("optimiser.rule_sets").iterdir()
    if file.name.endswith(".toml")
}
OWN = tomllib.loads((FOLDER / "examples" / "harbour-row-strip.toml").read_text(encoding="utf-8"))


def test_the_exported_schema_is_that_of_the_code() -> None:
    assert build_rule_set_schema() == SCHEMA
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(SCHEMA)


def test_seven_rule_sets_come_with_the_package() -> None:
    assert sorted(BUILT_IN) == [
        "cushion-strip.toml",
        "double-hung-set.toml",
        "interlocking-strip.toml",
        "perimeter-gasket.toml",
        "spring-metal.toml",
        "sweep.toml",
        "threshold.toml",
    ]


@pytest.mark.parametrize("name", sorted(BUILT_IN))
def test_a_built_in_rule_set_conforms_to_the_schema(name: str) -> None:
    Draft202012Validator(SCHEMA).validate(BUILT_IN[name])
    assert isinstance(validate(RuleSetDocument, BUILT_IN[name]), RuleSetDocument)


def test_the_example_file_is_the_rule_set_of_the_example_order() -> None:
    order = json.loads((FOLDER / "examples" / "own-rule-set.json").read_text(encoding="utf-8"))
    assert order["rule_sets"] == [OWN]
    Draft202012Validator(SCHEMA).validate(OWN)


@pytest.mark.parametrize(
    "change",
    [
        {"source": ""},
        {"rules": []},
        {"colour": "red"},
        {"id": "harbour row"},
        {"spacing": {"length": 2, "statement": "Two.", "source": "invented"}},
        {"rules": [OWN["rules"][0] | {"edge": "top"}]},
        {"rules": [OWN["rules"][0] | {"length": {"of": "opening-width", "times": 2}}]},
        {"rules": [OWN["rules"][0] | {"when": {"threshold": "oak"}}]},
        {"rules": [OWN["rules"][0] | {"pieces": 0}]},
    ],
)
def test_schema_and_service_refuse_the_same_forms(change: dict[str, Any]) -> None:
    wrong = copy.deepcopy(OWN) | change
    assert not Draft202012Validator(SCHEMA).is_valid(wrong)
    assert isinstance(validate(RuleSetDocument, wrong), list)


def test_an_option_of_a_condition_may_be_one_value_or_several() -> None:
    for stated in ("plain", ["plain", "interlocking"]):
        rule = OWN["rules"][0] | {"when": {"threshold": stated}}
        changed = copy.deepcopy(OWN) | {"rules": [rule]}
        Draft202012Validator(SCHEMA).validate(changed)
        assert isinstance(validate(RuleSetDocument, changed), RuleSetDocument)


def test_a_schema_that_differs_from_the_code_is_drift(tmp_path: Path) -> None:
    examples = tmp_path / "examples"
    examples.mkdir()
    for file in (FOLDER / "examples").iterdir():
        (examples / file.name).write_bytes(file.read_bytes())
    for name in ("openapi.json", "rule-set.schema.json"):
        (tmp_path / name).write_bytes((FOLDER / name).read_bytes())
    assert find_differing(documents_of(tmp_path)) == []
    (tmp_path / "rule-set.schema.json").write_text("{}\n", encoding="utf-8")
    assert find_differing(documents_of(tmp_path)) == [tmp_path / "rule-set.schema.json"]
