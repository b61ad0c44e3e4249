"""The form of a reason and of a notice: a code, the facts behind it and a plain sentence."""

from typing import Annotated, Generic, TypeVar

from pydantic import Field

from service.wire.base import WireModel

Code = TypeVar("Code", bound=str)
Facts = TypeVar("Facts", bound=WireModel)


class Told(WireModel, Generic[Code, Facts]):
    """A typed fact with its sentence."""

    code: Code
    marks: Annotated[list[str], Field(examples=[["D-01"]])]
    """The marks that it speaks of; empty for the whole order."""
    facts: Facts
    sentence: str
    """The same in words, with its arithmetic."""
