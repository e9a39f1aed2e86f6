"""Split rings and shear plates: values by species group and thickness, geometry, load at an angle.

Terms: P is the value along the grain, Q across it, per connector and bolt in one member (lbf); `faces` is 1 or 2,
on how many faces of that member a connector sits on the same bolt. Inches, degrees. The joint is worth the least
of its members. Values are interpolated between the thicknesses of the table, never below the least.
Source: NDS-2018 chapter 13, as the data file marks group by group; geometry from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, hypot, radians, sin
from typing import Final, Literal

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber import tables
from trussio.timber.bearing import hankinson
from trussio.timber.working import (
    MEMORY,
    Figure,
    derived,
    number,
    require_known,
    require_positive,
    shown,
    stated,
    step,
)

Group = Literal["A", "B", "C", "D"]
GROUPS: Final[tuple[Group, ...]] = ("A", "B", "C", "D")
LEAST_SPACING: Final = 0.5
"""C_delta at the least spacing."""


@dataclass(frozen=True, kw_only=True)
class ConnectorValues:
    """P and Q of one connector in one member, before every adjustment factor (lbf)."""

    connector: str
    P: Derivation
    Q: Derivation


def connector(name: str) -> tables.Connector:
    """The data of a connector. Raises UsageError `unknown-connector`, naming those tabulated."""
    known = tables.connectors()["connectors"]
    if name not in known:
        raise UsageError(
            "unknown-connector",
            where=name,
            what="this connector is not tabulated here.",
            do=f"Enter one of {', '.join(known)}.",
        )
    return known[name]


def species_group(species: str) -> Derivation:
    """The group of a species as a derivation whose value counts A to D from 1; see `GROUPS`.

    Raises UsageError `unknown-species`.
    """
    data = tables.connectors()
    for index, group in enumerate(GROUPS, 1):
        if any(name.casefold() == species.strip().casefold() for name in data["species"][group]):
            source = data["species_source"]
            return derived("group", index, "", f"{species}: group {group}", "NDS-2018 table 13A", source=source)
    names = ", ".join(name for group in GROUPS for name in data["species"][group])
    raise UsageError(
        "unknown-species",
        where=species,
        what="this species is in no connector group here.",
        do=f"State the group, or enter one of {names}.",
    )


def connector_values(*, name: str, group: Group, faces: int, thickness: float) -> ConnectorValues:
    """P and Q by table 13.2A or 13.2B for the net thickness of the member.

    Raises UsageError `below-least-thickness`, or `value-missing` where the table is not known.
    """
    data = connector(name)
    require_positive(name, {"thickness": thickness})
    require_known("group", group, GROUPS)
    column = 2 + GROUPS.index(group)
    rows = [row for row in data["rows"] if row[0] == faces]
    if not rows:
        raise UsageError(
            "faces",
            where=name,
            what=f"connectors on {faces} faces of one member.",
            do="Enter 1 or 2: on how many faces of this member a connector sits on the same bolt.",
        )
    source = data["source"][group]
    steps = (step("t", thickness, "in"),)
    formula = f"{name}, group {group}, {faces} face{'s' if faces > 1 else ''}"
    P = _interpolated(name, [(row[1], row[column]) for row in rows], thickness)
    Q = _interpolated(name, [(row[1], row[column + 4]) for row in rows], thickness)
    return ConnectorValues(
        connector=name,
        P=derived("P", P, "lbf", formula, data["table"], *steps, source=source),
        Q=derived("Q", Q, "lbf", formula, data["table"], *steps, source=source),
    )


def _interpolated(name: str, points: list[tuple[float | None, float | None]], thickness: float) -> float:
    """Straight between listed thicknesses, constant above the last, refused below the first."""
    known = [(at or 0.0, value) for at, value in points]
    if thickness < known[0][0] - 1e-9:
        raise UsageError(
            "below-least-thickness",
            where=name,
            what=f"{thickness:g} in is thinner than {known[0][0]:g} in, the least in the table.",
            do="The standard gives no value; measure again, or count the bolt alone.",
        )
    below = max((point for point in known if point[0] <= thickness + 1e-9), key=lambda point: point[0])
    above = min(
        (point for point in known if point[0] >= thickness - 1e-9), default=below, key=lambda point: point[0]
    )
    if below[1] is None or above[1] is None:
        raise UsageError(
            "value-missing",
            where=name,
            what="the table as known here has a gap at this thickness.",
            do="State P and Q with their source.",
        )
    if above[0] <= below[0]:
        return below[1]
    return below[1] + (above[1] - below[1]) * (thickness - below[0]) / (above[0] - below[0])


def value_at_angle(P: Figure, Q: Figure, angle: float) -> Derivation:
    """N' = P'Q' / (P' sin^2 + Q' cos^2) of the adjusted P' and Q' (lbf)."""
    return hankinson(shown("P'", P, "lbf"), shown("Q'", Q, "lbf"), angle, "N'")


