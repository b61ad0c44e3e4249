"""A study as flat records, and as a table in CSV (RFC 4180)."""

import csv
from io import StringIO

from optimiser.domain.study import Study
from optimiser.study import to_records


def write_study_table(study: Study) -> str:
    """Return a row for each point, in CSV, with the names of the columns first."""
    records = to_records(study)
    out = StringIO(newline="")
    names = list(dict.fromkeys(name for record in records for name in record))
    writer = csv.DictWriter(out, names, restval="")
    writer.writeheader()
    writer.writerows(records)
    return out.getvalue()
