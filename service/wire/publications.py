"""What the query says where a document that people read is asked for."""

from typing import Annotated

from pydantic import Strict

from optimiser.domain.publication import Language, LengthsShown, Paper
from service.wire.base import WireModel


class EditionAsked(WireModel):
    """The edition of a document: its language, its units of length, its paper."""

    locale: Annotated[Language, Strict(False)] = Language.AMERICAN
    """The language that words, numbers, money and dates are written for."""
    lengths: Annotated[LengthsShown, Strict(False)] | None = None
    """What lengths are written in. Left out, the order's own unit."""
    paper: Annotated[Paper, Strict(False)] | None = None
    """The sheet that the document is set for. Left out, Letter for American English, else A4."""
