"""Small roofs of one shape with a site, shared by the tests of loads: a bowstring, a gable, any line of places.

All are invented. Lengths are in feet here and inches in the truss (us), or in metres and millimetres (si).
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import TYPE_CHECKING, Final

from tests.trusses import PIN, ROLLER, build, stick
from trussio.loads.generate import generate
from trussio.model.loading import Loads, RunId
from trussio.model.site import AreaLoad, Site, Surface
from trussio.model.truss import Curve, Joint

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.site import Generated
    from trussio.model.truss import Truss
    from trussio.units import UnitSystem

BASE: Final[dict[UnitSystem, float]] = {"us": 12.0, "si": 1000.0}
ONES: Final = Site(
    edition="asce7-16",
    spacing=192.0,
    exposure_factor=1.0,
    thermal_factor=1.0,
    importance_factor=1.0,
    self_weight=False,
)
"""A site whose factors are all 1, 16 ft of roof to a truss."""
EUROPE: Final = Site(edition="en1991", spacing=6000.0, exposure_factor=1.0, thermal_factor=1.0, self_weight=False)
ROOF: Final = Surface(kind="roof", role="top-chord")


def roof(
    places: Sequence[tuple[float, float]],
    site: Site,
    *,
    units: UnitSystem = "us",
    radius: float | None = None,
    tops: Sequence[Sequence[int]] | None = None,
) -> Truss:
    """A truss with a top chord through places and a bottom chord between its ends, under one roof surface.

    `tops` splits the top chord into sticks, each by the numbers of its places.
    """
    base = BASE[units]
    names = [f"T{number}" for number in range(len(places))]
    curve = None if radius is None else Curve(radius=radius * base, bows="up")
    sticks = [range(len(places))] if tops is None else tops
    made = build(
        joints={n: (x * base, y * base) for n, (x, y) in zip(names, places, strict=True)},
        members={
            "bottom": stick(names[0], names[-1], role="bottom-chord"),
            **{
                f"top-{k}": stick(*(names[i] for i in through), role="top-chord", curve=curve)
                for k, through in enumerate(sticks)
            },
        },
        supports={names[0]: PIN, names[-1]: ROLLER},
        cases={},
        title="Invented roof",
    )
    return replace(made, units=units, loads=Loads(), site=site, surfaces={"roof": ROOF})


def bowstring(
    site: Site, *, span: float = 60.0, rise: float | None = None, panels: int = 8, units: UnitSystem = "us"
) -> Truss:
    """A circular top chord with equal panels; its radius is the span where no rise is given."""
    radius = span if rise is None else (span**2 / 4 + rise**2) / (2 * rise)
    drop = radius - rise if rise is not None else sqrt(radius**2 - span**2 / 4)
    xs = [span * k / panels - span / 2 for k in range(panels + 1)]
    heights = [0.0, *(sqrt(radius**2 - x**2) - drop for x in xs[1:-1]), 0.0]
    return roof([(x + span / 2, y) for x, y in zip(xs, heights, strict=True)], site, radius=radius, units=units)


def gable(site: Site, *, run: float, slope: float, panels: int = 2, units: UnitSystem = "us") -> Truss:
    """Two rafters of one slope (rise over run), a stick to a side, each with so many panels."""
    xs = [run * k / panels for k in range(panels + 1)]
    left = [(x, slope * x) for x in xs]
    right = [(2 * run - x, slope * x) for x in reversed(xs[:-1])]
    tops = [range(panels + 1), range(panels, 2 * panels + 1)]
    return roof([*left, *right], site, tops=tops, units=units)


def mirrored(truss: Truss) -> Truss:
    """The truss seen in a mirror: every joint at -x."""
    return replace(truss, joints={name: Joint(x=-joint.x, y=joint.y) for name, joint in truss.joints.items()})


def covered(truss: Truss, *, purlins: tuple[float, ...] | None = None, **dead: float) -> Truss:
    """The truss with dead loads per area of its roof, and purlins at x in base lengths."""
    loads: Mapping[str, AreaLoad] = {name: AreaLoad(value=value) for name, value in dead.items()}
    return replace(truss, surfaces={"roof": replace(ROOF, dead=loads, purlins=purlins)})


def told(truss: Truss, run: str) -> Generated:
    """What is told of one generated case."""
    basis = generate(truss).loads.basis
    assert basis is not None
    return basis.cases[RunId(run)]


def cases(truss: Truss) -> set[str]:
    """The names of the generated cases."""
    return {str(run) for run in generate(truss).loads.cases}


def at(truss: Truss, run: str, x: float) -> list[float]:
    """The loads of a diagram at a place, in the order of its points."""
    return [load for place, load in told(truss, run).diagram if abs(place - x) < 1e-6]
