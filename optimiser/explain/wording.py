"""The one place where reasons, notices and alternatives become sentences.

Lengths are written in the order's unit, money in its currency. A sentence shows its
arithmetic, so that a reader can do the sum again.
"""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from functools import singledispatch

from optimiser.domain.account import AccountKind
from optimiser.domain.decision import Aim, Method
from optimiser.domain.phrases import plural, write_count, write_marks
from optimiser.domain.plan import Alternative, AlternativeOutcome
from optimiser.domain.reasons import (
    CostAccounted,
    CostBounded,
    LengthAccounted,
    Reason,
    RuleFired,
)
from optimiser.explain import alternatives
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.money import format_money
from optimiser.units.numerals import format_number

OBSTACLES_TOLD = 3
"""Obstacles told in the sentence of an alternative; all of them are in its record."""

STATEMENTS = {
    alternatives.FASTENERS_WITH_EVERY_KIT: (
        "The same openings by kit as in the plan, every kit with fasteners"
    ),
    alternatives.LOOSE_PACKS_ONLY: "All fasteners in loose packs, no kit with fasteners",
    alternatives.NO_KITS: "No kits, every opening cut from stock lengths",
    alternatives.KITS_FOR_EVERY_OPENING: "A kit for every opening, nothing cut",
    alternatives.EACH_OPENING_ON_ITS_OWN: (
        "Every opening on its own, as on paper (cut first-fit decreasing from the one stock "
        "length that is cheapest for it, its fasteners in whole packs of the cheapest kind; "
        "only multiples are rounded up over the whole order)"
    ),
}


IN_A_SUM = {
    AccountKind.STOCK_LENGTH: "stock lengths",
    AccountKind.KIT: "kits",
    AccountKind.FASTENER_PACK: "loose packs",
    AccountKind.STANDARD_KIT: "standard kits",
    AccountKind.FREIGHT: "freight",
    AccountKind.OVER_LENGTH: "over-length",
    AccountKind.CUT_CHARGE: "cut charges",
    AccountKind.SPLICE: "splices",
    AccountKind.RACK: "from the rack",
    AccountKind.DROP_CREDIT: "credit for drops",
    AccountKind.PREFERENCE: "preference against substitutions",
}
"""What the kinds of the account are called in a sum."""


def alternative_statement(code: str, supplier: str = "") -> str:
    """Return what an alternative does, as a heading without a full stop."""
    if code == alternatives.FROM_ONE_SUPPLIER_ONLY:
        return f"Everything from {supplier} only"
    return STATEMENTS[code]


@singledispatch
def sentence(subject: Reason | Alternative, unit: LengthUnit, currency: str) -> str:
    """Return the plain sentences of a reason, a notice or an alternative.

    Raises:
        TypeError: the subject's class has no wording.
    """
    raise TypeError(f"no wording for {type(subject).__name__}")


@sentence.register
def _(alternative: Alternative, unit: LengthUnit, currency: str) -> str:
    statement = alternative_statement(alternative.code, alternative.supplier)
    match alternative.outcome:
        case AlternativeOutcome.SAME_AS_PLAN:
            return f"{statement}: the plan does so already."
        case AlternativeOutcome.NOT_POSSIBLE:
            told = " ".join(alternative.obstacles[:OBSTACLES_TOLD])
            left = len(alternative.obstacles) - OBSTACLES_TOLD
            more = f" {write_count(left, 'obstacle')} more." if left > 0 else ""
            return f"{statement}: not possible. {told}{more}"
        case AlternativeOutcome.NOT_SOLVED_IN_TIME:
            return f"{statement}: not solved within the time limit."
        case AlternativeOutcome.PRICED:
            cost, extra = alternative.cost or Decimal(0), alternative.extra_cost or Decimal(0)
            priced = f"{statement}: {format_money(cost, currency)}, "
            if not extra:
                return priced + "the same cost as the plan."
            more = "more" if extra > 0 else "less"
            return f"{priced}{format_money(abs(extra), currency)} {more} than the plan."


@sentence.register
def _(reason: RuleFired, unit: LengthUnit, currency: str) -> str:
    terms = add_up(reason.inputs_nm, unit)
    if reason.divided_by > 1:
        terms = f"({terms})" if len(reason.inputs_nm) > 1 else terms
        terms += f" ÷ {reason.divided_by}"
    if reason.adjusted_nm:
        terms = add_up(reason.adjusted_nm, unit, first=terms)
    if reason.divided_by > 1 or len(reason.inputs_nm) + len(reason.adjusted_nm) > 1:
        terms += f" = {format_length(reason.length_nm, unit)}"
    pieces = write_count(reason.count, "piece")
    return (
        f"{for_openings(reason)}{stop(reason.statement)} {capital(terms)}: {pieces} per opening "
        f"(rule {reason.rule_id}; {reason.source})."
    )


def add_up(parts_nm: Iterable[tuple[str, int]], unit: LengthUnit, first: str = "") -> str:
    """Return named lengths as a sum after `first`; what is negative is deducted."""
    terms = first
    for name, nm in parts_nm:
        sign = (" − " if nm < 0 else " + ") if terms else ("−" if nm < 0 else "")
        terms += f"{sign}{name} {format_length(abs(nm), unit)}"
    return terms