def connector_wet_factor(*, wet_when_made: bool, wet_in_service: bool) -> Derivation:
    """CM of rings and plates: 0.7 wet in service, 0.8 made green and dry in service."""
    if wet_in_service:
        return derived("CM", 0.7, "", "wet in service", "NDS-2018 table 11.3.3")
    value, formula = (0.8, "green when made, dry in service") if wet_when_made else (1.0, "dry throughout")
    return derived("CM", value, "", formula, "NDS-2018 table 11.3.3")


def metal_side_factor(name: str, group: Group, *, metal_side: bool) -> Derivation:
    """Cst on P of 4 in shear plates with steel sides; 1 otherwise."""
    factors = connector(name).get("metal_side")
    if not metal_side or factors is None:
        return derived("Cst", 1.0, "", "no steel side, or not a 4 in plate", "NDS-2018 13.2.4")
    return derived("Cst", factors[group], "", f"4 in plate with steel sides, group {group}", "NDS-2018 13.2.4")


def capped(name: str, value: Figure, *, bolt: float) -> Derivation:
    """A shear plate's value kept to what the steel takes, which CD does not raise (lbf); rings have no cap.

    Raises UsageError `unknown-bolt` where no cap is tabulated for this bolt in this plate.
    """
    caps = connector(name).get("caps")
    if caps is None:
        return shown("N'", value, "lbf")
    cap = caps.get(str(float(bolt)))
    if cap is None:
        raise UsageError(
            "unknown-bolt",
            where=name,
            what=f"no limit is tabulated for a {bolt:g} in bolt.",
            do=f"Enter one of {', '.join(caps)} in.",
        )
    steps = (step("N'", value, "lbf"), step("cap", cap, "lbf"))
    return derived("N' capped", min(number(value), cap), "lbf", "at most the steel cap", "NDS-2018 13.2.3", *steps)


@dataclass(frozen=True, kw_only=True)
class ConnectorPlacement:
    """Where a connector stands in one member: distances to its centre (in).

    `angle` of load to grain; `end` along the grain, square to the cut where it slopes, `towards_end` whether the
    load pushes to it; `loaded_edge` is needed from any angle on. `spacing` to the next connector lies at the angle
    `axis` to the grain (degrees; 0 along, 90 across), `gauge` to the next row square to that.
    """

    angle: float
    end: float
    towards_end: bool
    edge: float
    loaded_edge: float | None = None
    spacing: float | None = None
    axis: float = 0.0
    gauge: float | None = None


@dataclass(frozen=True, kw_only=True)
class ConnectorGeometry:
    """C_delta of one member's connectors, with the reasons why they are not permitted; the factor is then 0."""

    factor: Derivation
    refusals: tuple[str, ...]


