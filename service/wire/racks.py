"""Racks that the service keeps: what is on hand, between one order and the next."""

from typing import Annotated, ClassVar

from pydantic import Field, Strict

from optimiser.units.lengths import LengthUnit
from service.wire.base import WireModel
from service.wire.rack import Rack
from service.wire.stored import Moment, StoredName


class RackContent(WireModel):
    """All that is on hand on a rack."""

    unit: Annotated[LengthUnit, Strict(False)] = LengthUnit.INCH
    """The unit of bare numbers; lengths are kept with their unit."""
    rack: Rack


class NewRack(RackContent):
    """A rack under a new name, with what is on hand."""

    name: StoredName


class RackSummary(WireModel):
    """A rack in short."""

    name: StoredName
    offcuts: Annotated[int, Field(ge=0)]
    """How many offcuts lie on it."""
    fasteners: Annotated[int, Field(ge=0)]
    """How many loose fasteners lie on it."""
    created_at: Moment
    changed_at: Moment


class RackList(WireModel):
    """A page of the racks; the header Link leads to the next one."""

    entries: list[RackSummary]


class KeptRack(WireModel):
    """A rack that is kept. The header ETag states its revision."""

    answered_as_sent: ClassVar[bool] = True

    name: StoredName
    rack: Rack
    """What is on hand now. Members that were left out are left out."""
    created_at: Moment
    changed_at: Moment
