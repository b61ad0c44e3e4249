"""The door and window schedule of Harbour Row as a spreadsheet would have it: 300 rows, invented.

Titles, headings between the rows, a header that is repeated, ranges of marks, sizes in several
spellings, pairs by their total width, and totals. Everything depends on the seed alone.
"""

import csv
import io
import random
from dataclasses import dataclass

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from optimiser.domain.opening import Opening, OpeningKind
from optimiser.units.lengths import NM_PER_INCH

HEADER = ("Mark", "Qty", "Type", "Size", "Width", "Height", "Strip finish", "Spacing", "Hand",
          "Remarks")  # fmt: skip
ROWS_PER_FLOOR = 60

DOORS = ((28, 80), (30, 80), (32, 80), (34, 84), (36, 80), (36, 84))
PAIRS = ((60, 80), (64, 84), (72, 80), (72, 84))
WINDOWS = ((20, 36), (24, 42), (30, 48), (28, 54))
TYPES = {
    OpeningKind.SINGLE_DOOR: ("single", "Single door", "SINGLE_SWING_LEFT", "SGL"),
    OpeningKind.PAIR_OF_DOORS: ("pair", "PR", "Double door", "DOUBLE_DOOR_SINGLE_SWING"),
    OpeningKind.CASEMENT_WINDOW: ("casement", "Casement window", "SIDEHUNGLEFTHAND"),
    OpeningKind.FIXED_WINDOW: ("fixed", "Fixed light", "FIXEDCASEMENT"),
}

Table = list[list[str]]


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """The rows of the file, the places of those that state openings, and these openings.

    `opening_rows` counts from 0; the row of a file is one more.
    """

    table: Table
    opening_rows: tuple[int, ...]
    openings: tuple[Opening, ...]


def draw_schedule(rows: int = 300, *, seed: int = 4) -> Schedule:
    """Return a schedule with `rows` rows that state openings."""
    draw = random.Random(seed)
    table: Table = [["Harbour Row, terrace and hotel"], ["Door and window schedule"], [], [*HEADER]]
    places: list[int] = []
    openings: list[Opening] = []
    number = 1
    for row in range(rows):
        if row % ROWS_PER_FLOOR == 0:
            if row:
                table += [[], [*HEADER]]
            table.append([f"FLOOR {row // ROWS_PER_FLOOR + 1}"])
        drawn, cells = _draw_row(draw, number)
        number += len(drawn)
        places.append(len(table))
        table.append(cells)
        openings += drawn
    table.append(["Total", str(sum(opening.quantity for opening in openings))])
    return Schedule(table=table, opening_rows=tuple(places), openings=tuple(openings))


def _draw_row(draw: random.Random, number: int) -> tuple[list[Opening], list[str]]:
    kind = draw.choice(tuple(TYPES))
    sizes = {OpeningKind.SINGLE_DOOR: DOORS, OpeningKind.PAIR_OF_DOORS: PAIRS}.get(kind, WINDOWS)
    width, height = draw.choice(sizes)
    finish = draw.choice(("zinc", "bronze"))
    letter = "W" if "window" in kind else "D"
    marks, quantity = [f"{letter}-{number:04d}"], draw.randint(1, 3)
    shown, stated = marks[0], str(quantity)
    if draw.random() < 0.15:
        marks = [f"{letter}-{number + step:04d}" for step in range(draw.randint(2, 5))]
        shown, stated = f"{marks[0]} - {marks[-1]}", draw.choice((str(len(marks)), ""))
        quantity = 1
    spacing = draw.choice((2, 3))
    openings = [
        Opening(
            mark=mark,
            kind=kind,
            width_nm=width * NM_PER_INCH,
            height_nm=height * NM_PER_INCH,
            quantity=quantity,
            finish=finish,
            fastener_spacing_nm=spacing * NM_PER_INCH,
            remarks="Hand: LHR",
        )
        for mark in marks
    ]
    size, sides = "", ["", ""]
    if draw.random() < 0.5:
        sides = [draw.choice((str(side), f"{side} in", f'{side}"')) for side in (width, height)]
    else:
        size = draw.choice(_spellings(width, height))
    kind_word = draw.choice(TYPES[kind])
    cells = [shown, stated, kind_word, size, *sides, finish, str(spacing), "LHR", ""]
    return openings, cells


def _spellings(width: int, height: int) -> list[str]:
    (wide, inches), (high, rest) = divmod(width, 12), divmod(height, 12)
    spellings = [
        f"{width} x {height}",
        f"{wide}-{inches} x {high}-{rest}",
        f"{wide}/{inches} {high}/{rest}",
    ]
    if inches < 10 and rest < 10:
        spellings.append(f"{wide}{inches}{high}{rest}")
    return spellings


PLANTED: tuple[tuple[int, int, str, str], ...] = (
    (3, 0, "", "mark-missing"),
    (11, 0, "D-0009 - D-0002", "range-unreadable"),
    (19, 0, "907-909", "quantity-disagrees"),
    (27, 1, "0", "quantity-below-one"),
    (35, 1, "two", "quantity-unreadable"),
    (51, 1, "60000", "quantity-too-high"),
    (66, 2, "", "kind-missing"),
    (74, 2, "door", "kind-ambiguous"),
    (82, 2, "barn", "kind-unknown"),
    (90, 2, "SLIDING_TO_LEFT", "kind-not-taken"),
    (105, 3, "36 by", "door-size-unreadable"),
    (121, 3, "11111", "door-size-unreadable"),
    (137, 4, "3 feet", "size-disagrees"),
    (150, 4, "thirty", "length-unreadable"),
    (166, 5, "0", "length-not-positive"),
    (182, 5, "80,5", "length-unreadable"),
    (200, 6, "", "finish-missing"),
    (221, 7, "-2", "length-unreadable"),
    (250, 0, "@first", "mark-twice"),
    (290, 9, "be\x7fll", "control-character"),
)
"""Twenty faults: the row among those with openings, the column, what is written, the code."""


def plant_faults(schedule: Schedule) -> tuple[Table, list[tuple[int, str, str]]]:
    """Return the schedule with twenty faults, and row, column and code of each.

    A row is made whole before a fault is put into it, so that the fault is its only one.
    """
    table = [[*row] for row in schedule.table]
    planted = []
    for place, column, text, code in PLANTED:
        row = schedule.opening_rows[place]
        mark = table[row][0].split()[0]
        table[row] = [mark, "1", "single", "", "36", "80", "zinc", "2", "LHR", ""]
        if column == 3:
            table[row][4:6] = ["", ""]
        if code == "size-disagrees":
            table[row][3] = "3468"
        table[row][column] = schedule.openings[0].mark if text == "@first" else text
        letter = "B" if code == "quantity-disagrees" else "ABCDEFGHIJ"[column]
        planted.append((row + 1, letter, code))
    return table, planted


def write_csv(table: Table, *, delimiter: str = ",", encoding: str = "utf-8") -> bytes:
    """Return a table as a CSV file."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter).writerows(table)
    return text.getvalue().encode(encoding)


def write_xlsx(table: Table) -> bytes:
    """Return a table as a workbook; numbers are numbers in it, as one types them."""
    workbook = Workbook()
    sheet = workbook.active
    assert isinstance(sheet, Worksheet)
    sheet.title = "Schedule"
    for number, row in enumerate(table, start=1):
        for column, text in enumerate(row, start=1):
            if text:
                cell = sheet.cell(number, column)
                cell.value = int(text) if text.isdigit() else text
    sheet.merge_cells("A1:J1")
    file = io.BytesIO()
    workbook.save(file)
    return file.getvalue()
