"""The report on a schedule as text: what was read, what is wrong, what was skipped."""

from optimiser.schedules.reading import ScheduleReading


def write_report(reading: ScheduleReading) -> str:
    """Return the report, row by row, with a line for each fault, note and skipped row."""
    columns = [
        f"  {column.letter}  {' '.join(column.header.split()) or '(no header)'}: "
        + (f"{column.field}" + (f", in {column.unit}" if column.unit else "")
           if column.field else "not read")
        for column in reading.columns
    ]  # fmt: skip
    sections = [[f"Schedule: {reading.described}"]]
    if columns:
        sections.append(["Columns", *columns])
    if reading.faults:
        count = len(reading.faults)
        said = "1 fault" if count == 1 else f"{count:,} faults"
        sections.append(
            [
                f"{said}; nothing was taken",
                *(f"  {_one_line(fault.message)}" for fault in reading.faults),
            ]
        )
    else:
        marks = len(reading.openings)
        sections.append(
            [f"{marks:,} {'mark' if marks == 1 else 'marks'}, {reading.quantity:,} openings"]
        )
    if reading.notes:
        sections.append(["To look at", *(f"  {_one_line(n.message)}" for n in reading.notes)])
    if reading.skipped:
        sections.append(["Skipped", *(f"  {rows.message}" for rows in reading.skipped)])
    return "\n\n".join("\n".join(section) for section in sections) + "\n"


def _one_line(text: str) -> str:
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
