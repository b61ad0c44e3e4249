"""The rack through the life of an order: what is taken, given back, and left on it.

An offcut is known by its id, fasteners by their type and finish. Racks come back in the natural
order of their names, without entries of none.
"""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from optimiser.domain.catalogue import Material
from optimiser.domain.deliveries import CutBars
from optimiser.domain.faults import Fault, RackRejected
from optimiser.domain.phrases import plural
from optimiser.domain.plan import Plan, RackSource, UsedOffcut
from optimiser.domain.rack import FastenersOnHand, Offcut, Rack
from optimiser.fulfilment.cutting import count_cut
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.natural_order import natural_key

FastenerKey = tuple[str, str | None]


def take(rack: Rack, plan: Plan) -> Rack:
    """Return the rack when a plan has taken its offcuts and fasteners.

    Raises:
        RackRejected: the rack no longer holds what the plan wants, or holds something else by
            its name; every fault is named, nothing is taken.
    """
    there = {offcut.id: offcut for offcut in rack.offcuts}
    held = {(entry.fastener, entry.finish): entry for entry in rack.fasteners}
    faults: list[Fault] = []
    for position, used in enumerate(plan.offcuts_used):
        path = ("offcuts_used", position)
        offcut = there.get(used.id)
        faults += _differs(path, used, offcut, plan.unit)
        quantity = 0 if offcut is None else offcut.quantity
        if quantity < used.used:
            faults.append(
                Fault(
                    (*path, "used"),
                    "rack-short",
                    f"Offcut {used.id}: the plan takes {used.used:,}, and {quantity:,} "
                    f"{'is' if quantity == 1 else 'are'} on the rack; plan anew with the rack as "
                    "it is.",
                )
            )
        if offcut is not None:
            there[used.id] = replace(offcut, quantity=quantity - used.used)
    for position, taken in enumerate(plan.fasteners_used):
        key = taken.fastener, taken.finish
        count = held[key].count if key in held else 0
        if count < taken.used:
            faults.append(
                Fault(
                    ("fasteners_used", position, "used"),
                    "rack-short",
                    f"{_name(key)} on hand: the plan takes {taken.used:,}, and {count:,} are "
                    "there; plan anew with the rack as it is.",
                )
            )
        elif key in held:
            held[key] = replace(held[key], count=count - taken.used)
    if faults:
        raise RackRejected(tuple(faults))
    return _rack_of(there, held)


def give_back(rack: Rack, plan: Plan) -> Rack:
    """Return the rack when a plan is withdrawn: what it took is back as it was.

    Raises:
        RackRejected: the rack holds something else by the name of what comes back.
    """
    return put_on(
        rack,
        Rack(
            offcuts=tuple(
                Offcut(
                    id=used.id,
                    material=used.material,
                    length_nm=used.length_nm,
                    quantity=used.used,
                    value=used.value,
                )
                for used in plan.offcuts_used
            ),
            fasteners=tuple(
                FastenersOnHand(
                    fastener=taken.fastener,
                    finish=taken.finish,
                    count=taken.used,
                    value=taken.value,
                )
                for taken in plan.fasteners_used
            ),
        ),
        unit=plan.unit,
    )


def leave(plan: Plan, name: str, cut: tuple[CutBars, ...] | None = None) -> Rack:
    """Return what goes on the rack when the work of a plan is cut.

    Drops that the plan keeps have the id `name` and their pattern, bars left whole `name` and
    their SKU; both are worth what the plan credits. Spare fasteners, counted at the packs' low
    end, are those of the plan, without allowance and spares; they are worth nothing. With `cut`
    only the drops of the bars that are cut are left.

    Raises:
        CutRejected: `cut` is not in the plan.
    """
    bars = None if cut is None else {sheet.name: number for sheet, number in count_cut(plan, cut)}
    offcuts = [
        Offcut(
            id=f"{name} {kept.source}",
            material=kept.material,
            length_nm=kept.length_nm,
            quantity=kept.quantity if bars is None else bars[kept.source],
            value=kept.credit,
        )
        for kept in plan.next_rack
        if kept.kind is not RackSource.NOT_USED
        and (bars is None or (kept.kind is RackSource.DROP and kept.source in bars))
    ]
    fasteners = [
        FastenersOnHand(
            fastener=supply.pool.fastener,
            finish=supply.pool.finish,
            count=supply.spare,
            value=Decimal(0),
        )
        for supply in plan.fasteners
        if cut is None and supply.spare > 0
    ]
    return Rack(offcuts=tuple(offcuts), fasteners=tuple(fasteners))


def put_on(rack: Rack, added: Rack, *, unit: LengthUnit = LengthUnit.INCH) -> Rack:
    """Return the rack with more on it. An entry that is there already keeps its value.

    `unit` is that of the lengths in faults.

    Raises:
        RackRejected: an offcut has the id of one of another material or length; all are named.
    """
    there = {offcut.id: offcut for offcut in rack.offcuts}
    held = {(entry.fastener, entry.finish): entry for entry in rack.fasteners}
    faults: list[Fault] = []
    for position, offcut in enumerate(added.offcuts):
        known = there.get(offcut.id)
        if known is None:
            there[offcut.id] = offcut
            continue
        faults += _differs(("offcuts", position), offcut, known, unit)
        there[offcut.id] = replace(known, quantity=known.quantity + offcut.quantity)
    for entry in added.fasteners:
        key = entry.fastener, entry.finish
        held[key] = (
            entry if key not in held else replace(held[key], count=held[key].count + entry.count)
        )
    if faults:
        raise RackRejected(tuple(faults))
    return _rack_of(there, held)


def _rack_of(offcuts: dict[str, Offcut], fasteners: dict[FastenerKey, FastenersOnHand]) -> Rack:
    return Rack(
        offcuts=tuple(
            offcuts[name] for name in sorted(offcuts, key=natural_key) if offcuts[name].quantity
        ),
        fasteners=tuple(
            fasteners[key]
            for key in sorted(fasteners, key=lambda key: (key[0], key[1] or ""))
            if fasteners[key].count
        ),
    )


def _differs(
    path: tuple[str | int, ...], wanted: UsedOffcut | Offcut, there: Offcut | None, unit: LengthUnit
) -> Iterator[Fault]:
    if there is None:
        return
    if (wanted.material, wanted.length_nm) != (there.material, there.length_nm):
        yield Fault(
            (*path, "id"),
            "another-offcut",
            f"Offcut {wanted.id} is {_show(wanted.material, wanted.length_nm, unit)}, and the rack "
            f"holds {_show(there.material, there.length_nm, unit)} by this id; give one of them "
            "another id.",
        )


def _show(material: Material, length_nm: int, unit: LengthUnit) -> str:
    return f"{format_length(length_nm, unit)} of {material}"


def _name(key: FastenerKey) -> str:
    fastener, finish = key
    name = plural(fastener).capitalize()
    return name if finish is None else f"{name} in {finish}"
