"""What is left of a section: holes, grooves, notches and decay taken out.

Terms: a *void* is a rectangle of wood that is gone, `width` across the truss plane and `depth` in it, its centre
`at` so far from mid-depth (positive towards local +y). Inches.
Source: NDS-2018 3.1.2, 12.1.3, Appendix K, as marked; residual sections from statics.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.errors import UsageError
from trussio.timber import tables
from trussio.timber.working import STATICS, Figure, derived, number, require_positive, stated, step

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.check import Derivation

STAGGER = 4.0
"""Holes of adjacent rows nearer than this many diameters along the grain weaken one section (8 up to 1986)."""


@dataclass(frozen=True, kw_only=True)
class Void:
    """A rectangle of wood that is gone: a hole seen in the section, a notch, rot."""

    what: str
    width: float
    depth: float
    at: float = 0.0

    @property
    def area(self) -> float:
        """Area taken out of the section."""
        return self.width * self.depth


@dataclass(frozen=True, kw_only=True)
class ResidualSection:
    """What remains: area, shift of its centroid from mid-depth, inertia and moduli at both edges for bending.

    `centroid` is positive towards local +y; `modulus_plus` and `modulus_minus` are those of the +y and -y edges.
    """

    area: Derivation
    centroid: float
    inertia: float
    modulus_plus: float
    modulus_minus: float

    @property
    def modulus(self) -> float:
        """The lesser modulus."""
        return min(self.modulus_plus, self.modulus_minus)


def net_area(gross: Figure, removed: Mapping[str, Figure]) -> Derivation:
    """Gross area less the projected area of everything removed, by name.

    Raises UsageError `nothing-left` when nothing remains.
    """
    lost = sum(number(area) for area in removed.values())
    left = number(gross) - lost
    if not left > 0:
        raise UsageError(
            "nothing-left",
            where="net section",
            what=f"{lost:g} is taken out of {number(gross):g}.",
            do="Check the section, the number of holes and their diameters.",
        )
    steps = (step("A", gross, "in2"), *(step(name, area, "in2") for name, area in removed.items()))
    formula = " - ".join(("A", *removed))
    return derived("A_net", left, "in2", formula, "NDS-2018 3.1.2", *steps)


def hole_area(bolt: float, through: float, *, oversize: float = 1 / 16, count: int = 1) -> Derivation:
    """Area (in2) that bolt holes of one section take: diameter plus oversize, times the wood they go through.

    The standard allows holes 1/32 to 1/16 in oversize; measured holes go before both: state oversize 0 and the
    measured diameter.
    """
    require_positive("hole", {"bolt diameter": bolt, "thickness": through})
    value = count * (bolt + oversize) * through
    formula = f"{count} (D + {oversize:g}) t"
    steps = (step("D", bolt, "in"), step("t", through, "in"))
    return derived("A_hole", value, "in2", formula, "NDS-2018 12.1.3, 3.1.2", *steps)


def connector_area(connector: str, *, faces: int, thickness: float) -> Derivation:
    """Area (in2) that a ring or shear plate on one or two faces takes, with its bolt hole between the grooves."""
    data = tables.connectors()["connectors"].get(connector)
    if data is None:
        raise UsageError(
            "unknown-connector",
            where="net section",
            what=f"{connector!r} is not tabulated here.",
            do=f"Enter one of {', '.join(tables.connectors()['connectors'])}.",
        )
    left = thickness - faces * data["depth"]
    require_positive("net section", {"thickness": thickness, "wood between the grooves": left})
    value = faces * data["projected_area"] + data["hole"] * left
    formula = f"{faces} x {data['projected_area']} + {data['hole']} (t - {faces} x {data['depth']})"
    return derived("A_connector", value, "in2", formula, "NDS-2018 3.1.2, K", step("t", thickness, "in"))


def rows_in_one_section(rows: Sequence[Sequence[float]], diameter: float, reach: float = STAGGER) -> int:
    """How many rows of fasteners have a hole in the worst section.

    `rows` gives the stations of each row along the grain; holes nearer than `reach` diameters along the grain
    count in the same section (for rings and shear plates state the connector's diameter and reach 1).
    """
    require_positive("stagger", {"diameter": diameter})
    stations = [station for row in rows for station in row]
    return max(
        (sum(any(abs(hole - here) < reach * diameter for hole in row) for row in rows) for here in stations),
        default=0,
    )


def residual_section(*, width: float, depth: float, voids: Sequence[Void] = ()) -> ResidualSection:
    """Area, centroid and moduli of a rectangle with voids; sound wood only.

    Raises UsageError `impossible-distance` for a void outside the section or voids that overlap, and
    `nothing-left`.
    """
    require_positive("section", {"width": width, "depth": depth})
    for void in voids:
        _inside(width, depth, void)
    _apart(width, voids)
    gross = stated("A", width * depth, "in2", STATICS)
    area = (
        net_area(gross, {f"{void.what} ({place})": void.area for place, void in enumerate(voids, 1)})
        if voids
        else gross
    )
    centroid = -sum(void.area * void.at for void in voids) / area.value
    about_middle = width * depth**3 / 12 - sum(
        void.width * void.depth**3 / 12 + void.area * void.at**2 for void in voids
    )
    inertia = about_middle - area.value * centroid**2
    plus = depth / 2 - _edge_loss(width, depth, voids, 1)
    minus = depth / 2 - _edge_loss(width, depth, voids, -1)
    return ResidualSection(
        area=area,
        centroid=centroid,
        inertia=inertia,
        modulus_plus=inertia / (plus - centroid),
        modulus_minus=inertia / (minus + centroid),
    )


def _inside(width: float, depth: float, void: Void) -> None:
    require_positive(void.what, {"width": void.width, "depth": void.depth})
    slack = 1e-9 * depth
    if void.width > width + slack or abs(void.at) + void.depth / 2 > depth / 2 + slack:
        raise UsageError(
            "impossible-distance",
            where=void.what,
            what=f"{void.width:g} x {void.depth:g} at {void.at:g} does not lie in {width:g} x {depth:g}.",
            do="Enter its size and the distance of its centre from mid-depth as measured.",
        )


def _apart(width: float, voids: Sequence[Void]) -> None:
    """No depth may lose more width than the section has."""
    for here in voids:
        lost = sum(v.width for v in voids if abs(v.at - here.at) < (v.depth + here.depth) / 2 - 1e-12)
        if lost > width * (1 + 1e-9):
            raise UsageError(
                "impossible-distance",
                where=here.what,
                what=f"voids at one depth add up to {lost:g} in a width of {width:g}.",
                do="Enter overlapping losses once.",
            )


def _edge_loss(width: float, depth: float, voids: Sequence[Void], side: int) -> float:
    """Depth lost over the full width at one edge."""
    lost = 0.0
    for void in sorted(voids, key=lambda v: -side * v.at):
        full = void.width >= width * (1 - 1e-9)
        if full and abs(side * void.at + void.depth / 2 - (depth / 2 - lost)) < 1e-9 * depth:
            lost += void.depth
    return lost
