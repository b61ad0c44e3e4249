"""Rule sets from a file of the user's: TOML holds one, JSON one or a list of them."""

import tomllib
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from optimiser.domain.faults import Fault
from optimiser.rule_sets import RuleSet
from service.json_text import MalformedJson, read_json
from service.mapping.reading import invalid_order
from service.mapping.rule_sets_in import find_rule_set_clashes, to_rule_sets
from service.mapping.validation import validate
from service.wire.rule_set_document import RuleSetDocuments


def read_rule_set_file(name: str, content: bytes) -> tuple[RuleSet, ...]:
    """Return the rule sets that a file holds; a name that ends in `.json` is JSON, else TOML.

    Raises:
        Problem: the file cannot be read, or holds no sound rule sets; every fault is listed,
            with the file's name before its place.
    """
    try:
        stated = read_json(content) if name.lower().endswith(".json") else _read_toml(content)
    except MalformedJson as error:
        raise invalid_order(
            [Fault((name, *f.path), f.code, f"{name}: {f.message}") for f in error.faults]
        ) from None
    raw = {"rule_sets": stated if isinstance(stated, list) else [stated]}
    validated = validate(RuleSetDocuments, raw)
    form_faults = validated if isinstance(validated, list) else []
    rule_sets, others = to_rule_sets(raw, form_faults)
    faults = [*form_faults, *others, *find_rule_set_clashes(raw)]
    if faults:
        # A single rule set is the whole file, so its position says nothing.
        inner = 1 if isinstance(stated, list) else 2
        raise invalid_order(
            [Fault((name, *f.path[inner:]), f.code, f"{name}: {f.message}") for f in faults]
        )
    return rule_sets


def _read_toml(content: bytes) -> Any:
    """Return plain tables: what JSON does not have as the text that stands for it.

    Raises:
        MalformedJson: not TOML in UTF-8, or too large to be read.
    """
    try:
        return _plain(tomllib.loads(content.decode("utf-8"), parse_float=Decimal))
    except UnicodeDecodeError as error:
        fault = Fault((), "not-utf-8", f"Byte {error.start} is not UTF-8; save the file in UTF-8.")
    except RecursionError:
        fault = Fault((), "not-toml", "is nested too deeply; write fewer tables inside each other.")
    except ValueError as error:
        fault = Fault((), "not-toml", f"not TOML: {error}; correct the file there.")
    raise MalformedJson(fault)


def _plain(value: Any) -> Any:
    match value:
        case dict():
            return {key: _plain(part) for key, part in value.items()}
        case list():
            return [_plain(part) for part in value]
        case datetime() | date() | time():
            return str(value)
    return value
