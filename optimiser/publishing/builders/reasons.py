"""Why this plan: the proof in plain words, other ways with their extra cost, every reason."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from math import ceil
from typing import Final

from optimiser.domain.decision import Certificate
from optimiser.domain.plan import Alternative, AlternativeOutcome, Plan
from optimiser.domain.publication import (
    Block,
    Bullets,
    Chart,
    ChartKind,
    Edition,
    Heading,
    Paragraph,
    Publication,
    Row,
    Table,
)
from optimiser.explain import alternative_statement
from optimiser.explain.alternatives import EACH_OPENING_ON_ITS_OWN
from optimiser.publishing.builders.account import HELD, ReadLine, paid_in_all, read_account
from optimiser.publishing.builders.matter import PlanMatter, Voice, list_cautions, voice_of
from optimiser.publishing.figures import write_percent

WHY_THIS_PLAN = "why-this-plan"

IN_SHORT: Final = frozenset({"cost-accounted", "cost-bounded"})
OF_RULES: Final = frozenset({"rule-fired"})
OF_LENGTHS: Final = frozenset({"length-accounted", "drops-kept", "cuts-charged", "offcut-used"})
OF_FASTENERS: Final = frozenset(
    {"fasteners-counted", "fasteners-needed", "fasteners-supplied", "fasteners-on-hand-used"}
)
GROUPS: Final = ("why.buying", "why.fasteners", "why.lengths", "why.rules")
"""The headings below which reasons stand, in their order."""


def build_why_this_plan(matter: PlanMatter, edition: Edition) -> Publication:
    """Return the page that says why a plan is what it is, with the arithmetic."""
    voice = voice_of(matter.plan, edition)
    return Publication(
        kind=WHY_THIS_PLAN,
        title=voice.word("why.title"),
        subtitle=matter.plan.reference,
        blocks=tuple(_blocks(matter.plan, voice)),
        edition=edition,
    )


def _blocks(plan: Plan, voice: Voice) -> Iterator[Block]:
    yield Heading(2, voice.word("why.in-short"))
    yield Paragraph(_word_proof(plan.certificate, voice))
    for reason in plan.reasons:
        if reason.code in IN_SHORT:
            yield Paragraph(voice.say(reason))
    account = list(read_account(plan))
    if any(line.name == HELD for line in account):
        yield Paragraph(voice.word("why.held", paid=voice.money(paid_in_all(plan))))
    yield Paragraph(voice.word("why.checked"))
    paid = [line for line in account if line.paid and line.amount]
    if len(paid) > 1:
        yield Heading(2, voice.word("why.money"))
        yield _draw_money(paid, plan, voice)
    if plan.alternatives:
        yield Heading(2, voice.word("why.others"))
        yield Paragraph(voice.word("why.others-why"))
        yield _list_others(plan.alternatives, voice)
    if plan.notices:
        yield Heading(2, voice.word("why.notices"))
        yield Bullets(tuple(voice.say(notice) for notice in plan.notices))
    told = [reason for reason in plan.reasons if reason.code not in IN_SHORT]
    told.sort(key=lambda reason: GROUPS.index(_group_of(reason.code)))
    for group, reasons in groupby(told, key=lambda reason: _group_of(reason.code)):
        yield Heading(2, voice.word(group))
        yield Bullets(tuple(voice.say(reason) for reason in reasons))
    yield from list_cautions(plan.cautions, voice.word("why.cautions"), voice)


def _group_of(code: str) -> str:
    """Return the heading of the reasons with a code."""
    if code in OF_RULES:
        return "why.rules"
    if code in OF_LENGTHS:
        return "why.lengths"
    return "why.fasteners" if code in OF_FASTENERS else "why.buying"


def _word_proof(certificate: Certificate, voice: Voice) -> str:
    """Return what the certificate says, for somebody who knows nothing of bounds."""
    if certificate.proved:
        return voice.word("why.proved")
    share = Fraction(certificate.gap) / Fraction(certificate.cost)
    percent = Decimal(ceil(share * 10_000)).scaleb(-2)
    return voice.word(
        "why.not-proved",
        gap=voice.money(certificate.gap),
        percent=write_percent(percent, voice.edition.language),
    )


def _draw_money(paid: list[ReadLine], plan: Plan, voice: Voice) -> Chart:
    parts = [(voice.word(f"account.{line.name}"), line.amount) for line in paid]
    told = "; ".join(
        voice.word("why.part", what=what, amount=voice.money(amount)) for what, amount in parts
    )
    payable = voice.money(paid_in_all(plan))
    return Chart(
        name="money",
        caption=voice.word("why.money"),
        kind=ChartKind.SHARES,
        across=voice.text("for-what", "purchases.for-what"),
        measure=voice.amounts("paid", "purchases.paid"),
        points=tuple(parts),
        text=voice.word("why.money-text", payable=payable, parts=told),
    )


def _list_others(alternatives: tuple[Alternative, ...], voice: Voice) -> Table:
    """Return every other way; one without a price says why."""
    return Table(
        name="other-ways",
        caption=voice.word("why.others"),
        columns=(
            voice.text("way", "why.way"),
            voice.amounts("cost", "why.cost"),
            voice.amounts("extra-cost", "why.extra"),
            voice.text("outcome", "why.outcome"),
        ),
        rows=tuple(_row_of(alternative, voice) for alternative in alternatives),
    )


def _row_of(alternative: Alternative, voice: Voice) -> Row:
    way = alternative_statement(alternative.code, alternative.supplier)
    match alternative.outcome:
        case AlternativeOutcome.PRICED if alternative.code == EACH_OPENING_ON_ITS_OWN:
            said = voice.word("why.priced-on-paper")
        case AlternativeOutcome.PRICED:
            said = voice.word("why.priced-proved" if alternative.proved else "why.priced-open")
        case AlternativeOutcome.NOT_POSSIBLE:
            said = voice.word("why.not-possible", obstacles=" ".join(alternative.obstacles))
        case AlternativeOutcome.SAME_AS_PLAN | AlternativeOutcome.NOT_SOLVED_IN_TIME:
            said = voice.word(f"why.{alternative.outcome}")
    return way, alternative.cost, alternative.extra_cost, said