@sentence.register
def _(reason: LengthAccounted, unit: LengthUnit, currency: str) -> str:
    stock_nm = reason.bars * reason.stock_nm
    parts = [
        f"{format_length(reason.pieces_nm, unit)} in {write_count(reason.pieces, 'piece')}",
        *(
            f"{format_length(length_nm, unit)} {what}"
            for length_nm, what in (
                (reason.kerf_nm, "to the saw"),
                (reason.end_trim_nm, "of end trim"),
                (reason.drop_nm, "of drops"),
            )
            if length_nm
        ),
    ]
    share = percent(Fraction(reason.drop_nm, stock_nm))
    drop = f"; {share} is left as drops" if reason.drop_nm else "; nothing is left"
    what = (
        f"Offcut {reason.sku}: {reason.bars:,}"
        if reason.from_rack
        else f"{reason.sku}: {write_count(reason.bars, 'bar')}"
    )
    return (
        f"{what} of {format_length(reason.stock_nm, unit)} cut, {format_length(stock_nm, unit)} = "
        f"{' + '.join(parts)}{drop}."
    )


@sentence.register
def _(reason: CostAccounted, unit: LengthUnit, currency: str) -> str:
    paid = [
        (IN_A_SUM[kind], amount)
        for kind, amount in (
            (AccountKind.STOCK_LENGTH, reason.stock_lengths),
            (AccountKind.KIT, reason.kits),
            (AccountKind.FASTENER_PACK, reason.fastener_packs),
        )
        if amount
    ]
    paid += [(IN_A_SUM[line.kind], line.amount) for line in reason.others if line.paid]
    weighed = [(IN_A_SUM[line.kind], line.amount) for line in reason.others if not line.paid]
    total, payable = format_money(reason.total, currency), format_money(reason.payable, currency)
    match paid:
        case []:
            alone, to_pay = f"Nothing to pay: {payable}.", "Nothing to pay."
        case [(what, _)]:
            to_pay = f"{capital(what)} {payable} to pay."
            alone = f"{capital(what)} {payable}, and nothing else: {payable} in all."
        case _:
            added = f"{capital(sum_up(paid, currency))} = {payable}"
            alone, to_pay = f"{added}.", f"{added} to pay."
    if not weighed:
        return alone
    return f"{to_pay} Weighed with it: {sum_up(weighed, currency)}; the cost is {total}."


def sum_up(amounts: Iterable[tuple[str, Decimal]], currency: str) -> str:
    """Return named amounts as a sum; what is below zero is deducted."""
    text = ""
    for what, amount in amounts:
        sign = (" − " if amount < 0 else " + ") if text else ("less " if amount < 0 else "")
        text += f"{sign}{what} {format_money(abs(amount), currency)}"
    return text


@sentence.register
def _(reason: CostBounded, unit: LengthUnit, currency: str) -> str:
    bound = format_money(reason.lower_bound, currency)
    how = {
        Method.ALL_PATTERNS: (
            f"over all {write_count(reason.patterns_considered, 'pattern')} that fit"
        ),
        Method.COLUMN_GENERATION: "by column generation, over every pattern that fits",
        Method.PATTERNS_UNDER_GAP: "over every pattern that could still lower the cost",
    }[reason.method]
    if not reason.patterns_considered:
        how = "over every choice of kits and packs, with nothing to cut"
    if reason.gap:
        return (
            f"No plan costs less than {bound}, {how}; this one costs "
            f"{format_money(reason.cost, currency)}, so at most "
            f"{format_money(reason.gap, currency)} could still be saved."
        )
    lesser = {Aim.DROP: "leaves less drop", Aim.PATTERNS: "needs fewer patterns"}
    proved = [lesser[aim] for aim, sure in reason.aims if sure and aim in lesser]
    open_aims = [lesser[aim] for aim, sure in reason.aims if not sure and aim in lesser]
    text = f"No plan costs less than {bound}: proved {how}."
    if not reason.patterns_considered:
        return text
    if proved:
        text += f" At that cost none {' or '.join(proved)}."
    if open_aims:
        text += f" Whether one at that cost {' or '.join(open_aims)} is not proved."
    return text


def for_openings(reason: Reason) -> str:
    """Return the marks at the head of a sentence; nothing for the whole order."""
    return f"{write_marks(reason.marks)}: " if reason.marks else ""


def fasteners_named(fastener: str, finish: str | None) -> str:
    """Return the name of a pool at the head of a sentence: `Nails in bronze`."""
    name = capital(plural(fastener))
    return name if finish is None else f"{name} in {finish}"


def capital(text: str) -> str:
    """Return the text with a capital first letter."""
    return text[:1].upper() + text[1:]


def stop(text: str) -> str:
    """Return the text with one full stop at its end."""
    return text if text.endswith(".") else f"{text}."


def rounded_up(exact: Fraction, whole: int) -> str:
    """Return a quotient and the whole number that it is rounded up to."""
    return f"{whole:,}" if exact == whole else f"{format_number(exact)}, rounded up to {whole:,}"


def percent(share: Fraction) -> str:
    """Return a share in per cent to one decimal, half a tenth up: `3.3 %`."""
    tenths = int(share * 1000 + Fraction(1, 2))
    return f"{tenths // 10:,}.{tenths % 10} %"


def money(amount: Fraction, currency: str) -> str:
    """Return an amount that may have no end as a decimal: four decimals, then three dots."""
    ten_thousandths, rest = divmod(amount * 10_000, 1)
    text = format_money(Decimal(int(ten_thousandths)).scaleb(-4), currency)
    return f"{text}…" if rest else text
