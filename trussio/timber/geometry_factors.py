"""Geometry factor of dowel groups: end and edge distances and spacings, and where the standard refuses.

Terms: the *loaded edge* is the one that the load pushes towards; a *row* runs along the load; `gauge` is the
distance between rows, `spacing` that within a row. Each value holds for one member. Inches, degrees.
A factor is actual over full distance, good only from the floor on; below it the joint is not permitted. Between 0
and 90 degrees both sets of rules are applied and the more severe counts (common practice, no source).
Source: NDS-2018 12.5.1, tables 12.5.1A to D, as quoted in secondary copies.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.timber.working import SECONDARY, derived, require_positive, step

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.check import Derivation

GREATEST_SPREAD: Final = 5.0
HAIR: Final = 1e-9


@dataclass(frozen=True, kw_only=True)
class Placement:
    """Where the fasteners of one joint stand in one member.

    `angle` of load to grain; `end` distance along the grain to the nearer end, `towards_end` whether the load
    pushes the fasteners to it (tension). `loaded_edge` is needed from any angle on, `edge` is the nearer other
    one. `bearing_over_diameter` is l/D, the lesser of main and (all) side members. `depth` of the member lets the
    distances be checked against it; `shrinkage_detailed` says that a wide group may shrink freely.
    """

    angle: float
    end: float
    towards_end: bool
    edge: float
    bearing_over_diameter: float
    loaded_edge: float | None = None
    in_row: int = 1
    spacing: float | None = None
    rows: int = 1
    gauge: float | None = None
    softwood: bool = True
    depth: float | None = None
    shrinkage_detailed: bool = False


@dataclass(frozen=True, kw_only=True)
class GeometryFactor:
    """C_delta of the whole group, and the reasons why the joint is not permitted, empty where it is.

    A joint that is not permitted has the factor 0.
    """

    factor: Derivation
    refusals: tuple[str, ...]


def geometry_factor(placement: Placement, diameter: float) -> GeometryFactor:
    """C_delta of a group of dowels in one member; 1 below 1/4 in, where no table holds.

    Raises UsageError `impossible-distance` or `distance-missing`.
    """
    _plausible(placement, diameter)
    if diameter < 0.25:
        one = derived("C_delta", 1.0, "", "below 1/4 in", "NDS-2018 12.5.1", source=SECONDARY)
        return GeometryFactor(factor=one, refusals=())
    limits = tuple(_limits(placement, diameter))
    refusals = tuple(limit.refusal for limit in limits if limit.refusal)
    least = min(limits, key=lambda limit: limit.factor)
    value, formula = (0.0, "not permitted") if refusals else (min(1.0, least.factor), f"least: {least.name}")
    steps = tuple(
        derived(f"C {limit.name}", limit.factor, "", limit.formula, limit.clause, source=SECONDARY)
        for limit in limits
    )
    D = step("D", diameter, "in")
    return GeometryFactor(
        factor=derived("C_delta", value, "", formula, "NDS-2018 12.5.1", D, *steps, source=SECONDARY),
        refusals=refusals,
    )


@dataclass(frozen=True, kw_only=True)
class _Limit:
    """One distance: its share of the full one, and the refusal if it is below its floor."""

    name: str
    factor: float
    formula: str
    clause: str
    refusal: str


def _limit(name: str, actual: float, floor: float, full: float, clause: str) -> _Limit:
    permitted = actual >= floor - HAIR
    return _Limit(
        name=name,
        factor=min(1.0, actual / full) if permitted else 0.0,
        formula=f"{actual:g} / {full:.4g} in, floor {floor:.4g} in",
        clause=clause,
        refusal="" if permitted else f"{name} {actual:g} in is below the least, {floor:.4g} in ({clause})",
    )


def _limits(at: Placement, D: float) -> Iterator[_Limit]:
    along, across = at.angle < 90, at.angle > 0
    if along:
        yield from _along(at, D)
    if across:
        yield from _across(at, D)
    spread = (at.rows - 1) * (at.gauge or 0.0) if at.angle < 45 else (at.in_row - 1) * (at.spacing or 0.0)
    if spread > GREATEST_SPREAD + HAIR and not at.shrinkage_detailed:
        refusal = f"outermost fasteners stand {spread:g} in apart across the grain, over 5 in (NDS-2018 12.5.1.3)"
        yield _Limit(name="spread", factor=0.0, formula="over 5 in", clause="NDS-2018 12.5.1.3", refusal=refusal)


def _along(at: Placement, D: float) -> Iterator[_Limit]:
    floor, full = ((3.5, 7.0) if at.softwood else (2.5, 5.0)) if at.towards_end else (2.0, 4.0)
    yield _limit("end distance", at.end, floor * D, full * D, "NDS-2018 table 12.5.1A")
    if at.in_row > 1 and at.spacing is not None:
        yield _limit("spacing in a row", at.spacing, 3 * D, 4 * D, "NDS-2018 table 12.5.1B")
    edge = 1.5 * D
    if at.bearing_over_diameter > 6 and at.rows > 1 and at.gauge is not None:
        edge = max(edge, at.gauge / 2)
    yield _limit("edge distance", at.edge, edge, edge, "NDS-2018 table 12.5.1C")
    if at.rows > 1 and at.gauge is not None:
        yield _limit("spacing between rows", at.gauge, 1.5 * D, 1.5 * D, "NDS-2018 table 12.5.1D")


def _across(at: Placement, D: float) -> Iterator[_Limit]:
    yield _limit("end distance across the grain", at.end, 2 * D, 4 * D, "NDS-2018 table 12.5.1A")
    if at.in_row > 1 and at.spacing is not None:  # the full spacing is what the attached member asks for
        yield _limit("spacing in a row across the grain", at.spacing, 3 * D, 3 * D, "NDS-2018 table 12.5.1B")
    if at.loaded_edge is not None:
        yield _limit("loaded edge distance", at.loaded_edge, 4 * D, 4 * D, "NDS-2018 table 12.5.1C")
    yield _limit("unloaded edge distance", at.edge, 1.5 * D, 1.5 * D, "NDS-2018 table 12.5.1C")
    if at.rows > 1 and at.gauge is not None:
        least = _gauge_across(at.bearing_over_diameter) * D
        yield _limit("spacing between rows across the grain", at.gauge, least, least, "NDS-2018 table 12.5.1D")


def _gauge_across(l_over_D: float) -> float:
    """Least distance between rows in diameters: 2.5 up to l/D 2, (5 l/D + 10)/8 up to 6, then 5."""
    return min(5.0, max(2.5, (5 * l_over_D + 10) / 8))


def _plausible(at: Placement, diameter: float) -> None:
    given = {
        "diameter": diameter,
        "end distance": at.end,
        "edge distance": at.edge,
        "l/D": at.bearing_over_diameter,
        **({} if at.loaded_edge is None else {"loaded edge distance": at.loaded_edge}),
        **({} if at.spacing is None else {"spacing in a row": at.spacing}),
        **({} if at.gauge is None else {"spacing between rows": at.gauge}),
    }
    require_positive("geometry factor", given)
    if not (isfinite(at.angle) and 0 <= at.angle <= 90):
        raise UsageError(
            "angle-outside",
            where="geometry factor",
            what=f"{at.angle:g} degrees is outside 0 to 90.",
            do="Enter the acute angle between the load and the grain.",
        )
    for name, needed, value in (
        ("spacing in a row", at.in_row > 1, at.spacing),
        ("spacing between rows", at.rows > 1, at.gauge),
        ("loaded edge distance", at.angle > 0, at.loaded_edge),
    ):
        if needed and value is None:
            raise UsageError(
                "distance-missing",
                where="geometry factor",
                what=f"the {name} is not given.",
                do=f"Enter the {name} in inches, as measured.",
            )
    _fits(at)


def _fits(at: Placement) -> None:
    """The distances across the grain must not exceed the depth of the member."""
    if at.depth is None:
        return
    across = (at.rows - 1) * (at.gauge or 0.0) if at.angle < 45 else (at.in_row - 1) * (at.spacing or 0.0)
    taken = at.edge + across + (at.edge if at.loaded_edge is None else at.loaded_edge)
    if taken > at.depth + HAIR:
        raise UsageError(
            "impossible-distance",
            where="geometry factor",
            what=f"edge distances and rows take {taken:g} in, the member is {at.depth:g} in deep.",
            do="Measure the edge distances and the rows again.",
        )
