"""What is trimmed on site: every piece that a standard kit supplies, from a piece long enough."""

from collections import Counter
from collections.abc import Iterator

from optimiser.domain.opening import Edge
from optimiser.domain.order import Order
from optimiser.domain.plan import OpeningPlan, Plan

Part = tuple[str, Edge, str, int]
"""Kit, edge, member and net length."""


def check_trims(order: Order, plan: Plan) -> Iterator[str]:
    """Yield trim lists that leave a piece out, or trim more from a kit than it holds."""
    kits = {kit.sku: kit for kit in order.catalogue.standard_kits}
    for opening in plan.openings:
        mark = opening.takeoff.opening.mark
        yield from _check_pieces(opening, mark)
        serves: Counter[str] = Counter()
        for supply in opening.supplies:
            for sku, openings in supply.standard_kits:
                serves[sku] += openings
        used: Counter[tuple[str, int]] = Counter()
        for line in opening.trim_list:
            used[line.sku, line.held_nm] += line.pieces
            if line.held_nm < line.length_nm:
                yield f"Trimming for {mark}: {line.length_nm} nm from {line.held_nm} nm."
            if line.sku in kits and line.material != kits[line.sku].material:
                yield f"Trimming for {mark}: {line.material}, expected {kits[line.sku].material}."
        for (sku, held_nm), pieces in sorted(used.items()):
            lengths = kits[sku].lengths if sku in kits else ()
            held = sum(count for length_nm, count in lengths if length_nm == held_nm)
            if pieces > held * serves[sku]:
                yield (
                    f"Trimming for {mark}: {pieces} of {held_nm} nm from kit {sku}, "
                    f"expected {held * serves[sku]} at most."
                )


def _check_pieces(opening: OpeningPlan, mark: str) -> Iterator[str]:
    wanted: Counter[Part] = Counter()
    for supply in opening.supplies:
        for sku, openings in supply.standard_kits:
            for piece in opening.takeoff.pieces:
                if piece.material == supply.material:
                    part = sku, piece.edge, piece.member, piece.length_nm
                    wanted[part] += piece.count * openings
    shown: Counter[Part] = Counter()
    for line in opening.trim_list:
        shown[line.sku, line.edge, line.member, line.length_nm] += line.pieces
    for part in sorted({*wanted, *shown}):
        if wanted[part] != shown[part]:
            yield (
                f"Trimming for {mark}, kit {part[0]}: {shown[part]} × {part[3]} nm at the "
                f"{part[1]}, expected {wanted[part]}."
            )
