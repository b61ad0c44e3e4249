"""The words of install sheets."""

from typing import Final

WORDS_OF_SITE: Final[dict[str, str]] = {
    "site.title": "Install sheets",
    "site.sizes": "Net sizes of {mark}",
    "site.all-sizes": "Net sizes",
    "site.size": "Size",
    "site.length": "Length",
    "site.know-first": "Know first",
    "site.comes": "What comes, by the plan",
    "site.trim": "{pieces} × {label}: {held} of kit {sku}, trim to {length} on site",
    "site.trim-not": "{pieces} × {label}: {held} of kit {sku}, as it is",
    "site.pieces": "Pieces of each opening",
    "site.pieces-of": "Pieces of one opening of {mark}",
    "site.all-pieces": "Pieces of one opening",
    "site.edge": "Edge",
    "site.member": "Member",
    "site.lies-on": "Lies on",
    "site.count": "Pieces",
    "site.fasteners": "Fasteners each",
    "site.where": "Where the fasteners stand",
    "site.positions": (
        "{edge}, {member}, {length}: {count} at {spacing} or less, in {unit} from either end: "
        "{places}."
    ),
    "site.spliced": "{edge}, {member}: {pieces} of {all} spliced of {segments}.",
    "site.all-spliced": "{edge}, {member}: spliced of {segments}.",
    "site.segment": "{length} at the {end} end",
    "site.spliced-positions": (
        "{edge}, {member}, spliced: {count}, one on each side of the joint, in {unit} from the "
        "{end} end: {places}."
    ),
    "site.counted": "{fasteners}: {positions} at these positions, {running} by running length.",
    "site.lacking": (
        "Where they were bought by running length, {more} are lacking: take them from the "
        "allowance, or stretch the spacing."
    ),
    "site.at-joints": "The joints take {more} more over all openings.",
    "site.in": "inches",
    "site.mm": "millimetres",
    "site.cuts": "Cuts in the leaf",
    "site.clearances": "Clearances",
    "site.working": "How the cuts were worked out",
    "site.steps": "Order of work",
    "site.step": "{statement} ({source})",
    "site.rule": "{edge}, {member}: {statement}",
    "site.cautions": "Cautions",
}
