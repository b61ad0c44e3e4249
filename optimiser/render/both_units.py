"""A length for people with either rule: a fraction of an inch and millimetres, side by side."""

from optimiser.units.lengths import FINEST_FRACTION, NM_PER_INCH, LengthUnit, format_length

_STEP_NM = {LengthUnit.INCH: NM_PER_INCH // FINEST_FRACTION, LengthUnit.MILLIMETRE: 100_000}
"""What the other unit is rounded to: 1/64 in, or a tenth of a millimetre."""


def write_both_units(length_nm: int, unit: LengthUnit = LengthUnit.INCH) -> str:
    """Return a length in `unit` as it is, and in the other unit: `36 1/2 in (927.1 mm)`.

    The other unit is rounded to what its rule shows, and says so: `914 mm (about 35 63/64 in)`.
    A length that inches cannot show exactly is written in millimetres first.
    """
    own = format_length(length_nm, unit)
    first = LengthUnit.MILLIMETRE if own.endswith(f" {LengthUnit.MILLIMETRE}") else LengthUnit.INCH
    other = LengthUnit.INCH if first is LengthUnit.MILLIMETRE else LengthUnit.MILLIMETRE
    step_nm = _STEP_NM[other]
    rounded_nm = (2 * length_nm + step_nm) // (2 * step_nm) * step_nm
    about = "" if rounded_nm == length_nm else "about "
    return f"{own} ({about}{format_length(rounded_nm, other)})"
