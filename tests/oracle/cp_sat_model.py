"""The purchase program as a textbook assignment model for OR-Tools CP-SAT.

Bars are numbered one by one and pieces assigned to them; no patterns, no column generation.
It shares no code with the library: plain integers in, a bracket of the least cost in cents out.
"""

from collections import Counter

from ortools.sat.python import cp_model

from tests.oracle.small_orders import SmallOrder


def bracket_cost_cents(order: SmallOrder, *, effort: float = 0.5) -> tuple[int, int]:
    """Return (lower bound, cost found) in cents; they are equal where CP-SAT proves the cost.

    `effort` is CP-SAT's deterministic time, so that the answer is the same on every machine.
    """
    model = cp_model.CpModel()
    cost: list[cp_model.LinearExprT] = []
    nails: list[cp_model.LinearExprT] = []
    wanted: dict[str, Counter[int]] = {}
    cut_of = []
    for number, door in enumerate(order.doors):
        cut = model.new_int_var(0, door.quantity, f"cut{number}")
        kits = []
        for kit_number, kit in enumerate(order.kits):
            terms = order.kit_terms(door, kit)
            if terms is None:
                continue
            taken = model.new_int_var(0, door.quantity, f"kit{number}_{kit_number}")
            kits.append(taken)
            cost.append(terms[0] * taken)
            nails.append(terms[1] * taken)
        model.add(cut + sum(kits) == door.quantity)
        cut_of.append(cut)
        most = wanted.setdefault(door.finish, Counter())
        for length in door.pieces():
            most[length] += door.quantity
    for finish, most in wanted.items():
        _add_bars(model, order, finish, most, cut_of, cost)
    for pack in order.packs:
        lots = model.new_int_var(0, order.nails_needed() // (pack.low * pack.multiple) + 1, "")
        cost.append(pack.cents * pack.multiple * lots)
        nails.append(pack.low * pack.multiple * lots)
    model.add(sum(nails) >= order.nails_needed())
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = effort
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE), solver.status_name(status)
    return round(solver.best_objective_bound), round(solver.objective_value)


def _add_bars(
    model: cp_model.CpModel,
    order: SmallOrder,
    finish: str,
    most: Counter[int],
    cut_of: list[cp_model.IntVar],
    cost: list[cp_model.LinearExprT],
) -> None:
    given: dict[int, list[cp_model.LinearExprT]] = {length: [] for length in most}
    for number, bar in enumerate(order.bars):
        if bar.finish != finish:
            continue
        room = bar.length - 2 * order.trim + order.kerf
        fits = {length: room // (length + order.kerf) for length in most}
        # One bar for each piece is always enough.
        bars = sum(count for length, count in most.items() if fits[length])
        used_before = None
        used_all = []
        for position in range(bars):
            used = model.new_bool_var(f"used{finish}{number}_{position}")
            if used_before is not None:
                model.add_implication(used, used_before)
            used_before = used
            used_all.append(used)
            held = []
            for length in most:
                if not fits[length]:
                    continue
                count = model.new_int_var(0, min(fits[length], most[length]), "")
                given[length].append(count)
                held.append((length + order.kerf) * count)
            model.add(sum(held) <= room * used)
        lots = model.new_int_var(0, bars // bar.multiple + 1, "")
        model.add(sum(used_all) <= bar.multiple * lots)
        cost.append(bar.cents * bar.multiple * lots)
    for length, counts in given.items():
        needed = [
            cut * door.pieces().count(length)
            for door, cut in zip(order.doors, cut_of, strict=True)
            if door.finish == finish
        ]
        model.add(sum(counts) >= sum(needed))
