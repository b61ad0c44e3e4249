"""From a rule set of the library to that of the wire."""

from optimiser.rule_sets import RuleSet
from optimiser.rule_sets.rule_set import Condition, LengthFormula
from optimiser.units.lengths import LengthUnit
from service.mapping.shown import ValueWriter
from service.wire import rule_sets as wire

_WRITER = ValueWriter(LengthUnit.INCH, "USD")
"""The sources state the spacing in inches; a rule set has no prices."""


def write_summary(rule_set: RuleSet) -> wire.RuleSetSummary:
    """Return a rule set in short."""
    return wire.RuleSetSummary(
        id=rule_set.id,
        title=rule_set.title,
        statement=rule_set.statement,
        kinds=list(rule_set.kinds),
    )


def write_rule_set(rule_set: RuleSet) -> wire.RuleSet:
    """Return a rule set with its rules and their sources."""
    spacing = rule_set.spacing
    return wire.RuleSet(
        id=rule_set.id,
        title=rule_set.title,
        statement=rule_set.statement,
        kinds=list(rule_set.kinds),
        source=rule_set.source,
        product=rule_set.product,
        fastener=rule_set.fastener,
        spacing=wire.Spacing(
            length=_WRITER.length(spacing.length_nm),
            set_by=spacing.set_by,
            statement=spacing.statement,
            source=spacing.source,
        ),
        settings=[
            wire.Setting(
                id=entry.id,
                length=_WRITER.length(entry.length_nm),
                statement=entry.statement,
                source=entry.source,
            )
            for entry in rule_set.settings
        ],
        assumptions=[
            wire.Assumption(id=entry.id, statement=entry.statement, source=entry.source)
            for entry in rule_set.assumptions
        ],
        notices=[
            wire.RuleSetNotice(
                code=notice.code.value,
                kinds=list(notice.kinds),
                when=_write_condition(notice.when),
                statement=notice.statement,
                source=notice.source,
            )
            for notice in rule_set.notices
        ],
        steps=[
            wire.Step(kinds=list(step.kinds), statement=step.statement, source=step.source)
            for step in rule_set.steps
        ],
        rules=[
            wire.Rule(
                id=rule.id,
                kinds=list(rule.kinds),
                edge=rule.edge,
                member=rule.member,
                lies_on=rule.lies_on,
                length=_write_formula(rule.length),
                per=rule.per,
                pieces=rule.pieces,
                runs=rule.runs,
                product=rule.product,
                fastener=rule.fastener,
                spacing=rule.spacing,
                end_distance=rule.end_distance,
                least_fasteners=rule.least_fasteners,
                yields_to=list(rule.yields_to),
                when=_write_condition(rule.when),
                statement=rule.statement,
                source=rule.source,
            )
            for rule in rule_set.rules
        ],
    )


def _write_condition(condition: Condition) -> wire.Condition:
    return wire.Condition.model_validate(
        {name: [value.value for value in values] for name, values in condition.options}
    )


def _write_formula(formula: LengthFormula) -> wire.LengthFormula:
    return wire.LengthFormula(
        of=formula.of,
        plus=[wire.SettingTimes(setting=name, times=times) for name, times in formula.plus],
        less=[wire.SettingTimes(setting=name, times=times) for name, times in formula.less],
    )
