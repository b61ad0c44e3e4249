"""Read a rule set from plain tables, as TOML and JSON give them, and name every fault."""

from optimiser.domain.faults import Fault
from optimiser.domain.opening import OPTIONS, Edge, OpeningKind
from optimiser.domain.takeoff import LiesOn
from optimiser.rule_sets.coherence import find_told_incoherences
from optimiser.rule_sets.rule_set import (
    Assumption,
    Condition,
    CountedPer,
    LengthFormula,
    LengthTerm,
    NoticeCode,
    NoticeRule,
    Rule,
    RuleSet,
    Setting,
    Spacing,
    SpacingSetBy,
    Step,
)
from optimiser.rule_sets.table import Table, show
from optimiser.units.counts import FEWEST_FASTENERS_PER_PIECE

NO_FASTENER = "none"
"""What a rule states as its fastener where its pieces take none from the order."""


class RuleSetError(ValueError):
    """A rule set is wrong. `faults` holds every fault; a path leads to its place."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__(
            "; ".join(
                f"/{'/'.join(str(step) for step in fault.path)}: {fault.message}"
                for fault in faults
            )
        )


def read_rule_set(entries: object) -> RuleSet:
    """Return the rule set that plain tables state: dicts, lists, texts and whole numbers.

    Raises:
        RuleSetError: not a rule set; every fault is named.
    """
    if not isinstance(entries, dict):
        message = f"{show(entries)} is not a table; give one with the keys of a rule set"
        raise RuleSetError((Fault((), "not-a-table", message),))
    faults: list[Fault] = []
    rule_set = _read_rule_set(Table(entries, faults))
    faults += tuple(find_told_incoherences(rule_set, tuple(faults)))
    if faults:
        raise RuleSetError(tuple(faults))
    return rule_set


def find_rule_set_faults(entries: object) -> tuple[Fault, ...]:
    """Return every fault of a rule set stated as plain tables; empty where it is sound."""
    try:
        read_rule_set(entries)
    except RuleSetError as error:
        return error.faults
    return ()


def _read_rule_set(table: Table) -> RuleSet:
    product, fastener = table.text("product"), table.text("fastener")
    rules = tuple(_read_rule(entry, product, fastener) for entry in table.tables("rules", "id"))
    if not rules:
        table.note("rules", "missing", "is empty; state at least one")
    rule_set = RuleSet(
        id=table.identifier("id"),
        title=table.text("title"),
        statement=table.text("statement"),
        source=table.text("source"),
        product=product,
        fastener=fastener,
        spacing=_read_spacing(table.table("spacing")),
        settings=tuple(_read_setting(entry) for entry in table.tables("settings", "id")),
        assumptions=tuple(_read_assumption(entry) for entry in table.tables("assumptions", "id")),
        notices=tuple(_read_notice(entry) for entry in table.tables("notices", "code")),
        steps=tuple(_read_step(entry) for entry in table.tables("steps", "statement")),
        rules=rules,
    )
    table.close()
    return rule_set


def _read_rule(table: Table, product: str, fastener: str) -> Rule:
    stated_fastener = table.optional_text("fastener") or fastener
    per = table.choice("per", CountedPer, CountedPer.OPENING)
    pieces = table.whole("pieces", 1)
    rule = Rule(
        id=table.identifier("id", dots=True),
        kinds=table.choices("kinds", OpeningKind),
        edge=table.choice("edge", Edge),
        member=table.text("member"),
        lies_on=table.choice("lies_on", LiesOn),
        length=_read_formula(table),
        per=per,
        pieces=pieces,
        runs=table.whole("runs", pieces, least=0),
        product=table.optional_text("product") or product,
        fastener=None if stated_fastener == NO_FASTENER else stated_fastener,
        spacing=table.optional_text("spacing"),
        end_distance=table.optional_text("end_distance"),
        least_fasteners=table.whole(
            "least_fasteners", FEWEST_FASTENERS_PER_PIECE, least=FEWEST_FASTENERS_PER_PIECE
        ),
        when=_read_condition(table.table("when", optional=True)),
        yields_to=table.texts("yields_to"),
        statement=table.text("statement"),
        source=table.text("source"),
    )
    table.close()
    return rule


def _read_formula(table: Table) -> LengthFormula:
    """Return a length stated as a size alone, or as a table: a size, plus and less settings."""
    if not table.has_table("length"):
        return LengthFormula(of=table.choice("length", LengthTerm))
    inner = table.table("length")
    formula = LengthFormula(
        of=inner.choice("of", LengthTerm) if inner.has("of") else None,
        plus=inner.counts("plus"),
        less=inner.counts("less"),
    )
    inner.close()
    return formula


def _read_condition(table: Table) -> Condition:
    condition = Condition(
        options=tuple(
            (name, table.choices(name, choices, one_is_enough=True))
            for name, choices in OPTIONS.items()
            if table.has(name)
        )
    )
    table.close()
    return condition


def _read_spacing(table: Table) -> Spacing:
    spacing = Spacing(
        length_nm=table.length_nm("length"),
        set_by=table.choice("set_by", SpacingSetBy, SpacingSetBy.INSTALLER),
        statement=table.text("statement"),
        source=table.text("source"),
    )
    table.close()
    return spacing


def _read_setting(table: Table) -> Setting:
    setting = Setting(
        id=table.identifier("id"),
        length_nm=table.length_nm("length", least=0),
        statement=table.text("statement"),
        source=table.text("source"),
    )
    table.close()
    return setting


def _read_assumption(table: Table) -> Assumption:
    assumption = Assumption(
        id=table.identifier("id"), statement=table.text("statement"), source=table.text("source")
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


def _read_step(table: Table) -> Step:
    step = Step(
        statement=table.text("statement"),
        source=table.text("source"),
        kinds=table.choices("kinds", OpeningKind) if table.has("kinds") else tuple(OpeningKind),
    )
    table.close()
    return step
