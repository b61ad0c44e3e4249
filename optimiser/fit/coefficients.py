"""The coefficients of movement that come with the package."""

import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from importlib.resources import files
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal:
    """A metal's linear expansion, as parts of its length for each degree Fahrenheit."""

    id: str
    low_per_f: Fraction
    high_per_f: Fraction
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """A wood's dimensional change, as parts of its size for each per cent of moisture.

    `tangential` holds across a flat-sawn face, `radial` across a quarter-sawn one; `None` is
    not known.
    """

    id: str
    tangential: Fraction
    radial: Fraction | None
    source: str


@lru_cache(maxsize=1)
def _entries() -> dict[str, Any]:
    text = files("optimiser.fit").joinpath("coefficients.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def known_metals() -> tuple[Metal, ...]:
    """Return the metals whose expansion comes with the package, each with its source."""
    return tuple(
        Metal(
            id=entry["id"],
            low_per_f=Fraction(entry["low_per_million_f"]) / 10**6,
            high_per_f=Fraction(entry["high_per_million_f"]) / 10**6,
            source=entry["source"],
        )
        for entry in _entries()["metals"]
    )


def known_woods() -> tuple[Wood, ...]:
    """Return the woods whose change of size comes with the package, each with its source."""
    return tuple(
        Wood(
            id=entry["id"],
            tangential=Fraction(entry["tangential"]),
            radial=Fraction(entry["radial"]) if "radial" in entry else None,
            source=entry["source"],
        )
        for entry in _entries()["woods"]
    )
