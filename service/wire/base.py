"""The base of every model of the wire."""

from typing import ClassVar

from pydantic import BaseModel, ConfigDict


class WireModel(BaseModel):
    """An object of the contract: no member beyond those named, no value of another type.

    An answer that is `answered_as_sent` leaves out what its request left out.
    """

    answered_as_sent: ClassVar[bool] = False

    model_config = ConfigDict(
        extra="forbid",
        strict=True,
        frozen=True,
        use_attribute_docstrings=True,
        # The docstring of a class is its description in the schema.
        json_schema_serialization_defaults_required=True,
    )
