"""From a fit of the library to that of the wire."""

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from optimiser.domain import fit as domain
from optimiser.domain.reasons import Caution
from optimiser.render import word_calculation, word_clearance
from optimiser.units.lengths import LengthUnit
from service.mapping.shown import ValueWriter, write_fraction
from service.mapping.told_out import write_caution
from service.wire import fitted as wire


def write_fit(fit: domain.Fit, unit: LengthUnit, cautions: Iterable[Caution]) -> wire.Fit:
    """Return a fit as an answer states it."""
    return wire.Fit(
        **fit_members(fit, ValueWriter(unit, "")),
        unit=unit,
        steps=[
            wire.StepOfWork(statement=statement, source=source)
            for statement, source in fit.preparation.steps
        ],
        cautions=[write_caution(caution) for caution in cautions],
    )


def fit_members(fit: domain.Fit, writer: ValueWriter) -> dict[str, Any]:
    """Return the members of a fit, which an install sheet shows too."""
    rabbet = fit.preparation.rabbet
    return {
        "groove": _write_groove(fit.preparation.groove, writer),
        "rabbet": None
        if rabbet is None
        else wire.Rabbet(
            width=write_calculation(rabbet.width, writer),
            depth=write_calculation(rabbet.depth, writer),
            margin=_write_margin(rabbet.margin, writer),
        ),
        "checks": [_write_check(check, writer) for check in fit.checks],
    }


def _write_groove(groove: domain.GrooveFit, writer: ValueWriter) -> wire.Groove:
    return wire.Groove(
        width=write_calculation(groove.width, writer),
        depth=write_calculation(groove.depth, writer),
        one_pass=None if groove.one_pass is None else _write_bit(groove.one_pass, writer),
        at_or_under=[_write_bit(bit, writer) for bit in groove.at_or_under],
        margin=_write_margin(groove.margin, writer),
    )


def _write_bit(bit: domain.Bit, writer: ValueWriter) -> wire.Bit:
    return wire.Bit(
        size=writer.length(bit.size_nm),
        passes=bit.passes,
        clearance_each_side=writer.length(bit.clearance_each_side_nm),
    )


def _write_margin(margin: domain.Margin, writer: ValueWriter) -> wire.Margin:
    return wire.Margin(
        least_thickness=write_calculation(margin.least_thickness, writer),
        left=write_calculation(margin.left, writer),
        enough=margin.enough,
    )


def _write_check(check: domain.ClearanceCheck, writer: ValueWriter) -> wire.ClearanceCheck:
    return wire.ClearanceCheck(
        what=check.what,
        clearance=writer.length(check.clearance_nm),
        movements=[write_calculation(movement, writer) for movement in check.movements],
        needed=write_calculation(check.needed, writer),
        left=writer.signed_length(check.left_nm),
        enough=check.enough,
        sentence=word_clearance(check, writer.unit),
    )


def write_calculation(calculation: domain.Calculation, writer: ValueWriter) -> wire.Calculation:
    """Return a calculation with its inputs, its source and its sentence."""
    worked_out_nm = calculation.worked_out_nm
    return wire.Calculation(
        what=calculation.what,
        length=writer.signed_length(calculation.length_nm),
        formula=calculation.formula,
        lengths=[
            wire.InputLength(name=name, length=writer.length(length_nm))
            for name, length_nm in calculation.inputs_nm
        ],
        numbers=[
            wire.InputNumber(name=number.name, value=_number(number.value), unit=number.unit)
            for number in calculation.numbers
        ],
        source=calculation.source,
        published_by=calculation.published_by or None,
        worked_out=None if worked_out_nm is None else writer.signed_length(worked_out_nm),
        sentence=word_calculation(calculation, writer.unit),
    )


def _number(value: Fraction) -> str:
    return f"{'-' if value < 0 else ''}{write_fraction(abs(value))}"
