"""Arches by closed forms: three hinges, two hinges, a tie that stretches, built in; and a bent quarter.

Thin arcs of circles; integrals of Castigliano along the arc, where the axis is not given up they are summed by
Simpson's rule. M is positive with the lower face in tension.
"""

from __future__ import annotations

from math import asin, cos, pi, sin, sqrt
from typing import TYPE_CHECKING, Final

from tests.published.paper import CLAMP, EA, EI, INERTIA, PIN, ROLLER, Case, Json, Path, document, stick

if TYPE_CHECKING:
    from collections.abc import Callable

R: Final = 5000.0
P: Final = 6000.0
W: Final = 2.0
HALF: Final = asin(0.8)
"""Half the angle of an arch of 8 m span and 2 m rise."""
RISE: Final = R * (1 - cos(HALF))
CURVE: Final[Json] = {"curve": {"radius": R, "bows": "up"}}
HUGE: Final[Json] = {"area": 1e9, "inertia": INERTIA}


def along(f: Callable[[float], float]) -> float:
    """The integral of something over the arch by Simpson's rule, from the left half and the right."""
    n = 400
    step = HALF / n
    weights = [1.0, *(4.0 if i % 2 else 2.0 for i in range(1, n)), 1.0]
    return (
        sum(weight * f(start + i * step) for start in (-HALF, 0.0) for i, weight in enumerate(weights)) * step / 3
    )


def thrust(simple: Callable[[float], float], shear: Callable[[float], float], *, tie: float = 0.0) -> float:
    """Thrust of a two-hinged arc; simple beam moment and upward cut force at an angle from the crown, tie L/EA."""

    def height(a: float) -> float:
        return R * (cos(a) - cos(HALF))

    # M = M0 - H y and N = V sin a - H cos a, tension positive, V what the left part passes up
    top = along(lambda a: simple(a) * height(a) / EI + shear(a) * sin(a) * cos(a) / EA)
    below = along(lambda a: height(a) ** 2 / EI + cos(a) ** 2 / EA)
    return top * R / (below * R + tie)


def even(a: float) -> float:
    """Moment of a simple beam under a load on plan."""
    x = R * sin(a)
    return W * (4000**2 - x * x) / 2


def cut(a: float) -> float:
    """What the left part of it passes up: its bearing less the load on it; ."""
    return -W * R * sin(a)


def leaning(a: float) -> float:
    """Moment of a simple beam under the same on the left half alone."""
    x = R * sin(a) + 4000
    left = W * 4000 * 0.75
    return left * x - W * min(x, 4000) * (x - min(x, 4000) / 2)


def leaning_cut(a: float) -> float:
    """What the left part of that passes up."""
    x = R * sin(a) + 4000
    return W * 4000 * 0.75 - W * min(x, 4000)


def arch(*, hinge: bool = False, tie: bool = False) -> Json:
    """An arc of 8 m span between A and B with a joint at its crown."""
    whole = {"arc": stick("A", "C", "B", more=CURVE)}
    halves = {"l": stick("A", "C", more=CURVE), "r": stick("C", "B", more=CURVE)}
    members = halves if hinge else whole
    names = list(members)
    if tie:
        members["tie"] = stick("A", "B", s="rod", m="steel")
    return document(
        joints={"A": (-4000, 0), "C": (0, 2000), "B": (4000, 0)},
        members=members,
        supports={"A": PIN, "B": ROLLER if tie else PIN},
        cases={
            "even": [{"member": n, "down": W, "per": "plan"} for n in names],
            "left": [{"member": n, "down": W, "per": "plan", **({} if hinge else {"to": "C"})} for n in names[:1]],
            "crown": [{"joint": "C", "fy": -P}],
            "warm": [{"member": n, "warmer": 30} for n in names],
        },
        sections={"rod": {"area": 400}},
        materials={"steel": {"E": 200_000, "kind": "steel"}},
    )


_two = thrust(even, cut)
_lean = thrust(leaning, leaning_cut)
_tied = thrust(even, cut, tie=8000 / (200_000 * 400))
_quarter_y = sqrt(R**2 - 2000**2) - 3000


def pushes(run: str, H: float, V: float) -> dict[Path, float]:
    """The bearing on the left."""
    return {(run, "reaction", "A", "x"): H, (run, "reaction", "A", "y"): V}


