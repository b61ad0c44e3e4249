"""The sentences of lengths made with settings, and of the notices about sizes and astragals."""

from optimiser.domain.notices import SizeTakenForBoth
from optimiser.domain.opening import SizeOf
from optimiser.domain.reasons import AstragalByOthers, RuleFired
from optimiser.explain import sentence
from optimiser.units.lengths import NM_PER_INCH, LengthUnit


def firing(**fields: object) -> RuleFired:
    stated = {
        "rule_id": "r",
        "statement": "The sill takes one.",
        "source": "invented",
        "inputs_nm": (("opening width", 36 * NM_PER_INCH),),
        "divided_by": 1,
        "length_nm": 0,
        "count": 1,
        "marks": ("D-1",),
    }
    return RuleFired(**(stated | fields))  # type: ignore[arg-type]


def test_setting_that_is_added_or_deducted_stands_in_the_sum() -> None:
    fired = firing(
        adjusted_nm=(("2 × jamb notch", NM_PER_INCH), ("end clearance", -NM_PER_INCH // 8)),
        length_nm=36 * NM_PER_INCH + NM_PER_INCH * 7 // 8,
    )
    assert sentence(fired, LengthUnit.INCH, "USD") == (
        "D-1: The sill takes one. Opening width 36 in + 2 × jamb notch 1 in − end clearance "
        "1/8 in = 36 7/8 in: 1 piece per opening (rule r; invented)."
    )


def test_settings_come_after_the_division() -> None:
    fired = firing(
        inputs_nm=(("opening width", 72 * NM_PER_INCH), ("jamb gaps", -NM_PER_INCH)),
        divided_by=2,
        adjusted_nm=(("lap", -NM_PER_INCH // 2),),
        length_nm=35 * NM_PER_INCH,
    )
    assert "(opening width 72 in − jamb gaps 1 in) ÷ 2 − lap 1/2 in = 35 in:" in sentence(
        fired, LengthUnit.INCH, "USD"
    ).replace("(Opening", "(opening")


def test_length_of_settings_alone_is_worded() -> None:
    fired = firing(
        inputs_nm=(), adjusted_nm=(("keeper gap", 5 * NM_PER_INCH),), length_nm=5 * NM_PER_INCH
    )
    assert "Keeper gap 5 in: 1 piece per opening" in sentence(fired, LengthUnit.INCH, "USD")


def test_astragal_is_told() -> None:
    notice = AstragalByOthers(height_nm=80 * NM_PER_INCH, marks=("P-1",))
    assert sentence(notice, LengthUnit.INCH, "USD") == (
        "P-1: the meeting stiles, 80 in high, are closed by an astragal, which is not in this "
        "order: others supply it."
    )


def test_nominal_size_taken_as_net_is_told() -> None:
    notice = SizeTakenForBoth(size_of=SizeOf.NOMINAL, marks=("D-1",))
    assert sentence(notice, LengthUnit.INCH, "USD") == (
        "D-1: the size stated is nominal, and is taken as the net size of the leaf. Measure before "
        "cutting, or state policy.clearances."
    )
