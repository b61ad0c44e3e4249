"""The documentation page: every operation, problem and object of the OpenAPI document."""

import json
from html import escape
from typing import Any

from service.documentation.schema_words import (
    anchor,
    prose,
    write_default,
    write_examples,
    write_limits,
    write_type,
)
from service.problems import PROBLEM_KINDS

Json = dict[str, Any]

_TRY = """curl -H 'Content-Type: application/json' \\
     -H 'Accept: text/plain' \\
     --data-binary @order.json \\
     http://127.0.0.1:8000/v1/plans"""


def write_page(document: Json) -> str:
    """Return the documentation page of an OpenAPI document, as HTML without scripts."""
    operations = [
        (path, method, operation)
        for path, item in document["paths"].items()
        for method, operation in item.items()
    ]
    schemas: Json = document["components"]["schemas"]
    info = document["info"]
    body = "".join(
        (
            _write_contents(document, operations, schemas),
            "<main>",
            f'<header id="top"><h1>{escape(info["title"])}</h1>'
            f'<p class="lead">{escape(info["summary"])}</p>'
            f'<p class="small">Version {escape(info["version"])} of the contract · '
            '<a href="/openapi.json">OpenAPI document</a></p></header>',
            prose(info["description"]),
            "<p>Save one of the example orders below as <code>order.json</code> and send it:</p>",
            f"<pre><code>{escape(_TRY)}</code></pre>",
            *(_write_operation(path, method, op, schemas) for path, method, op in operations),
            _write_problems(),
            _write_objects(schemas),
            "</main>",
        )
    )
    return _frame(info["title"], body)


def _frame(title: str, body: str) -> str:
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title>"
        '<link rel="icon" href="data:,"><link rel="stylesheet" href="/docs/style.css">'
        f"</head><body>{body}</body></html>"
    )


def _write_contents(document: Json, operations: list[tuple[str, str, Json]], schemas: Json) -> str:
    parts = ['<nav aria-label="Contents"><p><a href="#top">Start</a></p>']
    for tag in document["tags"]:
        links = "".join(
            f'<li><a href="#{escape(op["operationId"])}">{escape(op["summary"])}</a></li>'
            for _, _, op in operations
            if tag["name"] in op["tags"]
        )
        parts.append(f"<p>{escape(tag['name'].capitalize())}</p><ul>{links}</ul>")
    problems = "".join(
        f'<li><a href="#{kind.code}">{int(kind.status)} {kind.code}</a></li>'
        for kind in PROBLEM_KINDS
    )
    parts.append(f'<p><a href="#problems">Problems</a></p><ul>{problems}</ul>')
    objects = "".join(
        f'<li><a href="#{anchor(name)}">{escape(name)}</a></li>' for name in sorted(schemas)
    )
    parts.append(
        f'<p><a href="#objects">Objects</a></p><details><summary>All {len(schemas)}</summary>'
        f"<ul>{objects}</ul></details></nav>"
    )
    return "".join(parts)


def _write_operation(path: str, method: str, operation: Json, schemas: Json) -> str:
    parts = [
        f'<section id="{escape(operation["operationId"])}">',
        f"<h2>{escape(operation['summary'])}</h2>",
        f'<p class="call"><span class="method {method}">{method.upper()}</span> '
        f"<code>{escape(path)}</code></p>",
        prose(operation["description"]),
    ]
    if operation.get("parameters"):
        rows = "".join(
            f"<tr><th><code>{escape(parameter['name'])}</code></th>"
            f"<td>{write_type(parameter.get('schema', {}))}</td>"
            f"<td>in the {escape(parameter['in'])}</td></tr>"
            for parameter in operation["parameters"]
        )
        parts.append(f"<h3>Parameters</h3><table>{rows}</table>")
    if "requestBody" in operation:
        parts.append("<h3>Send</h3>")
        for media_type, body in operation["requestBody"]["content"].items():
            parts.append(_write_body(media_type, body))
            if "$ref" in body["schema"]:
                name = body["schema"]["$ref"].rpartition("/")[2]
                parts.append(_write_members(schemas[name], schemas))
            else:
                parts.append(_write_file_body(body["schema"]))
    good = next(told for status, told in operation["responses"].items() if status[0] == "2")
    parts.append(f"<h3>Receive</h3>{prose(good['description'])}")
    parts += [_write_body(media_type, body) for media_type, body in good["content"].items()]
    parts.append("<h3>Headers of the answer</h3><table>")
    parts += [
        f"<tr><th><code>{escape(name)}</code></th><td>{escape(header['description'])}</td></tr>"
        for name, header in good["headers"].items()
    ]
    parts.append("</table><h3>Or a problem</h3><table>")
    parts += [
        f"<tr><th>{status}</th><td>{_link_problems(int(status), answer['description'])}</td></tr>"
        for status, answer in operation["responses"].items()
        if status[0] != "2"
    ]
    parts.append("</table></section>")
    return "".join(parts)


