"""Writing what a study answers: as data, and as flat records for a table."""

from collections.abc import Sequence
from typing import Any

from optimiser.domain import study as domain
from optimiser.domain.break_even import Bought, BreakEven, Flip, Influence
from optimiser.domain.study_questions import Answer
from optimiser.units.lengths import LengthUnit
from service.mapping.faults import settle_path
from service.mapping.shown import ValueWriter, write_decimal, write_gap_percent
from service.mapping.stating import state
from service.problems import write_pointer
from service.wire import plan
from service.wire import study_answers as wire
from service.wire.answers import ProblemFault


def write_study(
    study: domain.Study,
    raws: Sequence[Any],
    unit: LengthUnit,
    *,
    answers: Sequence[Answer] = (),
    break_evens: Sequence[BreakEven] = (),
    ranking: Sequence[Influence] = (),
) -> wire.Study:
    """Return a study as an answer states it; `raws` has each point's order as JSON."""
    base = study.base
    writer = ValueWriter(unit, base.currency)
    rows = [_write_row(row, raw, unit) for row, raw in zip(study.rows, raws, strict=True)]
    return wire.Study(
        currency=base.currency,
        base=_write_row(base, None, unit),
        rows=rows,
        answers=[state(wire.QuestionAnswer, one, writer) for one in answers],
        break_evens=[_write_break_even(one, writer) for one in break_evens],
        ranking=[_write_influence(one, writer) for one in ranking],
        planned=sum(row.outcome is domain.PointOutcome.PLANNED for row in study.rows),
        proved=sum(row.proved for row in study.rows),
    )


def _write_break_even(found: BreakEven, writer: ValueWriter) -> wire.BreakEven:
    return wire.BreakEven(
        axis=found.axis,
        low=f"{found.low:f}",
        high=f"{found.high:f}",
        step=f"{found.step:f}",
        flips=[_write_flip(flip, writer) for flip in found.flips],
        curve=[
            wire.CurvePoint(
                value=f"{value:f}",
                outcome=row.outcome,
                cost=None if row.cost is None else writer.amount(row.cost),
                proved=row.proved,
            )
            for value, row in found.curve
        ],
        searched_to=f"{found.searched_to:f}",
        complete=found.complete,
        watched=list(found.watched),
    )


def _write_flip(flip: Flip, writer: ValueWriter) -> wire.Flip:
    return state(
        wire.Flip,
        flip,
        writer,
        low=f"{flip.low:f}",
        high=f"{flip.high:f}",
        below=_write_bought(flip.below),
        above=_write_bought(flip.above),
    )


def _write_bought(bought: Bought | None) -> list[wire.Bought] | None:
    if bought is None:
        return None
    return [wire.Bought(supplier=s, sku=sku, quantity=quantity) for s, sku, quantity in bought]


def _write_influence(found: Influence, writer: ValueWriter) -> wire.Influence:
    return wire.Influence(
        name=found.name,
        base_value=found.base_value,
        low_value=found.low_value,
        high_value=found.high_value,
        low=_write_row(found.low, None, writer.unit),
        high=_write_row(found.high, None, writer.unit),
        swing=None if found.swing is None else writer.amount(found.swing),
    )


def _write_row(row: domain.StudyRow, raw: Any, unit: LengthUnit) -> wire.StudyRow:
    writer = ValueWriter(unit, row.currency or "USD")
    certificate, percent = row.certificate, row.difference_percent
    return wire.StudyRow(
        scenario=row.scenario,
        values=[wire.AxisValue(axis=axis, value=value) for axis, value in row.values],
        outcome=row.outcome,
        faults=[
            ProblemFault(
                pointer=write_pointer(fault.path if raw is None else settle_path(fault.path, raw)),
                code=fault.code,
                message=fault.message,
            )
            for fault in row.faults
        ],
        equal_to=row.equal_to or None,
        cost=None if row.cost is None else writer.amount(row.cost),
        difference=None if row.difference is None else writer.amount(row.difference),
        difference_percent=None if percent is None else write_decimal(percent),
        changes=[state(wire.PurchaseChange, change, writer) for change in row.changes],
        kits=row.kits,
        kits_with_fasteners=row.kits_with_fasteners,
        spare_fasteners=row.spare_fasteners,
        drop=None if row.drop_nm is None else writer.length(row.drop_nm),
        certificate=None
        if certificate is None
        else state(
            plan.Certificate,
            certificate,
            writer,
            gap_percent=write_gap_percent(certificate.gap, certificate.lower_bound),
        ),
    )
