"""The pool of fasteners that a kit or a loose pack serves."""

from optimiser.domain.catalogue import FastenerPack, Kit
from optimiser.domain.order import Policy
from optimiser.domain.takeoff import FastenerPool


def pool_of_kit(kit: Kit, policy: Policy) -> FastenerPool:
    """Return the pool that a kit's fasteners serve; a bare kit serves none that is needed."""
    fastener = kit.fasteners.fastener if kit.fasteners else ""
    return FastenerPool(fastener, kit.material.finish if policy.fasteners_match_finish else None)


def pool_of_pack(pack: FastenerPack, policy: Policy) -> FastenerPool:
    """Return the pool that a loose pack serves."""
    return FastenerPool(pack.fastener, pack.finish if policy.fasteners_match_finish else None)
