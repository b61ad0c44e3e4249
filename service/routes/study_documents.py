"""The document of a study: what people read of an order under many changes."""

from dataclasses import replace

from litestar import Response, post

from optimiser.publishing.builders.studies import STUDY
from optimiser.publishing.forms import forms_of
from service.bodies import read_json_body, while_connected
from service.gates.admission import caller_of
from service.jobs.outcomes import StudyJob, ToPublish
from service.mapping.queries import read_query
from service.publications import choose_form, to_edition
from service.responses import AnyRequest, answer_document
from service.routes import studies
from service.routes.publications import NAMED, headers_of
from service.running import running
from service.study_requests import read_sent_study
from service.use_cases import make_study
from service.wire.publications import EditionAsked

CONTRACT = replace(
    studies.CONTRACT,
    later=None,
    query=EditionAsked,
    further_models=(EditionAsked,),
    answers={form.media_type: None for form in forms_of(STUDY)},
    answer_description="The document.",
    answer_examples={},
    headers=NAMED,
)


@post(
    "/v1/documents/study",
    operation_id="writeStudyDocument",
    summary="Write the document of a study",
    description="Takes what `POST /v1/studies` takes, makes the same study, and answers with a "
    "document for people to read: cost by case, what is bought otherwise, where the decision flips "
    "as a curve, and what matters most. `Accept` chooses the form, the query the language, the "
    "units of length and the paper. It is always made at once.",
    tags=["documents"],
    status_code=200,
    contract=CONTRACT,
)
async def write_study_document(request: AnyRequest) -> Response[bytes]:
    """Answer with the document of the study in the body."""
    media_type = choose_form(STUDY, request.headers.get("accept"))
    asked = read_query(EditionAsked, request.scope["query_string"])
    service, tenant = running(request), caller_of(request).tenant
    _, study = await read_sent_study(
        await read_json_body(request),
        service.store,
        tenant,
        service.clock().date(),
        service.settings,
    )
    edition = to_edition(asked, study.base.order.unit)
    wanted = ToPublish(document=STUDY, media_type=media_type, edition=edition)
    job = StudyJob(study=study, publish=wanted)
    studied = await while_connected(request, make_study(service.pool, job, service.shares, tenant))
    timing = {"server-timing": f"solve;dur={1_000 * studied.seconds:.1f}"}
    return answer_document(
        studied.published, media_type, {**headers_of(STUDY, media_type, asked), **timing}
    )


HANDLERS = [write_study_document]
