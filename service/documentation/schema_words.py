"""Schemas of the OpenAPI document in words: types, limits, defaults, examples."""

import json
from html import escape
from typing import Any

Json = dict[str, Any]

_REFERENCE = "#/components/schemas/"
_PLAIN = {"string": "text", "integer": "whole number", "boolean": "true or false"}


def write_type(schema: Json) -> str:
    """Return the type of a schema as HTML, with links to the objects that it names."""
    if "$ref" in schema:
        name = schema["$ref"].removeprefix(_REFERENCE)
        return f'<a href="#{anchor(name)}">{escape(name)}</a>'
    for key in ("anyOf", "oneOf"):
        if key in schema:
            return " or ".join(dict.fromkeys(write_type(option) for option in schema[key]))
    if "const" in schema:
        return f"<code>{escape(json.dumps(schema['const']))}</code>"
    if "enum" in schema:
        return " or ".join(f"<code>{escape(json.dumps(value))}</code>" for value in schema["enum"])
    kind = str(schema.get("type", "any value"))
    if kind == "array":
        return f"array of {write_type(schema.get('items', {}))}"
    return _PLAIN.get(kind, kind)


def write_limits(schema: Json) -> str:
    """Return the limits of a schema as text; empty where there are none."""
    words = []
    for option in (schema, *schema.get("anyOf", ()), *schema.get("oneOf", ())):
        words += _limits_of(option)
    return "; ".join(dict.fromkeys(words))


def _limits_of(schema: Json) -> list[str]:
    words = []
    least, most = schema.get("minimum"), schema.get("maximum")
    if least is not None and most is not None:
        words.append(f"{least:,} to {most:,}")
    elif least is not None:
        words.append(f"{least:,} or more")
    elif most is not None:
        above = schema.get("exclusiveMinimum")
        words.append(f"{f'more than {above:,}, ' if above is not None else ''}at most {most:,}")
    elif "exclusiveMaximum" in schema:
        words.append(f"less than {schema['exclusiveMaximum']:,}")
    if "maxLength" in schema:
        words.append(f"at most {schema['maxLength']:,} characters")
    if "maxItems" in schema:
        least_items = schema.get("minItems", 0)
        words.append(f"{least_items:,} to {schema['maxItems']:,} entries")
    return words


def write_default(schema: Json) -> str:
    """Return the default of a schema as HTML; empty where there is none."""
    if "default" not in schema:
        return ""
    default = schema["default"]
    return f"<code>{escape(json.dumps(default, ensure_ascii=False))}</code>"


def write_examples(schema: Json) -> str:
    """Return the examples of a schema as HTML; empty where there are none."""
    shown = (
        f"<code>{escape(json.dumps(example, ensure_ascii=False))}</code>"
        for example in schema.get("examples", ())
    )
    return ", ".join(shown)


def anchor(name: str) -> str:
    """Return the anchor of an object on the page."""
    return f"object-{name}"


def prose(text: str) -> str:
    """Return a description as HTML: paragraphs, and code between back-ticks."""
    paragraphs = []
    for paragraph in text.split("\n\n"):
        parts = escape(" ".join(paragraph.split())).split("`")
        paragraphs.append(
            "".join(
                f"<code>{part}</code>" if position % 2 else part
                for position, part in enumerate(parts)
            )
        )
    return "".join(f"<p>{paragraph}</p>" for paragraph in paragraphs)
