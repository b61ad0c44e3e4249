"""A formulated program, and what its columns, covers and sources stand for."""

from dataclasses import dataclass

from optimiser.domain.catalogue import Material
from optimiser.solver.price_grid import PriceGrid
from optimiser.solver.program import Program


@dataclass(frozen=True, slots=True, kw_only=True)
class UpgradeClass:
    """Kits that one column upgrades: `members` are (set, bare SKU, SKU with fasteners)."""

    column: int
    members: tuple[tuple[int, str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Formulation:
    """A program, and what its columns, covers and sources stand for.

    `kits` maps (set, SKU) to a column; `stock` and `packs` map a SKU to a column. `lengths`
    gives each cover's length in nanometres and `source_lengths` each source's material and
    length. `drops` gives the drop that one of each block column adds, in a common measure of
    lengths: what is bought adds its length, a kit takes its pieces' length away from cutting.
    """

    program: Program
    prices: PriceGrid
    kits: dict[tuple[int, str], int]
    upgrades: tuple[UpgradeClass, ...]
    stock: dict[str, int]
    packs: dict[str, int]
    lengths: tuple[int, ...]
    source_lengths: tuple[tuple[Material, int], ...]
    drops: tuple[int, ...]
