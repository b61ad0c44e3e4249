"""JSON read and written exactly (RFC 8259): decimals stay decimals, nothing is dropped."""

import json
from collections import Counter
from decimal import Decimal, InvalidOperation
from typing import Any

from optimiser.domain.faults import Fault

DEEPEST = 32
"""How deeply arrays and objects may be nested; an order needs 7."""

LONGEST_NUMBER = 1_000
"""The most characters, and the highest power of ten, that a number may have."""

Path = tuple[str | int, ...]


class MalformedJson(ValueError):
    """A text that is not JSON, or not JSON that is read here. `faults` names every reason."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.message for fault in faults))


def read_json(body: bytes) -> Any:
    """Return the value that a JSON text in UTF-8 states; a byte order mark is skipped.

    Whole numbers, also written as `36.0`, become `int`, other numbers `Decimal`, exactly.

    Raises:
        MalformedJson: not UTF-8, not JSON, nested too deeply, a member repeated, a NUL or half
            a surrogate pair in a text, or a number that JSON does not have or that is absurd.
    """
    try:
        text = body.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise MalformedJson(
            Fault((), "not-utf-8", f"Byte {error.start} is not UTF-8; send the text in UTF-8.")
        ) from None
    if not text.strip(" \t\r\n"):
        raise MalformedJson(Fault((), "empty-body", "The body is empty; send one JSON object."))
    oddities = _Oddities()
    try:
        value = oddities.decoder().decode(text)
    except json.JSONDecodeError as error:
        raise MalformedJson(
            Fault(
                (),
                "not-json",
                f"Line {error.lineno}, column {error.colno}: {error.msg}; correct the JSON there.",
            )
        ) from None
    except RecursionError:
        raise MalformedJson(_too_deep(())) from None
    may_hold_bad_text = "\\u" in text
    faults = _find_faults(value, look_at_text=may_hold_bad_text or oddities.found)
    if faults:
        raise MalformedJson(*faults)
    return value


class _Absurd:
    """Stands for a number that is refused, until its place is known."""

    def __init__(self, code: str, message: str) -> None:
        self.code = code
        self.message = message


class _RepeatedMember(dict[str, Any]):
    """An object in which a member is repeated."""

    repeated: tuple[str, ...] = ()


class _Oddities:
    """The hooks of the decoder; `found` says that a stand-in was left in the value."""

    def __init__(self) -> None:
        self.found = False

    def decoder(self) -> json.JSONDecoder:
        return json.JSONDecoder(
            object_pairs_hook=self._read_object,
            parse_float=self._read_decimal,
            parse_int=self._read_int,
            parse_constant=self._read_constant,
        )

    def _read_object(self, pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        members = dict(pairs)
        if len(members) == len(pairs):
            return members
        self.found = True
        times = Counter(name for name, _ in pairs)
        marked = _RepeatedMember(members)
        marked.repeated = tuple(name for name in members if times[name] > 1)
        return marked

    def _read_int(self, text: str) -> int | _Absurd:
        if len(text) > LONGEST_NUMBER:
            return self._absurd(text)
        return int(text)

    def _read_decimal(self, text: str) -> int | Decimal | _Absurd:
        if len(text) > LONGEST_NUMBER:
            return self._absurd(text)
        try:
            value = Decimal(text)
        except InvalidOperation:
            # The exponent is beyond what the decimal module can hold.
            return self._absurd(text)
        if abs(value.adjusted()) > LONGEST_NUMBER:
            return self._absurd(text) if value else 0
        whole = value.to_integral_value()
        return int(whole) if whole == value else value

    def _read_constant(self, text: str) -> _Absurd:
        self.found = True
        return _Absurd("not-a-json-number", f"{text} is not a number in JSON; send a number.")

    def _absurd(self, text: str) -> _Absurd:
        self.found = True
        shown = text if len(text) <= 24 else f"{text[:24]}…"
        return _Absurd(
            "number-out-of-range",
            f"The number {shown} has more than {LONGEST_NUMBER:,} digits; send a usual number.",
        )


def _find_faults(value: Any, *, look_at_text: bool) -> list[Fault]:
    """Return the faults of a decoded value in the order of the document. Not recursive."""
    faults: list[Fault] = []
    stack: list[tuple[Path, Any]] = [((), value)]
    while stack:
        path, item = stack.pop()
        if isinstance(item, dict):
            faults.extend(_name_faults(path, item, look_at_text=look_at_text))
            inner: list[tuple[Path, Any]] = [
                ((*path, name), part) for name, part in item.items() if _matters(part, look_at_text)
            ]
        elif isinstance(item, list):
            inner = [
                ((*path, position), part)
                for position, part in enumerate(item)
                if _matters(part, look_at_text)
            ]
        else:
            faults.extend(_leaf_faults(path, item))
            continue
        if inner and len(path) >= DEEPEST:
            return [_too_deep(path)]
        stack.extend(reversed(inner))
    return faults


def _matters(part: Any, look_at_text: bool) -> bool:
    if isinstance(part, dict | list):
        return True
    return look_at_text and isinstance(part, str | _Absurd)


def _name_faults(path: Path, item: dict[str, Any], *, look_at_text: bool) -> list[Fault]:
    faults = []
    if isinstance(item, _RepeatedMember):
        faults += [
            Fault(
                (*path, name),
                "repeated-member",
                f"Member {json.dumps(name)} stands more than once in one object; keep one.",
            )
            for name in item.repeated
        ]
    if look_at_text and any(_bad_sign(name) for name in item):
        faults.append(
            Fault(path, "forbidden-character", "The name of a member holds NUL or half a pair.")
        )
    return faults


def _leaf_faults(path: Path, item: Any) -> list[Fault]:
    if isinstance(item, _Absurd):
        return [Fault(path, item.code, item.message)]
    if isinstance(item, str) and (sign := _bad_sign(item)):
        return [Fault(path, "forbidden-character", f"The text holds {sign}; remove it.")]
    return []


def _bad_sign(text: str) -> str:
    """Return what a text holds that is refused; empty when nothing is."""
    if "\0" in text:
        return "a NUL character"
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        return "half of a surrogate pair"
    return ""


def _too_deep(path: Path) -> Fault:
    return Fault(
        path[:DEEPEST],
        "nested-too-deeply",
        f"Arrays and objects are nested more than {DEEPEST} deep; an order needs 7.",
    )


def write_json(value: Any) -> str:
    """Return a value that `read_json` gave as a JSON text again, every number exact."""
    if isinstance(value, dict):
        members = (
            f"{json.dumps(key, ensure_ascii=False)}:{write_json(part)}"
            for key, part in value.items()
        )
        return "{" + ",".join(members) + "}"
    if isinstance(value, list):
        return "[" + ",".join(map(write_json, value)) + "]"
    if isinstance(value, Decimal):
        return f"{value:f}" if -30 < value.adjusted() < 30 else str(value)
    return json.dumps(value, ensure_ascii=False)


def write_json_lines(value: Any, indent: str = "") -> str:
    """Return the same text over indented lines; `indent` stands before every line but the first."""
    inner = f"{indent}  "
    if isinstance(value, dict) and value:
        parts = [
            f"{json.dumps(name, ensure_ascii=False)}: {write_json_lines(part, inner)}"
            for name, part in value.items()
        ]
        return f"{{\n{inner}" + f",\n{inner}".join(parts) + f"\n{indent}}}"
    if isinstance(value, list) and value:
        parts = [write_json_lines(part, inner) for part in value]
        return f"[\n{inner}" + f",\n{inner}".join(parts) + f"\n{indent}]"
    return write_json(value)
