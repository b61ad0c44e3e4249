"""The exported OpenAPI document: valid, the same as the code, strict, and with sound examples."""

import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from openapi_spec_validator import validate

from service.app import HANDLERS
from service.contract import CONTRACT_VERSION, build_document
from service.problems import PROBLEM_KINDS

FOLDER = Path(__file__).parents[2] / "openapi"
EXPORTED: dict[str, Any] = json.loads((FOLDER / "openapi.json").read_text(encoding="utf-8"))
SCHEMAS: dict[str, Any] = EXPORTED["components"]["schemas"]
OPERATIONS = [
    (f"{method.upper()} {path}", operation)
    for path, item in EXPORTED["paths"].items()
    for method, operation in item.items()
]


def validator_for(schema: Any) -> Draft202012Validator:
    """Return a validator by an independent implementation, with the components to refer to."""
    return Draft202012Validator({**schema, "components": EXPORTED["components"]})


def schemas_within(schema: Any, place: str) -> Iterator[tuple[str, dict[str, Any]]]:
    if isinstance(schema, list):
        for position, part in enumerate(schema):
            yield from schemas_within(part, f"{place}/{position}")
    elif isinstance(schema, dict):
        yield place, schema
        for key, part in schema.items():
            if key not in {"examples", "default", "const", "enum"}:
                yield from schemas_within(part, f"{place}/{key}")


EVERY_SCHEMA = [
    (place, schema)
    for name, component in SCHEMAS.items()
    for place, schema in schemas_within(component, name)
]


def test_the_exported_document_is_that_of_the_code() -> None:
    assert build_document(HANDLERS, FOLDER / "examples") == EXPORTED


def test_the_document_is_sound_openapi_3_1() -> None:
    assert EXPORTED["openapi"].startswith("3.1.")
    validate(EXPORTED)


def test_every_schema_is_a_sound_json_schema() -> None:
    for component in SCHEMAS.values():
        Draft202012Validator.check_schema(component)


def test_the_changelog_tells_of_the_version() -> None:
    changelog = (FOLDER / "CHANGELOG.md").read_text(encoding="utf-8")
    assert f"\n## {CONTRACT_VERSION}" in changelog


@pytest.mark.parametrize(("name", "operation"), OPERATIONS)
def test_every_operation_declares_its_problems(name: str, operation: dict[str, Any]) -> None:
    operation = copy.deepcopy(operation)
    statuses = {good_status(operation), "400", "406", "500"}
    if "requestBody" in operation:
        statuses |= {"413", "415", "422"}
    assert statuses <= operation["responses"].keys()
    for status, answer in operation["responses"].items():
        if status[0] != "2":
            assert answer["content"].pop("application/problem+json") == {
                "schema": {"$ref": "#/components/schemas/Problem"}
            }
            # A refused schedule is a report, for who asks for text.
            told_in_text = (name, status) == ("POST /v1/schedules", "422")
            text = {"text/plain": {"schema": {"type": "string"}}}
            assert answer["content"] == (text if told_in_text else {})
        assert "X-Request-ID" in answer["headers"]


@pytest.mark.parametrize(("name", "operation"), OPERATIONS)
def test_every_operation_is_described(name: str, operation: dict[str, Any]) -> None:
    assert re.fullmatch(r"[a-z][A-Za-z]+", operation["operationId"])
    assert operation["summary"]
    assert len(operation["description"]) > len(operation["summary"])
    assert operation["tags"]


def test_operations_have_names_of_their_own() -> None:
    names = [operation["operationId"] for _, operation in OPERATIONS]
    assert len(names) == len(set(names))


def test_objects_take_no_members_beyond_those_named() -> None:
    open_objects = [
        place
        for place, schema in EVERY_SCHEMA
        if schema.get("type") == "object"
        and "properties" in schema
        and schema.get("additionalProperties") is not False
    ]
    assert open_objects == []


def test_every_object_is_described() -> None:
    bare = [
        name
        for name, schema in SCHEMAS.items()
        if "properties" in schema and not schema.get("description")
    ]
    assert bare == []


def test_alternatives_are_told_apart_by_a_discriminator() -> None:
    for name, member in (("Reason", "code"), ("Notice", "code"), ("PurchaseLine", "kind")):
        discriminator = SCHEMAS[name]["discriminator"]
        assert discriminator["propertyName"] == member
        assert len(discriminator["mapping"]) == len(SCHEMAS[name]["oneOf"])


def test_money_is_a_decimal_text_with_a_pattern() -> None:
    money = validator_for({"$ref": "#/components/schemas/Money"})
    for sound in ("0", "12.40", "0.065", "999999999.999999"):
        assert money.is_valid(sound), sound
    for unsound in (12.4, "-1", "1,000", "01", "1.", ".5", "1e3", "", "0.0000001"):
        assert not money.is_valid(unsound), unsound


def test_limits_are_in_the_schema() -> None:
    assert SCHEMAS["Order"]["properties"]["openings"]["maxItems"] == 50_000
    assert SCHEMAS["Opening"]["properties"]["quantity"]["maximum"] == 50_000
    assert SCHEMAS["TimeLimit"]["minimum"] == 0.1
    assert SCHEMAS["TimeLimit"]["maximum"] == 300


@pytest.mark.parametrize(
    ("place", "schema"),
    [(p, s) for p, s in EVERY_SCHEMA if isinstance(s.get("examples"), list)],
)
def test_examples_of_a_schema_conform_to_it(place: str, schema: dict[str, Any]) -> None:
    for example in schema["examples"]:
        validator_for(schema).validate(example)


@pytest.mark.parametrize(("place", "schema"), [(p, s) for p, s in EVERY_SCHEMA if "default" in s])
def test_defaults_conform_to_their_schema(place: str, schema: dict[str, Any]) -> None:
    validator_for(schema).validate(schema["default"])


def good_status(operation: dict[str, Any]) -> str:
    """Return the status of an answer that is no problem."""
    return next(str(status) for status in operation["responses"] if status[0] == "2")


BODIES = [
    (f"{name} {what} {media_type} {example}", body["schema"], shown["value"])
    for name, operation in OPERATIONS
    for what, content in (
        ("request", operation.get("requestBody", {}).get("content", {})),
        ("answer", operation["responses"][good_status(operation)]["content"]),
    )
    for media_type, body in content.items()
    for example, shown in body.get("examples", {}).items()
]


@pytest.mark.parametrize(("name", "schema", "value"), BODIES, ids=[name for name, _, _ in BODIES])
def test_examples_of_bodies_conform_to_their_schema(
    name: str, schema: dict[str, Any], value: Any
) -> None:
    validator_for(schema).validate(value)


def test_every_order_has_an_example_and_so_has_its_answer() -> None:
    shown = {name.rpartition(" ")[0] for name, _, _ in BODIES}
    for path in (
        "/v1/plans",
        "/v1/takeoffs",
        "/v1/bench-sheets",
        "/v1/install-sheets",
        "/v1/measurement-sheets",
        "/v1/reading-checks",
        "/v1/fits",
        "/v1/pack-calibrations",
    ):
        for what in ("request application/json", "answer application/json", "answer text/plain"):
            assert f"POST {path} {what}" in shown


def test_problems_have_codes_of_their_own() -> None:
    codes = [kind.code for kind in PROBLEM_KINDS]
    assert len(codes) == len(set(codes))
    described = json.dumps(EXPORTED["paths"])
    undeclared = {code for code in codes if f"{code}:" not in described}
    # No operation is at fault for an address or a method that does not exist.
    assert undeclared <= {"method-not-allowed"}
