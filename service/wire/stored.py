"""What the service keeps under a name, in versions that never change: catalogues, rule sets,
profiles."""

from typing import Annotated, ClassVar

from pydantic import Field, Strict, StringConstraints
from typing_extensions import TypeAliasType

from optimiser.units.lengths import LengthUnit
from service.wire import limits
from service.wire.base import WireModel
from service.wire.catalogue import Catalogue
from service.wire.fit import Profile
from service.wire.rule_set_document import RuleSetDocument
from service.wire.scalars import NO_CONTROL_CHARACTERS_BUT_LINES

STORED_NAME_PATTERN = r"^[a-z0-9]([a-z0-9-]{0,62}[a-z0-9])?$"

StoredName = TypeAliasType(
    "StoredName",
    Annotated[
        str,
        StringConstraints(pattern=STORED_NAME_PATTERN),
        Field(
            description="A name that is part of an address: 1 to 64 small letters, digits and "
            "dashes.",
            examples=["larkmoor"],
        ),
    ],
)
Day = TypeAliasType(
    "Day",
    Annotated[
        str,
        StringConstraints(pattern=r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$"),
        Field(description="A day, as in RFC 3339.", examples=["2027-03-01"]),
    ],
)
Moment = TypeAliasType(
    "Moment",
    Annotated[
        str,
        Field(
            description="A moment in UTC, as in RFC 3339.",
            json_schema_extra={"format": "date-time"},
            examples=["2027-03-01T08:30:00Z"],
        ),
    ],
)
VersionNumber = TypeAliasType("VersionNumber", Annotated[int, Field(ge=1, le=1_000_000)])
Remark = TypeAliasType(
    "Remark",
    Annotated[
        str,
        StringConstraints(
            pattern=NO_CONTROL_CHARACTERS_BUT_LINES, max_length=limits.REMARKS_CHARACTERS
        ),
    ],
)


class NewVersion(WireModel):
    """A further version. It is kept as it is; a correction is another version."""

    unit: Annotated[LengthUnit, Strict(False)] = LengthUnit.INCH
    """The unit of bare numbers in the content; lengths are kept with their unit."""
    valid_from: Day | None = None
    """The first day on which orders that name no version take this one. Null: at once."""
    valid_until: Day | None = None
    """The last such day. Null: until a later version takes its place."""
    remark: Remark = ""
    """Words of your own, kept with the version."""


class NewCatalogueVersion(NewVersion):
    """A further version of a catalogue."""

    content: Catalogue


class NewCatalogue(NewCatalogueVersion):
    """A catalogue, with its first version."""

    name: StoredName


class NewRuleSetVersion(NewVersion):
    """A further version of a rule set of your own."""

    content: RuleSetDocument


class NewRuleSet(NewRuleSetVersion):
    """A rule set of your own, with its first version."""

    name: StoredName


class NewProfileVersion(NewVersion):
    """A further version of a profile."""

    content: Profile


class NewProfile(NewProfileVersion):
    """A profile, with its first version."""

    name: StoredName


class VersionSummary(WireModel):
    """A version, without its content."""

    number: VersionNumber
    valid_from: Day | None
    valid_until: Day | None
    remark: str
    digest: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    """The SHA-256 of the content as it is kept."""
    created_at: Moment
    created_by: str
    """The identifier of the key that it came by; `local` where none was needed."""


class Versions(WireModel):
    """Versions, the first one first."""

    versions: list[VersionSummary]


class StoredSummary(WireModel):
    """Something that is kept under a name. The header ETag states its revision."""

    name: StoredName
    latest: VersionNumber
    """The number of the latest version."""
    current: VersionNumber | None
    """The version that an order which names none takes today; null where none is valid."""
    created_at: Moment
    changed_at: Moment


class StoredList(WireModel):
    """A page of a list; the header Link leads to the next one."""

    entries: list[StoredSummary]


class WholeVersion(VersionSummary):
    """A version with its content, as it was sent: members that were left out are left out."""

    answered_as_sent: ClassVar[bool] = True


class CatalogueVersion(WholeVersion):
    """A version of a catalogue."""

    content: Catalogue


class RuleSetVersion(WholeVersion):
    """A version of a rule set of your own."""

    content: RuleSetDocument


class ProfileVersion(WholeVersion):
    """A version of a profile."""

    content: Profile


class StoredReference(WireModel):
    """Stands for what is kept under a name."""

    stored: StoredName
    version: VersionNumber | None = None
    """Null: the version that is valid on the day of the order."""
