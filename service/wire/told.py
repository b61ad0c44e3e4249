"""The form of a reason and of a notice: a code, the facts behind it and a plain sentence."""

from typing import Annotated, Generic, TypeVar

from pydantic import ConfigDict, Field

from service.wire.base import WireModel

Code = TypeVar("Code", bound=str)
Facts = TypeVar("Facts", bound=WireModel)


class Told(WireModel, Generic[Code, Facts]):
    """A typed fact with its sentence."""

    # Pydantic looks for the docstrings of a class made of a generic one through every frame of
    # the stack, which made the import of the service four times as long.
    model_config = ConfigDict(use_attribute_docstrings=False)

    code: Code
    marks: Annotated[
        list[str],
        Field(
            description="The marks that it speaks of; empty for the whole order.",
            examples=[["D-01"]],
        ),
    ]
    facts: Facts
    sentence: Annotated[str, Field(description="The same in words, with its arithmetic.")]
