"""The OpenAPI 3.1 document, made of the routes and of the models of the wire.

Litestar loses discriminators, patterns, `additionalProperties: false` and examples of Pydantic
models (2.25): it gives the paths, their parameters and names here, and Pydantic the schemas.
"""

import json
from http import HTTPStatus
from pathlib import Path
from typing import Any

from litestar import Litestar
from litestar.openapi import OpenAPIConfig
from litestar.openapi.spec import License, Server
from litestar.routes import HTTPRoute
from litestar.types import ControllerRouterHandler
from pydantic.json_schema import JsonSchemaMode, models_json_schema

from service.contract_parameters import REFERENCE, describe_query
from service.contract_texts import DESCRIPTION, TAGS
from service.media_types import JSON, PDF, TEXT, XLSX, XML, ZIP
from service.operation import Contract
from service.problem_kinds import ProblemKind
from service.problems import MEDIA_TYPE
from service.wire.answers import Problem
from service.wire.base import WireModel
from service.wire.rule_set_document import RuleSetDocument

CONTRACT_VERSION = "1.3.0"
"""The version of the contract; openapi/CHANGELOG.md tells what changed."""

Json = dict[str, Any]

KEY_SCHEME = "key"
"""The name of the security scheme in the document."""

_SECURITY_SCHEMES: Json = {
    KEY_SCHEME: {
        "type": "http",
        "scheme": "bearer",
        "description": "An API key, made by whoever runs the service. Not needed on the machine "
        "itself as long as no key has been made. Its scopes are plan, read, write, administer.",
    }
}
_IDEMPOTENCY_KEY: Json = {
    "name": "Idempotency-Key",
    "in": "header",
    "description": "A key of your own for this request, such as a UUID. Sent again with the same "
    "body within 24 hours, the request changes nothing and gets the same answer.",
    "schema": {"type": "string", "minLength": 1, "maxLength": 255, "pattern": "^[!-~]+$"},
}
_PREFER: Json = {
    "name": "Prefer",
    "in": "header",
    "description": "`respond-async` has it done while you do something else; `wait=60` "
    "has a large one answered at once, too (RFC 7240).",
    "schema": {"type": "string"},
    "examples": {"later": {"value": "respond-async"}},
}
_IF_MATCH: Json = {
    "name": "If-Match",
    "in": "header",
    "required": True,
    "description": "The ETag of what is changed, as it was read; * changes whatever is there.",
    "schema": {"type": "string", "minLength": 1},
}
_BYTES: Json = {"type": "string", "format": "binary"}
_TRY_AGAIN = (HTTPStatus.SERVICE_UNAVAILABLE, HTTPStatus.TOO_MANY_REQUESTS)
_EVERY_HEADER: Json = {
    "X-Request-ID": {
        "description": "The request's identifier.",
        "schema": {"type": "string"},
    }
}


def build_document(handlers: list[ControllerRouterHandler], examples: Path | None) -> Json:
    """Return the OpenAPI document of the handlers, with the examples of the folder."""
    described = Litestar(
        route_handlers=handlers,
        logging_config=None,
        openapi_config=OpenAPIConfig(
            title="Weatherstrip optimiser",
            version=CONTRACT_VERSION,
            summary="Takeoff, purchase plan and cutting plan for metal weatherstrip.",
            description=DESCRIPTION.replace("\n\n", "\0").replace("\n", " ").replace("\0", "\n\n"),
            license=License(name="MIT", identifier="MIT"),
            servers=[Server(url="/")],
            tags=list(TAGS),
        ),
    )
    document: Json = described.openapi_schema.to_schema()
    models: dict[type[WireModel], JsonSchemaMode] = {Problem: "serialization"}
    for route in described.routes:
        if not isinstance(route, HTTPRoute):
            continue
        for handler in route.route_handlers:
            contract = handler.opt.get("contract")
            if not isinstance(contract, Contract):
                continue
            models.update(dict.fromkeys(contract.further_models, "validation"))
            if contract.request:
                models[contract.request] = "validation"
            for model in filter(None, (*contract.answers.values(), contract.later)):
                models[model] = "validation" if model.answered_as_sent else "serialization"
            for method in handler.http_methods:
                operation = document["paths"][route.path_format][method.lower()]
                _complete_operation(operation, contract, examples)
    _, schemas = models_json_schema(list(models.items()), ref_template=REFERENCE)
    document["components"] = {
        "schemas": _without_titles(schemas["$defs"]),
        "securitySchemes": _SECURITY_SCHEMES,
    }
    return document


def build_rule_set_schema() -> Json:
    """Return the JSON Schema of a rule set as a file holds it."""
    schema = _strip(RuleSetDocument.model_json_schema())
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A rule set of the takeoff",
        **schema,
    }


