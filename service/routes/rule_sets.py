"""Rule sets: the rules of the takeoff, to be read."""

from litestar import Response, get
from litestar.params import FromPath

from optimiser.rule_sets import known_rule_sets
from service.access.caller import Scope
from service.mapping.rule_sets_out import write_rule_set, write_summary
from service.media_types import JSON, choose_media_type
from service.operation import Contract
from service.problems import NOT_FOUND
from service.responses import AnyRequest, answer_model
from service.use_cases import find_rule_set
from service.wire.rule_sets import RuleSet, RuleSets


@get(
    "/v1/rule-sets",
    operation_id="listRuleSets",
    summary="List the rule sets",
    description="Lists the rule sets that an opening can name, and the kinds of opening that each "
    "has rules for.",
    tags=["rule sets"],
    contract=Contract(
        scope=Scope.PLAN,
        answers={JSON: RuleSets},
        answer_description="The rule sets.",
        answer_examples={JSON: ("rule-sets",)},
    ),
)
async def list_rule_sets(request: AnyRequest) -> Response[bytes]:
    """Answer with every rule set in short."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    return answer_model(
        RuleSets(rule_sets=[write_summary(rule_set) for rule_set in known_rule_sets()])
    )


@get(
    "/v1/rule-sets/{rule_set_id:str}",
    operation_id="readRuleSet",
    summary="Read a rule set",
    description="Answers with the rules of one rule set: which pieces each edge of an opening "
    "takes, each rule with its statement and its source.",
    tags=["rule sets"],
    contract=Contract(
        scope=Scope.PLAN,
        answers={JSON: RuleSet},
        answer_description="The rule set.",
        problems=(NOT_FOUND,),
        answer_examples={JSON: ("interlocking-strip",)},
    ),
)
async def read_rule_set(request: AnyRequest, rule_set_id: FromPath[str]) -> Response[bytes]:
    """Answer with one rule set."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    return answer_model(write_rule_set(find_rule_set(rule_set_id)))
