"""The query parameters of an operation, as the OpenAPI document describes them."""

from typing import Any

from service.operation import DEFAULT_LIMIT, MOST_LIMIT, Contract
from service.wire.base import WireModel

Json = dict[str, Any]

REFERENCE = "#/components/schemas/{model}"
"""Where the document has the schema of a model."""


def describe_query(contract: Contract) -> list[Json]:
    """Return the query parameters of an operation."""
    parameters = _describe_list(contract) if contract.sortable else []
    return parameters + (_describe_members(contract.query) if contract.query else [])


def _describe_list(contract: Contract) -> list[Json]:
    """Return the query parameters of a list in pages."""
    sorts = [way + column for column in contract.sortable for way in ("", "-")]
    parameters: list[tuple[str, str, Json]] = [
        (
            "limit",
            "How many entries.",
            {"type": "integer", "minimum": 1, "maximum": MOST_LIMIT, "default": DEFAULT_LIMIT},
        ),
        ("cursor", "Where to go on, as the link to the next page has it.", {"type": "string"}),
        ("sort", "What to sort by; a dash is for the other way round.", {"enum": sorts}),
        *((name, f.description, f.schema) for name, f in contract.filters.items()),
    ]
    return [
        {"name": name, "in": "query", "description": description, "schema": schema}
        for name, description, schema in parameters
    ]


def _describe_members(model: type[WireModel]) -> list[Json]:
    """Return the members of a model as query parameters.

    Null is said by leaving one out. A default is told in words: stated in the schema, it would be
    sent by generated clients, also where the parameter has no place.
    """
    schema = model.model_json_schema(ref_template=REFERENCE)
    required = schema.get("required", ())
    parameters = []
    for name, member in schema["properties"].items():
        options = [part for part in member.get("anyOf", ()) if part != {"type": "null"}]
        kept = {key: part for key, part in member.items() if key not in _OF_THE_PARAMETER}
        if options:
            (option,) = options
            kept = {**kept, **option}
        description = member["description"].replace("Null:", "Left out:")
        if default := member.get("default"):
            description += f" Left out: {default}."
        parameters.append(
            {
                "name": name,
                "in": "query",
                "description": description,
                **({"required": True} if name in required else {}),
                "schema": kept,
            }
        )
    return parameters


_OF_THE_PARAMETER = frozenset({"anyOf", "default", "description", "title"})