def _complete_operation(operation: Json, contract: Contract, examples: Path | None) -> None:
    bodies: Json = {name: {"schema": schema} for name, schema in contract.bodies.items()}
    if contract.request:
        body: Json = {"schema": _reference(contract.request)}
        if shown := _load_examples(examples, contract.request_examples, JSON):
            body["examples"] = shown
        bodies = {JSON: body, **bodies}
    if bodies:
        operation["requestBody"] = {"required": True, "content": bodies}
    content: Json = {}
    for media_type, model in contract.answers.items():
        plain = _BYTES if media_type in {PDF, XLSX, XML, ZIP} else {"type": "string"}
        content[media_type] = {"schema": _reference(model) if model else plain}
        names = contract.answer_examples.get(media_type, ())
        if shown := _load_examples(examples, names, media_type):
            content[media_type]["examples"] = shown
    headers = {
        **_EVERY_HEADER,
        **{
            name: {"description": text, "schema": {"type": "string"}}
            for name, text in contract.headers.items()
        },
    }
    operation["security"] = [{KEY_SCHEME: [contract.scope]}] if contract.scope else []
    parameters = [*operation.get("parameters", ())]
    _name_path_values(parameters, contract)
    if contract.once:
        parameters.append(_IDEMPOTENCY_KEY)
    if contract.matches:
        parameters.append(_IF_MATCH)
    parameters += describe_query(contract)
    if parameters:
        operation["parameters"] = parameters
    operation["responses"] = {
        str(int(contract.status)): {
            "description": contract.answer_description,
            "headers": headers,
            "content": content,
        }
    }
    if contract.later:
        operation["parameters"] = [*operation.get("parameters", ()), _PREFER]
        operation["responses"]["202"] = _describe_later(contract.later)
    by_status: dict[HTTPStatus, list[ProblemKind]] = {}
    for kind in contract.every_problem:
        by_status.setdefault(kind.status, []).append(kind)
    for status, kinds in sorted(by_status.items()):
        operation["responses"][str(int(status))] = _describe_problems(
            kinds, in_text=not set(kinds).isdisjoint(contract.told_in_text)
        )


def _name_path_values(parameters: list[Json], contract: Contract) -> None:
    """State which values a parameter of the path has, where it has only some."""
    for parameter in parameters:
        if values := contract.path_values.get(parameter["name"]):
            parameter["schema"] = {"type": "string", "enum": list(values)}


def _describe_later(model: type[WireModel]) -> Json:
    """Return what is answered at once where the answer itself comes later."""
    texts = {
        "Location": "Where the job is.",
        "ETag": "The revision of the job.",
        "Retry-After": "Seconds after which to look at the job.",
    }
    headers = {name: {"description": t, "schema": {"type": "string"}} for name, t in texts.items()}
    return {
        "description": "It is queued; the job says where what comes of it will be.",
        "headers": {**_EVERY_HEADER, **headers},
        "content": {JSON: {"schema": _reference(model)}},
    }


def _describe_problems(kinds: list[ProblemKind], *, in_text: bool) -> Json:
    headers = dict(_EVERY_HEADER)
    if kinds[0].status in _TRY_AGAIN:
        headers["Retry-After"] = {
            "description": "Seconds after which to try again.",
            "schema": {"type": "string"},
        }
    content: Json = {MEDIA_TYPE: {"schema": _reference(Problem)}}
    if in_text:
        content[TEXT] = {"schema": {"type": "string"}}
    return {
        "description": " ".join(f"{kind.code}: {kind.title}." for kind in kinds),
        "headers": headers,
        "content": content,
    }


def _reference(model: type[WireModel]) -> Json:
    return {"$ref": REFERENCE.format(model=model.__name__)}


def _load_examples(folder: Path | None, names: tuple[str, ...], media_type: str) -> Json:
    ending = "txt" if media_type == TEXT else "json"
    shown: Json = {}
    for name in names:
        file = folder / f"{name}.{ending}" if folder else None
        if file and file.is_file():
            text = file.read_text(encoding="utf-8")
            shown[name] = {"value": text if media_type == TEXT else json.loads(text)}
    return shown


def _without_titles(schemas: Json) -> Json:
    """Return schemas without the titles that only repeat a name."""
    return {name: _strip(schema) for name, schema in schemas.items()}


def _strip(schema: Any) -> Any:
    if isinstance(schema, list):
        return [_strip(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    stripped: Json = {}
    for key, part in schema.items():
        if key == "title" and isinstance(part, str):
            continue
        if key == "properties":
            stripped[key] = {name: _strip(inner) for name, inner in part.items()}
        elif key in {"examples", "example", "default", "const", "enum"}:
            stripped[key] = part
        else:
            stripped[key] = _strip(part)
    return stripped
