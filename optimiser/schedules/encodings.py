"""From the bytes of a text file to its text, in any common encoding.

No detector that counts letters is used: on the few hundred words of a schedule it guesses, and a
wrong guess turns `½` into something else. UTF-8 and UTF-16 are recognised for certain; all else
is read as Windows-1252 and said to be, or as the encoding that the user names.
"""

import codecs
from typing import Final

from optimiser.schedules.faults import Place, ScheduleNote, refuse
from optimiser.units.faults import quote

ENCODINGS: Final = (
    "utf-8", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "ascii", "cp1250", "cp1251", "cp1252",
    "cp1253", "cp1254", "cp1257", "cp437", "cp850", "cp852", "iso8859-1", "iso8859-2",
    "iso8859-15", "mac-roman", "shift_jis", "gb18030", "big5", "euc_kr",
)  # fmt: skip
"""The encodings that a user may name."""

_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_SHOWN: Final = {
    "utf-8-sig": "UTF-8",
    "utf-8": "UTF-8",
    "utf-16": "UTF-16",
    "utf-16-le": "UTF-16",
    "utf-16-be": "UTF-16",
    "utf-32": "UTF-32",
    "cp1252": "Windows-1252",
}
_BY_CODEC: Final = {codecs.lookup(name).name: name for name in ENCODINGS}


def decode_text(content: bytes, encoding: str | None) -> tuple[str, str, tuple[ScheduleNote, ...]]:
    """Return the text, the encoding's name for a reader, and what is to be noted.

    Raises:
        ScheduleUnreadable: unknown encoding, bytes that it does not have, or not text at all.
    """
    codec = _named(encoding) if encoding is not None else _recognise(content)
    notes: tuple[ScheduleNote, ...] = ()
    try:
        text = content.decode(codec).removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        row = content[: error.start].count(b"\n") + 1
        raise refuse(
            "encoding",
            f"byte {error.start + 1}, in line {row}, is not {_show(codec)} text",
            "save the file as UTF-8, or name its encoding",
        ) from None
    except UnicodeError:
        raise refuse(
            "encoding",
            f"the file is not {_show(codec)} text",
            "save it as UTF-8, or name its encoding",
        ) from None
    if "\0" in text:
        raise refuse(
            "not-text", "the file holds NUL characters, so it is not text", "send CSV or XLSX"
        )
    if encoding is None and codec == "cp1252":
        notes = (
            ScheduleNote(
                code="encoding-taken",
                place=Place(),
                remark="the file is not UTF-8 and was read as Windows-1252; check letters with "
                "accents and fractions such as ½.",
            ),
        )
    return text, _show(codec), notes


def _named(encoding: str) -> str:
    try:
        return _BY_CODEC[codecs.lookup(encoding).name]
    except (LookupError, ValueError):
        raise refuse(
            "encoding-unknown",
            f"the encoding {quote(encoding)} is not known",
            f"name one of {', '.join(ENCODINGS)}",
        ) from None


def _recognise(content: bytes) -> str:
    for mark, codec in _MARKS:
        if content.startswith(mark):
            return codec
    # Text that is mostly Latin has a zero byte in every second place of UTF-16.
    start = content[:1_000]
    even, odd = start[0::2].count(0), start[1::2].count(0)
    if odd > len(start) // 4 and even == 0:
        return "utf-16-le"
    if even > len(start) // 4 and odd == 0:
        return "utf-16-be"
    try:
        content.decode("utf-8")
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def _show(codec: str) -> str:
    return _SHOWN.get(codec, codec)