def connector_geometry(name: str, at: ConnectorPlacement) -> ConnectorGeometry:
    """C_delta by table 13.3: straight lines between the least and the full distance (unlike dowels).

    The loaded edge counts at any angle above 0, the more severe reading. Raises UsageError `distance-missing`,
    `impossible-distance` or `angle-outside`.
    """
    data = connector(name)
    spacings = {"spacing": (at.spacing, at.axis), "spacing between rows": (at.gauge, 90 - at.axis)}
    given = {what: distance for what, (distance, _) in spacings.items() if distance is not None}
    require_positive(name, {"end distance": at.end, "edge distance": at.edge, **given})
    for angle in (at.angle, at.axis):
        _require_acute(name, angle)
    if at.angle > 0 and at.loaded_edge is None:
        raise UsageError(
            "distance-missing",
            where=name,
            what="the loaded edge distance is not given.",
            do="Enter the distance to the edge that the load pushes towards.",
        )
    ends = data["end_tension"] if at.towards_end or at.angle > 0 else data["end_compression"]
    parts = [_share("end distance", at.end, ends)]
    parts.append(_share("edge distance", at.edge, (data["edge_min"], 1.0, data["edge_min"])))
    if at.angle > 0 and at.loaded_edge is not None:
        parts.append(_share("loaded edge distance", at.loaded_edge, data["loaded_edge"]))
    for what, (distance, axis) in spacings.items():
        if distance is not None:
            full = full_spacing(name, angle=at.angle, axis=axis)
            parts.append(_share(what, distance, (data["spacing_least"], LEAST_SPACING, full)))
    refusals = tuple(refusal for _, refusal in parts if refusal)
    lines = tuple(line for line, _ in parts)
    least = 0.0 if refusals else min(line.value for line in lines)
    formula = "not permitted" if refusals else "least of the above"
    factor = derived("C_delta", least, "", formula, "NDS-2018 13.3.2", *lines, source=MEMORY)
    return ConnectorGeometry(factor=factor, refusals=refusals)


def full_spacing(name: str, *, angle: float, axis: float) -> float:
    """Spacing (in) at which connectors have full value, by the angles of load and of their axis to the grain.

    S = SA SB / sqrt(SA^2 sin^2 axis + SB^2 cos^2 axis), an ellipse; SA along and SB across the grain are straight
    between the angles of the table and stay as they are beyond 60 degrees. Source: NDS-2018 13.3.3, from memory.
    """
    rows = connector(name)["spacing_full"]
    low = max(row for row in rows if row[0] <= angle)
    high = min((row for row in rows if row[0] > angle), default=low)
    part = (angle - low[0]) / (high[0] - low[0]) if high[0] > low[0] else 0.0
    SA, SB = (low[i] + (high[i] - low[i]) * part for i in (1, 2))
    return SA * SB / hypot(SA * sin(radians(axis)), SB * cos(radians(axis)))


def _require_acute(name: str, angle: float) -> None:
    """Raise UsageError `angle-outside` for what is no acute angle."""
    if not 0 <= angle <= 90:
        raise UsageError(
            "angle-outside",
            where=name,
            what=f"{angle:g} degrees is outside 0 to 90.",
            do="Enter the acute angle to the grain.",
        )


def _share(what: str, actual: float, points: tuple[float, float, float]) -> tuple[Derivation, str]:
    least, at_least, full = points
    clause = "NDS-2018 table 13.3"
    formula = f"{actual:g} in: {at_least:g} at {least:g} in, 1 at {full:.4g} in"
    if actual < least - 1e-9:
        refusal = f"{what} {actual:g} in is below the least, {least:g} in ({clause})"
        return derived(f"C {what}", 0.0, "", formula, clause), refusal
    if actual >= full - 1e-9:
        return derived(f"C {what}", 1.0, "", formula, clause), ""
    value = at_least + (1 - at_least) * (actual - least) / (full - least)
    return derived(f"C {what}", value, "", formula, clause), ""


def connector_modulus(name: str) -> Derivation:
    """Load/slip modulus for group action (lbf/in)."""
    return stated("gamma", connector(name)["modulus"], "lbf/in", MEMORY, "NDS-2018 11.3.6")
