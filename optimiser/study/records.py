"""A study as flat records: one for each point, which table libraries take as they are."""

from decimal import Decimal

from optimiser.domain.study import Study, StudyRow

Value = str | int | Decimal | bool | None


def to_records(study: Study) -> list[dict[str, Value]]:
    """Return the base and then each point as a flat record, all with the same members.

    Money is `Decimal`, lengths are whole nanometres; what a point without a plan has not is `None`.
    An axis has a column of its name; the base has no value there.
    """
    axes = list(dict.fromkeys(axis for row in study.rows for axis, _ in row.values))
    return [_record(row, axes) for row in (study.base, *study.rows)]


def _record(row: StudyRow, axes: list[str]) -> dict[str, Value]:
    values = dict(row.values)
    certificate = row.certificate
    return {
        "scenario": row.scenario,
        **{axis: values.get(axis) for axis in axes},
        "outcome": row.outcome.value,
        "currency": row.currency or None,
        "cost": row.cost,
        "difference": row.difference,
        "difference_percent": row.difference_percent,
        "kits": row.kits,
        "kits_with_fasteners": row.kits_with_fasteners,
        "spare_fasteners": row.spare_fasteners,
        "drop_nm": row.drop_nm,
        "lower_bound": None if certificate is None else certificate.lower_bound,
        "gap": None if certificate is None else certificate.gap,
        "proved": row.proved,
        "changes": ", ".join(
            f"{change.sku} {change.base_quantity} > {change.quantity}" for change in row.changes
        ),
        "equal_to": row.equal_to or None,
        "why_not": " ".join(fault.message for fault in row.faults) or None,
    }
