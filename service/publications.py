"""Documents that people read: as a job that makes the plan first, or of a plan that is kept."""

from collections.abc import Iterable
from dataclasses import replace

from optimiser.domain.faults import Fault
from optimiser.domain.fit import Calculation
from optimiser.domain.publication import Edition, Language, LengthsShown, Paper
from optimiser.publishing.builders import DOCUMENTS_OF_QUOTES
from optimiser.publishing.builders.labels import LABELS
from optimiser.publishing.builders.site import INSTALL_SHEETS
from optimiser.publishing.forms import find_form, forms_of, require_installed
from optimiser.publishing.forms.faults import FormNotInstalled
from optimiser.rule_sets import RuleSet
from optimiser.units.lengths import LengthUnit
from service.install_documents import (
    prepare_planned_install_sheets,
    sizes_on_site,
    take_off_with_positions,
)
from service.jobs.outcomes import PlanDocument, PlanJob, ToPublish
from service.jobs.publishing import KeptPlan, publish, publish_quote, rebuild_whole
from service.jobs.settled import stated_part
from service.mapping.quote_terms_in import TERMS
from service.mapping.reading import OrderRequest, read_request
from service.media_types import choose_media_type
from service.problems import NOT_ACCEPTABLE, Problem
from service.quotes import prepare_quote, price_kept_plan
from service.site_documents import too_many
from service.use_cases import take_off_settled
from service.wire import limits
from service.wire.publications import EditionAsked
from service.wire.quote_terms import DocumentOrderByValue

_OWN_LENGTHS = {
    LengthUnit.INCH: LengthsShown.INCHES,
    LengthUnit.MILLIMETRE: LengthsShown.MILLIMETRES,
}
_OWN_PAPER = {Language.AMERICAN: Paper.LETTER}


_WITHOUT_TERMS = Fault(
    (TERMS,), "no-terms", "terms: there are none, and a quote has terms; add them to the order."
)


def to_edition(asked: EditionAsked, unit: LengthUnit) -> Edition:
    """Return the edition that is asked for; what is left out goes by the order and the language."""
    return Edition(
        language=asked.locale,
        lengths=asked.lengths or _OWN_LENGTHS[unit],
        paper=asked.paper or _OWN_PAPER.get(asked.locale, Paper.A4),
    )


def choose_form(document: str, accept: str | None) -> str:
    """Return the media type of the form that an Accept header prefers, of those installed.

    Raises:
        Problem: not acceptable; no form of the document is accepted, or what it needs is missing.
    """
    forms = forms_of(document)
    try:
        return choose_media_type(accept, tuple(f.media_type for f in forms if f.installed))
    except Problem:
        wanted = find_form(choose_media_type(accept, tuple(form.media_type for form in forms)))
        try:
            require_installed(wanted)
        except FormNotInstalled as error:
            raise Problem(NOT_ACCEPTABLE, str(error)) from None
        raise


def prepare_publication(
    body: bytes,
    document: str,
    media_type: str,
    asked: EditionAsked,
    *,
    of_files: Iterable[RuleSet] = (),
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
) -> PlanJob:
    """Return the job of planning an order and writing a document of its plan.

    Raises:
        Problem: the order or the terms of its quote cannot be read, or it is too large for the
            document.
    """
    if document in DOCUMENTS_OF_QUOTES:
        job = prepare_quote(
            body,
            as_text=False,
            of_files=of_files,
            longest_time_limit_seconds=longest_time_limit_seconds,
            without_terms=_WITHOUT_TERMS,
        )
        return _to_publish(job, document, media_type, asked)
    if document == INSTALL_SHEETS:
        job = prepare_planned_install_sheets(
            body,
            as_text=False,
            of_files=of_files,
            longest_time_limit_seconds=longest_time_limit_seconds,
        )
    else:
        request = read_request(
            body, DocumentOrderByValue, longest_time_limit_seconds=longest_time_limit_seconds
        )
        request = replace(request, rule_sets=(*request.rule_sets, *of_files))
        _sizes_for(document, request, body, buys=True)
        job = PlanJob(order=request.order, rule_sets=request.rule_sets, as_text=False)
    return _to_publish(job, document, media_type, asked)


def _to_publish(job: PlanJob, document: str, media_type: str, asked: EditionAsked) -> PlanJob:
    """Return a job that writes a document of the plan that it makes."""
    edition = to_edition(asked, job.order.unit)
    wanted = ToPublish(document=document, media_type=media_type, edition=edition)
    return replace(job, document=PlanDocument.PUBLISHED, publish=wanted)


def publish_kept(kept: KeptPlan, document: str, media_type: str, asked: EditionAsked) -> bytes:
    """Return a document of a kept plan.

    Raises:
        Problem: the order is too large for the document.
    """
    matter = rebuild_whole(kept)
    read = OrderRequest(order=matter.order, rule_sets=matter.rule_sets)
    sizes = _sizes_for(document, read, stated_part(kept.request), buys=False)
    edition = to_edition(asked, matter.order.unit)
    wanted = ToPublish(document=document, media_type=media_type, edition=edition)
    return publish(replace(matter, sizes=sizes), wanted)


def publish_kept_quote(
    kept: KeptPlan, body: bytes, document: str, media_type: str, asked: EditionAsked
) -> bytes:
    """Return a document of the quote of a kept plan, on the terms in a body.

    Raises:
        Problem: the terms cannot be read, or ask for more than the price; all faults are listed.
    """
    quote = price_kept_plan(kept, body)
    edition = to_edition(asked, quote.customer.unit)
    return publish_quote(
        quote, ToPublish(document=document, media_type=media_type, edition=edition)
    )


def _sizes_for(
    document: str, request: OrderRequest, body: bytes, *, buys: bool
) -> dict[str, tuple[Calculation, ...]]:
    """Return the net sizes that install sheets show, by mark; nothing for the other documents.

    Raises:
        Problem: there are more sheets, positions or labels than may be asked for at once.
    """
    if document == INSTALL_SHEETS:
        _, sizes = take_off_with_positions(request, body, buys=buys)
        return {mark: sizes_on_site(of_mark) for mark, of_mark in sizes.items()}
    if document == LABELS:
        takeoff = take_off_settled(request, body, buys=buys)
        labels = sum(
            taken.opening.quantity * (1 + sum(piece.count for piece in taken.pieces))
            for taken in takeoff.openings
        )
        if labels > limits.LABELS:
            raise too_many("too-many-labels", "labels", labels, limits.LABELS)
    return {}
