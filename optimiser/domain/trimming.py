"""Trimming standard kits on site: which piece of the kit becomes which piece of the opening."""

from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.domain.catalogue import Material, StandardKit
from optimiser.domain.opening import Edge
from optimiser.domain.takeoff import LiesOn, Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class TrimLine:
    """Pieces of a standard kit to trim on site for one mark, with their label.

    Each is trimmed from `held_nm`, its length in the kit, to `length_nm`; where both are the same
    it is fitted as it comes. `pieces` is the number over all openings of the mark that the kit
    serves. `material` is the kit's.
    """

    label: str
    edge: Edge
    member: str
    lies_on: LiesOn
    sku: str
    material: Material
    held_nm: int
    length_nm: int
    pieces: int


def pair_longest(
    pieces: tuple[Piece, ...], kit: StandardKit
) -> Iterator[tuple[Piece, tuple[tuple[int, int], ...]]]:
    """Yield each piece in its order with the lengths of the kit that it is trimmed from.

    Lengths come with how many pieces of one opening are trimmed from each. The longest piece is
    trimmed from the longest of the kit: if that does not do, no other pairing does.
    """
    held = sorted((nm for nm, count in kit.lengths for _ in range(count)), reverse=True)
    taken: dict[int, dict[int, int]] = {}
    longest_first = sorted(range(len(pieces)), key=lambda at: -pieces[at].length_nm)
    wanted = [at for at in longest_first for _ in range(pieces[at].count)]
    for at, held_nm in zip(wanted, held, strict=False):
        lengths = taken.setdefault(at, {})
        lengths[held_nm] = lengths.get(held_nm, 0) + 1
    for at, piece in enumerate(pieces):
        yield piece, tuple(taken.get(at, {}).items())
