"""Cut charges moved from patterns to what is to be cut, where the engine need not see them.

No plan needs surplus pieces: taking one off a bar leaves a plan that costs no more. A plan
without surplus cuts need_i = at_least_i − Σ_k term_ik y_k pieces of cover i, which is never below
zero, so that with one charge c for a piece on every source

    Σ_j c pieces_j x_j  =  c Σ_i at_least_i − Σ_k (c Σ_i term_ik) y_k.

The first term is the same for every plan; the second belongs to the block columns. What remains
is a program whose bars cost nothing to cut, in which fuller patterns are always as good.
"""

from dataclasses import replace

from optimiser.solver.program import Program


def fold_cut_charges(program: Program) -> tuple[Program, int]:
    """Return a program without cut charges, and what every plan of it costs besides.

    Raises:
        ValueError: sources ask different charges.
    """
    charges = {source.piece_cost for source in program.sources} or {0}
    if len(charges) > 1:
        raise ValueError(f"cut charges differ: {sorted(charges)}; one holds for all sources")
    charge = charges.pop()
    if not charge:
        return program, 0
    pieces = [0] * len(program.columns)
    for cover in program.covers:
        for k, coefficient in cover.terms:
            pieces[k] += coefficient
    return (
        replace(
            program,
            columns=tuple(
                replace(column, cost=column.cost - charge * of)
                for column, of in zip(program.columns, pieces, strict=True)
            ),
            sources=tuple(replace(source, piece_cost=0) for source in program.sources),
        ),
        charge * sum(cover.at_least for cover in program.covers),
    )
