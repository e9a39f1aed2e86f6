"""The site and the surfaces of a roof: what loads a truss, before any of it is a load case.

Terms: the *tributary width* is the width of roof that one truss carries; a *surface* is roofing or ceiling on the
sticks of one role or on one stick; an *area load* counts area of the surface (`slope`) or of its horizontal
projection (`plan`). The factors of the snow rules may be stated, or follow from a word (`unheated`). What is None
was not said.

Units: lengths in base lengths; area loads in psf or kPa (kN/m2); weights in base forces. The letter of each field
stands in `schema/parts.json`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.check import Line
    from trussio.model.loading import RunId
    from trussio.model.truss import JointId, MemberId, Notes, Role

Edition = Literal["asce7-10", "asce7-16", "asce7-22", "en1991"]
Terrain = Literal["B", "C", "D", "above-tree-line", "alaska"]
Exposure = Literal["fully", "partially", "sheltered", "windswept", "normal"]
Thermal = Literal["heated", "just-above-freezing", "cold-ventilated", "unheated", "freezer", "greenhouse"]
Risk = Literal["I", "II", "III", "IV"]
Side = Literal["left", "right"]
Seen = Literal["none", "in-model", "not-seen"]
Spread = Literal["as-stated", "chord", "panel-points", "purlins"]
Pattern = Literal[
    "dead", "live", "panel-load", "roof-live", "uniform", "unbalanced", "partial", "drift", "combination"
]


class AreaLoad(NamedTuple):
    """A load per area of the surface (`slope`, the meaning of None) or of its projection (`plan`)."""

    value: float
    per: Literal["slope", "plan"] | None = None
    source: str | None = None


class Hung(NamedTuple):
    """A weight that hangs from a joint, or from a stick at a joint or a distance along it."""

    weight: float
    joint: JointId | None = None
    member: MemberId | None = None
    at: JointId | float | None = None
    kind: Literal["dead", "live"] | None = None
    source: str | None = None


class Step(NamedTuple):
    """Something taller beyond one end of the roof, behind which snow drifts.

    `height` is above the roof's edge there, `length` that of the taller roof, square to the step. Where it slopes
    towards ours, `slope` is how much, in degrees (0: not at all), `run` level from its eave to its ridge.
    """

    side: Side
    kind: Literal["taller-roof", "parapet"]
    height: float
    length: float | None = None
    slope: float | None = None
    run: float | None = None
    slippery: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Site:
    """Where the truss stands and what the rules of an edition need to know of it.

    Stated factors and loads (`exposure_factor`, `flat_roof_snow`, `roof_live`) go before what a word or a rule
    gives. `winter_wind` is W2 of ASCE 7-22; `exceptional` the coefficient of EN 1991-1-3 4.3; `panel_load` a
    single weight that may hang at any panel point of the bottom chord.
    """

    edition: Edition
    spacing: float
    ground_snow: float | None = None
    flat_roof_snow: float | None = None
    terrain: Terrain | None = None
    exposure: Exposure | None = None
    exposure_factor: float | None = None
    thermal: Thermal | None = None
    thermal_factor: float | None = None
    risk: Risk | None = None
    importance_factor: float | None = None
    slippery: bool | None = None
    obstructed: bool | None = None
    multiple_vaults: bool | None = None
    near_eave: tuple[Side, ...] | None = None
    shape: Literal["curved", "pitched"] | None = None
    steps: tuple[Step, ...] | None = None
    winter_wind: float | None = None
    roof_live: float | None = None
    exceptional: float | None = None
    psi0_snow: float | None = None
    psi0_live: float | None = None
    self_weight: bool | None = None
    hung: Mapping[str, Hung] | None = None
    panel_load: float | None = None
    knee_braces: Seen | None = None
    columns: Seen | None = None
    notes: Notes | None = None


@dataclass(frozen=True, kw_only=True)
class Surface:
    """Roofing or a ceiling on one stick, or on all sticks of a role; exactly one of the two is given.

    `snow` says whether snow and roof live load lie on it (None: on a roof they do). `purlins` are the places where
    its loads reach the sticks, as joints or as x in the truss plane; the ends of the sticks always are.
    """

    kind: Literal["roof", "ceiling"]
    member: MemberId | None = None
    role: Role | None = None
    snow: bool | None = None
    dead: Mapping[str, AreaLoad] | None = None
    live: Mapping[str, AreaLoad] | None = None
    purlins: tuple[JointId | float, ...] | None = None
    notes: Notes | None = None

    @property
    def has_snow(self) -> bool:
        """Whether snow and roof live load lie on it."""
        return self.kind == "roof" if self.snow is None else self.snow


@dataclass(frozen=True, kw_only=True)
class Generated:
    """How one case or combination came about.

    `lines` are the numbers that entered, each with its clause and its source mark; `mark` is the weakest of them.
    `diagram` gives the load per horizontal area at places x from left to right, straight between them, the same
    x twice at a jump; empty where the case is no diagram. `digest` is that of the case as generated, so that a
    later edit shows.
    """

    pattern: Pattern
    says: str
    clause: str
    mark: str
    digest: str
    lines: tuple[Line, ...] = ()
    diagram: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, kw_only=True)
class LoadBasis:
    """What generated loads; `inputs` is the digest of site, surfaces and geometry at that time."""

    edition: Edition
    spread: Spread
    inputs: str
    cases: Mapping[RunId, Generated]
    combinations: Mapping[RunId, Generated]
    not_evaluated: tuple[str, ...] = ()


class PencilCheck(NamedTuple):
    """Downward force of a case in base units: its loads added up, and area times intensity; None: unknown."""

    by_loads: float | None
    by_area: float | None
