"""The reference tables, read once each from the data files beside this module.

Every file says its edition and how its numbers are known; nothing here judges them.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Literal, TypedDict

FOLDER = Path(__file__).parent / "reference"

SizeClass = Literal["dimension", "beams-and-stringers", "posts-and-timbers", "in place", "glulam"]


class SawnRow(TypedDict):
    """One row of a sawn lumber table; `width` is the nominal class that it holds for, empty for all."""

    species: str
    grade: str
    size_class: SizeClass
    width: str
    table: str
    edition: str
    source: str
    specific_gravity: float
    values: dict[str, float]


class GlulamRow(TypedDict):
    """One glulam combination."""

    species: str
    combination: str
    table: str
    edition: str
    source: str
    specific_gravity: float | None
    values: dict[str, float]


class Duration(TypedDict):
    """Load duration factors by name of the duration."""

    clause: str
    source: str
    values: dict[str, float]


class SizeFactors(TypedDict):
    """Size factors of dimension lumber by nominal width."""

    widths: list[float]
    Fb_thin: list[float]
    Fb_4: list[float]
    Ft: list[float]
    Fc: list[float]
    stud: dict[str, list[float]]


FlatFactors = TypedDict(
    "FlatFactors",
    {
        "widths": list[float],
        "thin": list[float],
        "4": list[float | None],
        "stringers": dict[str, dict[str, float]],
    },
)


class Factors(TypedDict):
    """Adjustment factors of members."""

    source: str
    duration: Duration
    wet: dict[str, dict[str, float]]
    wet_spared: dict[str, float]
    size: SizeFactors
    flat: FlatFactors


class HistoricRow(TypedDict):
    """A grade of its day."""

    grade: str
    species: str
    Fb: float
    Fc: float
    E: float


class Historic(TypedDict):
    """What a grade stamp meant in its day, and what later practice made of its tension."""

    equal_until: str
    later_factor: float
    later_source: str
    rows: list[HistoricRow]
    rows_table: str
    rows_source: str


YieldStrength = TypedDict(
    "YieldStrength", {"bolt": float, "lag_from_0.375": float, "bands": list[tuple[float, float, float]]}
)


class Remembered(TypedDict):
    """What nobody quoted: specific gravities from memory."""

    about: str
    specific_gravity: dict[str, float]


class Dowels(TypedDict):
    """Specific gravities, yield strengths and dimensions of dowel-type fasteners."""

    source: str
    specific_gravity: dict[str, float]
    from_memory: Remembered
    yield_strength: YieldStrength
    bolt: dict[str, float]
    lag: dict[str, tuple[float, float]]
    wood_screw: dict[str, tuple[float, float]]
    common_nail: dict[str, tuple[float, float]]


class _Connector(TypedDict):
    table: str
    source: dict[str, str]
    rows: list[list[float | None]]
    diameter: float
    depth: float
    projected_area: float
    bolt: float
    hole: float
    modulus: float
    edge_min: float
    loaded_edge: tuple[float, float, float]
    end_tension: tuple[float, float, float]
    end_compression: tuple[float, float, float]
    spacing_least: float
    spacing_full: list[tuple[float, float, float]]


class Connector(_Connector, total=False):
    """A split ring or shear plate. The triples are least distance, factor there, distance for full value.

    `spacing_full` is by the angle of the load to the grain: angle, full spacing along the grain and across it.
    """

    caps: dict[str, float]
    metal_side: dict[str, float]


class Connectors(TypedDict):
    """Split rings and shear plates, with the species of each group."""

    species_source: str
    species: dict[str, list[str]]
    connectors: dict[str, Connector]


class Strand(TypedDict):
    """Prestressing strand."""

    fpu: float
    yield_share: float
    E: float
    areas: dict[str, float]
    source: str


class Bar(TypedDict):
    """Prestressing bar, with the yield share of its two types."""

    fpu: float
    yield_share: dict[str, float]
    E: float
    areas: dict[str, float]
    source: str


class StrandLimits(TypedDict):
    """Shares of the tensile and yield strength that strand may be stressed to."""

    jacking: float
    jacking_of_yield: float
    transfer: float
    transfer_of_yield: float
    anchorage: float
    source: str


class BarLimits(TypedDict):
    """Shares of the tensile strength that bars may be stressed to."""

    service: float
    lock_off: float
    jacking: float
    source: str


class SteelLimits(TypedDict):
    """Stress limits of both."""

    strand: StrandLimits
    bar: BarLimits


class Steel(TypedDict):
    """Prestressing steel."""

    strand: Strand
    bar: Bar
    limits: SteelLimits


class StrengthClass(TypedDict):
    """Characteristic values of a European strength class."""

    product: str
    standard: str
    fmk: float
    ft0k: float
    ft90k: float
    fc0k: float
    fc90k: float
    fvk: float
    E0mean: float
    E005: float
    E90mean: float
    Gmean: float
    rho_k: float
    rho_mean: float


class European(TypedDict):
    """EN 1995-1-1 and the strength classes."""

    source: str
    kmod: dict[str, dict[str, float]]
    kdef: dict[str, float]
    gammaM: dict[str, float]
    beta_c: dict[str, float]
    classes: dict[str, StrengthClass]
    rope_share: dict[str, float]


def _text(name: str) -> str:
    return (FOLDER / name).read_text(encoding="utf-8")


@cache
def sawn_rows() -> tuple[SawnRow, ...]:
    """Sawn lumber, NDS Supplement tables 4A, 4B and 4D."""
    return tuple(json.loads(_text("sawn.json"))["rows"])


@cache
def glulam_rows() -> tuple[GlulamRow, ...]:
    """Glued laminated timber, NDS Supplement tables 5A and 5B."""
    return tuple(json.loads(_text("glulam.json"))["rows"])


@cache
def factors() -> Factors:
    """Adjustment factors of members, NDS chapters 2 to 5."""
    loaded: Factors = json.loads(_text("factors.json"))
    return loaded


@cache
def historic() -> Historic:
    """Grades and stamps of their day."""
    loaded: Historic = json.loads(_text("historic.json"))
    return loaded


@cache
def dowels() -> Dowels:
    """Dowel-type fasteners, NDS chapter 12 and Appendices I and L."""
    loaded: Dowels = json.loads(_text("dowels.json"))
    return loaded


@cache
def connectors() -> Connectors:
    """Split rings and shear plates, NDS chapter 13 and Appendix K."""
    loaded: Connectors = json.loads(_text("connectors.json"))
    return loaded


@cache
def steel() -> Steel:
    """Prestressing steel."""
    loaded: Steel = json.loads(_text("steel.json"))
    return loaded


@cache
def european() -> European:
    """EN 1995-1-1, EN 338, EN 14080."""
    loaded: European = json.loads(_text("en1995.json"))
    return loaded