def _write_file_body(schema: Json) -> str:
    """Return what is said of a body that is a file, or a form with one."""
    rows = "".join(
        f"<tr><th><code>{escape(name)}</code></th>"
        f"<td>{escape(part.get('description', ''))}</td></tr>"
        for name, part in schema.get("properties", {}).items()
    )
    said = prose(schema["description"]) if "description" in schema else ""
    return said + (f"<table>{rows}</table>" if rows else "")


def _link_problems(status: int, description: str) -> str:
    kinds = [
        kind
        for kind in PROBLEM_KINDS
        if int(kind.status) == status and f"{kind.code}:" in description
    ]
    return "<br>".join(
        f'<a href="#{kind.code}"><code>{kind.code}</code></a> {escape(kind.title)}'
        for kind in kinds
    )


def _write_body(media_type: str, body: Json) -> str:
    parts = [f"<p><code>{escape(media_type)}</code>: {write_type(body['schema'])}</p>"]
    for name, example in body.get("examples", {}).items():
        value = example["value"]
        text = value if isinstance(value, str) else json.dumps(value, indent=2, ensure_ascii=False)
        parts.append(
            f"<details><summary>Example: {escape(name)}</summary>"
            f"<pre><code>{escape(text)}</code></pre></details>"
        )
    return "".join(parts)


def _write_problems() -> str:
    parts = [
        '<section id="problems"><h2>Problems</h2>',
        prose(
            "A request that cannot be served is answered with `application/problem+json` "
            "(RFC 9457). Programs look at `code`; every entry of `faults` has a `pointer` to the "
            "value, a `code` and a `message` that names the remedy. A body that is not JSON that "
            "can be read is answered with 400; JSON that is not an order that can be taken, with "
            "422."
        ),
    ]
    parts += [
        f'<div class="problem" id="{kind.code}"><h3>{int(kind.status)} '
        f"<code>{kind.code}</code></h3><p><strong>{escape(kind.title)}.</strong> "
        f"{escape(kind.meaning)}</p></div>"
        for kind in PROBLEM_KINDS
    ]
    parts.append("</section>")
    return "".join(parts)


def _write_objects(schemas: Json) -> str:
    parts = ['<section id="objects"><h2>Objects</h2>']
    for name in sorted(schemas):
        schema = schemas[name]
        parts.append(f'<div class="object" id="{anchor(name)}"><h3>{escape(name)}</h3>')
        parts.append(prose(schema.get("description", "")))
        if "properties" in schema:
            parts.append(_write_members(schema, schemas))
        else:
            notes = [f"<p>{write_type(schema)}"]
            if limits := write_limits(schema):
                notes.append(f" <span class='small'>({escape(limits)})</span>")
            notes.append("</p>")
            if examples := write_examples(schema):
                notes.append(f"<p class='small'>Examples: {examples}</p>")
            parts.append("".join(notes))
        parts.append("</div>")
    parts.append("</section>")
    return "".join(parts)


def _write_members(schema: Json, schemas: Json) -> str:
    required = set(schema.get("required", ()))
    rows = []
    for name, member in schema["properties"].items():
        if name in required:
            presence = "required"
        elif isinstance(member.get("default"), dict):
            presence = "optional"
        else:
            default = write_default(member)
            presence = f"default {default}" if default else "optional"
        referred = schemas.get(member.get("$ref", "").rpartition("/")[2], {})
        notes = [prose(member.get("description", referred.get("description", "")))]
        if limits := write_limits(member):
            notes.append(f"<p class='small'>{escape(limits)}</p>")
        if examples := write_examples(member):
            notes.append(f"<p class='small'>e.g. {examples}</p>")
        rows.append(
            f"<tr><th><code>{escape(name)}</code><br><span class='small'>{presence}</span></th>"
            f"<td>{write_type(member)}</td><td>{''.join(notes)}</td></tr>"
        )
    return f"<table class='members'>{''.join(rows)}</table>"
