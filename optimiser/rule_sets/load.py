"""Read rule sets from TOML, validate them, and serve those that come with the package."""

import tomllib
from functools import lru_cache
from importlib.resources import files

from optimiser.domain.opening import Edge, MeetingStiles, OpeningKind, Threshold
from optimiser.domain.takeoff import LiesOn
from optimiser.rule_sets.rule_set import (
    Assumption,
    Condition,
    CountedPer,
    LengthTerm,
    NoticeCode,
    NoticeRule,
    Rule,
    RuleSet,
    Spacing,
)
from optimiser.rule_sets.table import Table
from optimiser.units.faults import LengthError
from optimiser.units.lengths import LengthUnit, parse_length

NO_FASTENER = "none"
"""What a rule states as its fastener where its pieces take none from the order."""


class RuleSetError(ValueError):
    """A rule file is wrong: a defect of the package. `faults` holds every fault."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(faults))


@lru_cache(maxsize=1)
def known_rule_sets() -> tuple[RuleSet, ...]:
    """Return the rule sets that come with the package, sorted by id.

    Raises:
        RuleSetError: a rule file is wrong, or two share the id of a rule set or of a rule.
    """
    rule_sets = [
        read_rule_set(file.read_text(encoding="utf-8"), name=file.name)
        for file in files("optimiser.rule_sets").iterdir()
        if file.name.endswith(".toml")
    ]
    rule_sets.sort(key=lambda rule_set: rule_set.id)
    _refuse_shared_ids("rule set", [rule_set.id for rule_set in rule_sets])
    _refuse_shared_ids("rule", [rule.id for rule_set in rule_sets for rule in rule_set.rules])
    return tuple(rule_sets)


def _refuse_shared_ids(what: str, ids: list[str]) -> None:
    twice = sorted({id_ for id_ in ids if ids.count(id_) > 1})
    if twice:
        raise RuleSetError((f"{what} id {', '.join(twice)} is there twice; give each its own",))


def read_rule_set(toml: str, name: str) -> RuleSet:
    """Return the rule set that a TOML text holds; `name` is the text's name in messages.

    Raises:
        RuleSetError: not TOML, or not a rule set; every fault is named.
    """
    faults: list[str] = []
    try:
        table = Table(tomllib.loads(toml), name, faults)
    except tomllib.TOMLDecodeError as error:
        raise RuleSetError((f"{name}: not TOML: {error}",)) from None
    rule_set = _read_rule_set(table)
    if faults:
        raise RuleSetError(tuple(faults))
    return rule_set


def _read_rule_set(table: Table) -> RuleSet:
    product, fastener = table.text("product"), table.text("fastener")
    rules = tuple(
        _read_rule(entry, product, fastener) for entry in table.tables("rules", id_key="id")
    )
    if not rules:
        table.note("rules is empty; state at least one")
    rule_set = RuleSet(
        id=table.text("id"),
        title=table.text("title"),
        statement=table.text("statement"),
        source=table.text("source"),
        product=product,
        fastener=fastener,
        spacing=_read_spacing(table.table("spacing")),
        assumptions=tuple(
            _read_assumption(entry) for entry in table.tables("assumptions", id_key="id")
        ),
        notices=tuple(_read_notice(entry) for entry in table.tables("notices", id_key="code")),
        rules=rules,
    )
    table.close()
    return rule_set


def _read_rule(table: Table, product: str, fastener: str) -> Rule:
    stated_fastener = table.optional_text("fastener", fastener)
    per = table.choice("per", CountedPer, CountedPer.OPENING)
    pieces = table.whole("pieces", 1)
    rule = Rule(
        id=table.text("id"),
        kinds=table.choices("kinds", OpeningKind),
        edge=table.choice("edge", Edge),
        member=table.text("member"),
        lies_on=table.choice("lies_on", LiesOn),
        length=table.choice("length", LengthTerm),
        per=per,
        pieces=pieces,
        runs=table.whole("runs", pieces),
        product=table.optional_text("product", product),
        fastener=None if stated_fastener == NO_FASTENER else stated_fastener,
        when=_read_condition(table.table("when", optional=True)),
        statement=table.text("statement"),
        source=table.text("source"),
    )
    table.close()
    return rule


def _read_condition(table: Table) -> Condition:
    condition = Condition(
        meeting_stiles=table.optional_choice("meeting_stiles", MeetingStiles),
        threshold=table.optional_choice("threshold", Threshold),
    )
    table.close()
    return condition


def _read_spacing(table: Table) -> Spacing:
    text = table.text("length")
    length_nm = 0
    try:
        # Every length in a rule file carries its unit, so this one is not used.
        length_nm = parse_length(text, LengthUnit.MILLIMETRE) if text else 0
    except LengthError as error:
        table.note(f"length: {error}")
    else:
        if text and (length_nm == 0 or text[-1].isdigit()):
            table.note(f"length is {text!r}; give a length above 0, with its unit")
    spacing = Spacing(
        length_nm=length_nm, statement=table.text("statement"), source=table.text("source")
    )
    table.close()
    return spacing


def _read_assumption(table: Table) -> Assumption:
    assumption = Assumption(
        id=table.text("id"), statement=table.text("statement"), source=table.text("source")
    )
    table.close()
    return assumption


def _read_notice(table: Table) -> NoticeRule:
    notice = NoticeRule(
        code=table.choice("code", NoticeCode),
        kinds=table.choices("kinds", OpeningKind),
        when=_read_condition(table.table("when", optional=True)),
        statement=table.text("statement"),
        source=table.text("source"),
    )
    table.close()
    return notice
