"""What the query says where a catalogue comes as tables, and where two versions are compared."""

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from service.wire.base import WireModel
from service.wire.stored import NewVersion, StoredName, VersionNumber


class NewTableVersion(NewVersion):
    """What is stated of a further version that comes as tables."""


class NewTable(NewTableVersion):
    """What is stated of a catalogue that comes as tables."""

    name: StoredName | None = None
    """The name to keep it under. Needed for tables; JSON states it itself."""


def _read_number(stated: Any) -> Any:
    digits = isinstance(stated, str) and stated.isascii() and stated.isdigit() and len(stated) < 8
    return int(stated) if digits else stated


_Version = Annotated[VersionNumber, BeforeValidator(_read_number)]


class TwoVersions(WireModel):
    """Two versions to compare."""

    from_: Annotated[_Version, Field(alias="from")]
    """The number of the earlier version."""
    to: _Version
    """The number of the later version."""