CASES: Final = (
    Case(
        says="an arch with three hinges: thrust by moments about the crown",
        source="closed form",
        document=arch(hinge=True),
        figures={
            **pushes("even", W * 8000**2 / 8 / 2000, W * 4000),
            **pushes("left", W * 8000**2 / 16 / 2000, W * 3000),
            **pushes("crown", P, P / 2),
            **pushes("warm", 0.0, 0.0),
            # largest where V0 - W x - H dy/dx = 0: under the left load, found by its slope
        },
    ),
    Case(
        says="an arch with two hinges under a load on plan, its axial give counted",
        source="closed form, integrals by Simpson's rule",
        document=arch(),
        figures={
            **pushes("even", _two, W * 4000),
            ("even", "moment", "arc:A-C", 1): W * 8000**2 / 8 - _two * 2000,
            **pushes("left", _lean, W * 3000),
            ("left", "moment", "arc:A-C", 1): W * 8000**2 / 16 - _lean * 2000,
            **pushes(
                "warm",
                8000 * 30e-5 / (R * along(lambda a: (R * (cos(a) - 0.6)) ** 2 / EI + cos(a) ** 2 / EA)),
                0.0,
            ),
        },
        within=1e-8,
    ),
    Case(
        says="a tied arch whose tie stretches",
        source="closed form, integrals by Simpson's rule",
        document=arch(tie=True),
        figures={
            ("even", "axial", "tie:A-B", 0): _tied,
            ("even", "reaction", "A", "x"): 0.0,
            ("even", "reaction", "A", "y"): W * 4000,
            ("even", "moves", "B", "dx"): _tied * 8000 / (200_000 * 400),
        },
        within=1e-8,
    ),
    Case(
        says="half a circle on two hinges, a force on its crown: thrust P/pi",
        source="in every handbook; derived again by Castigliano",
        document=document(
            joints={"A": (-R, 0), "C": (0, R), "B": (R, 0)},
            members={"arc": stick("A", "C", "B", more=CURVE)},
            supports={"A": PIN, "B": PIN},
            cases={"P": [{"joint": "C", "fy": -P}]},
            sections={"s": HUGE},
        ),
        figures={
            ("P", "reaction", "A", "x"): P / pi,
            ("P", "moment", "arc:A-C", 1): P * R * (0.5 - 1 / pi),
            ("P", "moves", "C", "dy"): -P * R**3 / EI * (3 * pi / 8 - 1 - 1 / (2 * pi)),
        },
        within=1e-4,
    ),
    Case(
        says="half a circle built in, a force on its crown",
        source="closed form by Castigliano: H = P (4 - pi)/(pi2 - 8)",
        document=document(
            joints={"A": (-R, 0), "C": (0, R), "B": (R, 0)},
            members={"arc": stick("A", "C", "B", more={**CURVE, "fixed": ["first", "last"]})},
            supports={"A": CLAMP, "B": CLAMP},
            cases={"P": [{"joint": "C", "fy": -P}]},
            sections={"s": HUGE},
        ),
        figures={
            ("P", "reaction", "A", "x"): P * (4 - pi) / (pi**2 - 8),
            # at the crown M0 = P R/pi - H R (1 - 2/pi) by the turn there being none
            ("P", "moment", "arc:A-C", 1): P * R / pi - P * (4 - pi) / (pi**2 - 8) * R * (1 - 2 / pi),
        },
        within=1e-4,
    ),
    Case(
        says="a quarter of a circle built in below, a force at its tip",
        source="in every handbook; derived again by Castigliano",
        document=document(
            joints={"A": (0, 0), "B": (R, R)},
            members={"q": stick("A", "B", more={**CURVE, "fixed": ["first"]})},
            supports={"A": CLAMP},
            cases={"P": [{"joint": "B", "fy": -P}], "H": [{"joint": "B", "fx": P}]},
            sections={"s": HUGE},
        ),
        figures={
            ("P", "reaction", "A", "turn"): P * R,
            ("P", "moves", "B", "dy"): -P * R**3 * pi / 4 / EI,
            ("P", "moves", "B", "dx"): P * R**3 / 2 / EI,
            ("H", "moves", "B", "dy"): -P * R**3 / 2 / EI,
            ("H", "moves", "B", "dx"): P * R**3 * (3 * pi / 4 - 2) / EI,
            ("P", "ends", "q:A-B", 0): -P,
            ("P", "ends", "q:A-B", 1): 0.0,
            ("P", "shear", "q:A-B", 1): P,
        },
        within=1e-4,
    ),
    Case(
        says="a rib in pinned whose force bends it by its rise",
        source="closed form",
        document=arch(hinge=True),
        figures={
            ("crown", "axial", "l:A-C", 0): -P / 2 * sqrt(4000**2 + 2000**2) / 2000,
            ("crown", "peak", "l:A-C", 0): P
            / 2
            * sqrt(4000**2 + 2000**2)
            / 2000
            * -(R - sqrt(R**2 - (4000**2 + 2000**2) / 4)),
        },
        options=("--idealisation", "pinned"),
    ),
)
