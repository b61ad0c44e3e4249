"""Limits of the contract. They stand in the schema where a schema can say them."""

from typing import Final

OPENINGS: Final = 50_000
"""Entries of `openings`, and openings altogether: the sum of the quantities."""

LINES: Final = 50_000
"""Lines of a delivery, a cutting or a return, and terms of returns of one order."""

SUPPLIERS: Final = 20
"""Entries of `catalogues`."""

CATALOGUE_ENTRIES: Final = 5_000
"""Entries of each list of the catalogue."""

PIECE_LENGTHS: Final = 5_000
"""Distinct lengths of pieces, over all materials."""

WORKS_UNDER_ONE_MARK: Final = 20
"""Further rule sets of one opening."""

FINISHES_OF_ONE_MARK: Final = 20
"""Products of one opening with a finish of their own."""

RULE_SETTINGS: Final = 200
"""Settings of rule sets that one policy states."""

RULE_SETS: Final = 10
"""Rule sets that one order brings."""

RULES_OF_A_RULE_SET: Final = 200
ENTRIES_OF_A_RULE_SET: Final = 100
"""Entries of each list of a rule set but its rules."""

TERMS_OF_A_LENGTH: Final = 20
"""Settings that a formula adds, and settings that it takes off."""

STATEMENT_CHARACTERS: Final = 1_000
"""Characters of a statement or a source of a rule set."""

IN_ONE_PACK: Final = 1_000_000_000
"""Fasteners in one pack, or to one weight."""

UNITS: Final = 1_000_000
"""The highest number of units of one article: a multiple, a limit, a price break."""

PRICE_BREAKS: Final = 50
"""Price breaks or discounts of one article."""

FREIGHT_TIERS: Final = 100
"""Tiers of one supplier's freight."""

OVER_LENGTHS: Final = 20
"""Over-length surcharges of one supplier's freight."""

STANDARD_KIT_LENGTHS: Final = 50
"""Lengths of one standard kit."""

STANDARD_KIT_PIECES: Final = 1_000
"""Pieces of one length in a standard kit, and packs of fasteners in it."""

OFFCUTS: Final = 500
"""Entries of `rack.offcuts`."""

FASTENERS_ON_HAND: Final = 1_000
"""Entries of `rack.fasteners`."""

SPLICE_RULES: Final = 50
"""Products with a rule for splices."""

SUBSTITUTIONS: Final = 50
"""Substitutions that one policy allows."""

SPARE_FASTENERS: Final = 100_000_000
"""The most fasteners that may be asked for as spares."""

LENGTH_NUMBER: Final = 100_000
"""The highest bare number for a length: 100 m in millimetres."""

SHORTEST_TIME_LIMIT_SECONDS: Final = 0.1
LONGEST_TIME_LIMIT_SECONDS: Final = 300

NAME_CHARACTERS: Final = 64
REFERENCE_CHARACTERS: Final = 200
REMARKS_CHARACTERS: Final = 2_000
QUANTITY_CHARACTERS: Final = 64
"""Characters of a length, a size or a weight that is written as text."""

BITS: Final = 100
"""Router bits of one fit."""

BOARDS: Final = 1_000
"""Boards across one leaf."""

FITS: Final = 1_000
"""Fits of one batch of install sheets."""

SAMPLES: Final = 1_000
"""Weighed samples of one kind of fastener."""

READINGS: Final = 10_000
"""Openings whose readings are checked at once."""

MEASUREMENTS: Final = 100
"""Lengths of one reading."""

SHEETS: Final = 2_000
"""Marks of one batch of sheets for the site."""

POSITIONS: Final = 200_000
"""Positions of fasteners in one batch of install sheets."""

LABELS: Final = 50_000
"""Labels of one batch: one for each opening, and one for each piece that may have to be cut."""

NOTES: Final = 20
"""Notes of a purchase order."""

ADDRESS_LINES: Final = 10
PARTY_IDENTIFIERS: Final = 20

TAX_CLASSES: Final = 20
"""Classes of a rate table."""

DISCOUNTS: Final = 50
"""Discounts of one quote."""

DEPOSITS: Final = 50
"""Deposits of one quote."""

STUDY_POINTS: Final = 10_000
"""Points of one study."""

STUDY_AXES: Final = 6
STUDY_BREAK_EVENS: Final = 20
STUDY_QUESTIONS: Final = 20
STUDY_VALUES: Final = 100
"""Values that one scenario puts in."""

POINTER_CHARACTERS: Final = 500

STUDY_SECONDS: Final = 60
LONGEST_STUDY_SECONDS: Final = 3_600
