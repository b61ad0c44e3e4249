"""A kept plan made again without a solver is the plan that was made, word for word."""

import json
import time
from pathlib import Path

import pytest

from optimiser.domain.publication import Edition, Language, LengthsShown, Paper
from optimiser.planning import make_plan
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.units.lengths import LengthUnit
from service.jobs.documents import write_plan_document
from service.jobs.outcomes import ToPublish
from service.jobs.publishing import KeptPlan, publish, rebuild_whole
from service.jobs.rebuilding import write_solution
from service.jobs.settled import write_settled
from service.mapping.reading import read_request
from service.problems import Problem
from service.publications import prepare_publication, publish_kept, to_edition
from service.wire import limits
from service.wire.order import Order
from service.wire.publications import EditionAsked
from tests.publications import EXAMPLES, matter_of

FOLDER = Path(__file__).parents[2] / "openapi" / "examples"


def kept(name: str) -> KeptPlan:
    matter = matter_of(EXAMPLES[name])
    return KeptPlan(
        request=write_settled(matter.order, b"{}").encode(),
        solution=write_solution(matter.plan).encode(),
        document=write_plan_document(matter.plan, as_text=False),
    )


@pytest.mark.parametrize("name", list(EXAMPLES))
def test_plan_of_a_kept_order_of_the_domain_is_made_again(name: str) -> None:
    matter = matter_of(EXAMPLES[name])
    again = rebuild_whole(kept(name))
    assert (again.order, again.plan) == (matter.order, matter.plan)


@pytest.mark.parametrize("document", list(DOCUMENTS_OF_PLANS))
def test_document_of_a_kept_plan_is_that_of_the_plan_just_made(document: str) -> None:
    body = (FOLDER / "ten-doors.json").read_bytes()
    request = read_request(body, Order)
    plan = make_plan(request.order, clock=time.monotonic)
    stored = KeptPlan(
        request=body,
        solution=write_solution(plan).encode(),
        document=write_plan_document(plan, as_text=False),
    )
    again = rebuild_whole(stored)
    assert again.plan == plan
    wanted = ToPublish(document=document, media_type="text/html", edition=Edition())
    if document != "install-sheets":
        # Those have net sizes, too, which the service works out of the order.
        assert publish(again, wanted) == publish_kept(stored, document, "text/html", EditionAsked())


def test_edition_goes_by_the_order_and_the_language_where_nothing_is_asked() -> None:
    assert to_edition(EditionAsked(), LengthUnit.INCH) == Edition(
        language=Language.AMERICAN, lengths=LengthsShown.INCHES, paper=Paper.LETTER
    )
    assert to_edition(EditionAsked(locale=Language.BRITISH), LengthUnit.MILLIMETRE) == Edition(
        language=Language.BRITISH, lengths=LengthsShown.MILLIMETRES, paper=Paper.A4
    )
    asked = EditionAsked(lengths=LengthsShown.BOTH, paper=Paper.A4)
    assert to_edition(asked, LengthUnit.INCH) == Edition(lengths=LengthsShown.BOTH, paper=Paper.A4)


def test_more_labels_than_may_be_asked_for_are_refused() -> None:
    """A door takes 5 pieces, so 6 labels with its own: 8,334 × 6 = 50,004."""
    order = json.loads((FOLDER / "ten-doors.json").read_text(encoding="utf-8"))
    order["openings"][0]["quantity"] = 8_334
    with pytest.raises(Problem) as caught:
        prepare_publication(json.dumps(order).encode(), "labels", "text/html", EditionAsked())
    (fault,) = caught.value.faults
    assert (fault.path, fault.code) == (("openings",), "too-many-labels")
    assert fault.message == (
        f"There are 50,004 labels, above the limit of {limits.LABELS:,}; split the order."
    )
