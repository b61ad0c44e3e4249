"""Lists in pages: how many, from where, sorted how; and the links to what follows."""

import base64
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from urllib.parse import urlencode

from optimiser.domain.faults import Fault
from service.operation import DEFAULT_LIMIT, MOST_FILTER_CHARACTERS, MOST_LIMIT, Filter
from service.problems import Problem
from service.resource_problems import INVALID_QUERY
from service.responses import AnyRequest
from service.store import rows
from service.store.rows import StoredRow


@dataclass(frozen=True, slots=True, kw_only=True)
class PageQuery:
    """What is asked of a list: so many entries after a place, sorted by a column.

    `wanted` holds the values that columns must have.
    """

    limit: int
    after: tuple[Any, str] | None
    order: rows.Order
    wanted: Mapping[str, str]


def read_page_query(
    request: AnyRequest, sortable: Sequence[str], filters: Mapping[str, Filter] | None = None
) -> PageQuery:
    """Return what the query string asks of a list; `sort=-created_at` begins with the latest.

    Raises:
        Problem: `limit`, `cursor`, `sort` or a filter cannot be read, or there is no such
            parameter; all are named.
    """
    known = ("limit", "cursor", "sort", *(filters or ()))
    faults = list(_find_unknown(request, known))
    wanted = _read_filters(request, filters or {}, faults)
    limit = DEFAULT_LIMIT
    query = request.query_params
    stated = query.get("limit")
    if stated is not None:
        if stated.isascii() and stated.isdigit() and 1 <= int(stated) <= MOST_LIMIT:
            limit = int(stated)
        else:
            faults.append(
                Fault(
                    ("limit",),
                    "out-of-range",
                    f"limit is {stated[:40]!r}; send a whole number from 1 to {MOST_LIMIT}.",
                )
            )
    sort = query.get("sort", sortable[0])
    column = sort.removeprefix("-")
    if column not in sortable:
        faults.append(
            Fault(
                ("sort",),
                "not-one-of",
                f"sort is {sort[:40]!r}; send one of {', '.join(sortable)}, with a dash before "
                "it for the other way round.",
            )
        )
    order = rows.Order(column=column, descending=sort.startswith("-"))
    after = None
    cursor = query.get("cursor")
    if cursor is not None:
        try:
            after = _read_cursor(cursor, sort)
        except ValueError:
            faults.append(
                Fault(
                    ("cursor",),
                    "unreadable-cursor",
                    "cursor is not one that this list gave out under the same sort; leave it "
                    "out to begin at the beginning.",
                )
            )
    if faults:
        raise Problem(INVALID_QUERY, faults[0].message, faults=faults)
    return PageQuery(limit=limit, after=after, order=order, wanted=wanted)


def link_to_next(
    request: AnyRequest, query: PageQuery, page: Sequence[StoredRow], *, more: bool
) -> dict[str, str]:
    """Return the header Link (RFC 8288) to the next page; nothing after the last one."""
    if not more or not page:
        return {}
    last = page[-1]
    sort = ("-" if query.order.descending else "") + query.order.column
    cursor = _write_cursor(sort, getattr(last, query.order.column), last.id)
    kept = [(name, value) for name, value in request.query_params.multi_items() if name != "cursor"]
    address = f"{request.url.path}?{urlencode([*kept, ('cursor', cursor)])}"
    return {"link": f'<{address}>; rel="next"'}


def _find_unknown(request: AnyRequest, known: Sequence[str]) -> Iterator[Fault]:
    for name in dict.fromkeys(request.query_params):
        if name not in known:
            yield Fault(
                (name[:80],),
                "unknown-parameter",
                f"{name[:80]!r} is not a parameter of this list, which has {', '.join(known)}; "
                "correct it, or leave it out.",
            )


def _read_filters(
    request: AnyRequest, filters: Mapping[str, Filter], faults: list[Fault]
) -> dict[str, str]:
    wanted = {name: request.query_params[name] for name in filters if name in request.query_params}
    for name, value in wanted.items():
        values = filters[name].values
        if values and value not in values:
            faults.append(
                Fault(
                    (name,),
                    "not-one-of",
                    f"{name} is {value[:40]!r}; send one of {', '.join(values)}.",
                )
            )
        elif len(value) > MOST_FILTER_CHARACTERS:
            faults.append(
                Fault(
                    (name,),
                    "too-long",
                    f"{name} has {len(value)} characters; send at most {MOST_FILTER_CHARACTERS}.",
                )
            )
    return wanted


def _write_cursor(sort: str, value: Any, row_id: str) -> str:
    told = {"moment": value.isoformat()} if isinstance(value, datetime) else {"value": value}
    text = json.dumps({"sort": sort, "id": row_id, **told}, separators=(",", ":"))
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


def _read_cursor(cursor: str, sort: str) -> tuple[Any, str]:
    padded = cursor.encode("ascii", "strict") + b"=" * (-len(cursor) % 4)
    told = json.loads(base64.b64decode(padded, altchars=b"-_", validate=True))
    if not isinstance(told, dict) or told.get("sort") != sort or not isinstance(told["id"], str):
        raise ValueError(cursor)
    if "\0" in told["id"] + str(told.get("value")):
        raise ValueError(cursor)
    if "moment" in told:
        return datetime.fromisoformat(told["moment"]).astimezone(UTC), told["id"]
    if not isinstance(told["value"], str | int):
        raise ValueError(cursor)
    return told["value"], told["id"]
