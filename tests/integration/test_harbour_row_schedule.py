"""The schedule of Harbour Row in CSV and in XLSX: read, refused with twenty faults, planned."""

import json
from collections.abc import Callable
from dataclasses import replace

import pytest

from optimiser.planning import make_plan
from optimiser.schedules import read_schedule
from optimiser.units.lengths import LengthUnit
from service.mapping.reading import read_order
from service.wire.order import Order as WireOrder
from tests.harbour_row import mixed_order
from tests.harbour_row_schedule import (
    PLANTED,
    Table,
    draw_schedule,
    plant_faults,
    write_csv,
    write_xlsx,
)

Write = Callable[[Table], bytes]

FORMS = pytest.mark.parametrize(
    "write",
    [
        pytest.param(write_csv, id="csv"),
        pytest.param(lambda table: write_csv(table, delimiter="|", encoding="utf-16"), id="csv16"),
        pytest.param(write_xlsx, id="xlsx"),
    ],
)


def test_schedule_has_three_hundred_rows_of_every_kind_and_spelling() -> None:
    schedule = draw_schedule()
    assert len(schedule.opening_rows) == 300
    assert len({opening.mark for opening in schedule.openings}) == len(schedule.openings)
    assert len({opening.kind for opening in schedule.openings}) == 4


@FORMS
def test_clean_schedule_gives_exactly_its_openings(write: Write) -> None:
    schedule = draw_schedule()
    reading = read_schedule(write(schedule.table), unit=LengthUnit.INCH)
    assert [fault.message for fault in reading.faults] == []
    assert [replace(opening, notes=()) for opening in reading.openings] == list(schedule.openings)
    assert [row.row for row in reading.rows] == [place + 1 for place in schedule.opening_rows]
    # Every row of the file is accounted for: as openings or as skipped.
    skipped = [n for rows in reading.skipped for n in range(rows.first, rows.last + 1)]
    assert sorted([*skipped, *(row.row for row in reading.rows)]) == list(
        range(1, len(schedule.table) + 1)
    )


@FORMS
def test_twenty_planted_faults_are_reported_by_row_and_column_and_no_other(write: Write) -> None:
    table, planted = plant_faults(draw_schedule())
    assert len(planted) == len(PLANTED) == 20
    reading = read_schedule(write(table), unit=LengthUnit.INCH)
    found = [(fault.place.row, fault.place.column, fault.code) for fault in reading.faults]
    assert found == planted
    assert (reading.openings, reading.rows) == ((), ())


def test_clean_schedule_is_planned_end_to_end() -> None:
    schedule = draw_schedule()
    from_csv = read_schedule(write_csv(schedule.table), unit=LengthUnit.INCH)
    from_workbook = read_schedule(write_xlsx(schedule.table), unit=LengthUnit.INCH)
    assert from_csv.openings == from_workbook.openings
    wire = mixed_order(1) | {"policy": {"kerf": "1/16", "alternatives": False}}
    order = read_order(json.dumps(wire).encode(), WireOrder)
    plan = make_plan(replace(order, openings=from_csv.openings))
    assert plan.certificate.proved
    quantities = {o.takeoff.opening.mark: o.takeoff.opening.quantity for o in plan.openings}
    assert quantities == {opening.mark: opening.quantity for opening in schedule.openings}
    assert plan.total == sum(line.amount for line in plan.account)
