"""Publications of the hand-made plans, and what stands in their tables."""

from collections.abc import Iterator
from typing import TypeVar

from optimiser.domain.publication import BarDiagram, Block, Cell, Edition, Publication, Table
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.publishing.builders.matter import PlanMatter
from tests.every_term import every_term
from tests.ten_doors import Example, small, ten_doors
from tests.unit.test_render_text import explained

B = TypeVar("B", bound=Block)

EXAMPLES = {"ten doors": ten_doors(), "small": small(), "every term": every_term()}


def matter_of(example: Example) -> PlanMatter:
    """Return an example's plan with its reasons, cautions and other ways."""
    return PlanMatter(plan=explained(example), order=example.order)


def publish(document: str, example: Example, edition: Edition | None = None) -> Publication:
    return DOCUMENTS_OF_PLANS[document](matter_of(example), edition or Edition())


def table_of(publication: Publication, name: str) -> Table:
    return next(table for table in publication.tables if table.name == name)


def tables_like(publication: Publication, stem: str) -> Iterator[Table]:
    return (table for table in publication.tables if table.name.startswith(stem))


def column(table: Table, name: str) -> list[Cell]:
    place = [column.name for column in table.columns].index(name)
    return [row[place] for row in table.rows]


def blocks_of(publication: Publication, kind: type[B]) -> list[B]:
    return [block for block in publication.blocks if isinstance(block, kind)]


def bars_of(publication: Publication) -> list[BarDiagram]:
    return blocks_of(publication, BarDiagram)
