"""Where the fasteners of a piece stand."""

from fractions import Fraction

from optimiser.units.counts import fasteners_per_piece


def place_fasteners(
    length_nm: int, spacing_nm: int, end_distance_nm: int, fewest: int
) -> tuple[int, ...]:
    """Return the positions of a piece's fasteners from one end, in nanometres.

    One stands at the end distance from each end, the others between them at even spaces of no
    more than the spacing, rounded to a whole nanometre. A piece too short for both end
    distances has its fasteners in the middles of equal parts.

    Source: even division, as `units.counts.fasteners_per_piece` counts them.
    """
    count = fasteners_per_piece(length_nm, spacing_nm, end_distance_nm, fewest)
    between_nm = length_nm - 2 * end_distance_nm
    if between_nm <= 0:
        return tuple(
            round(Fraction((2 * place + 1) * length_nm, 2 * count)) for place in range(count)
        )
    return tuple(
        end_distance_nm + round(Fraction(place * between_nm, count - 1)) for place in range(count)
    )
