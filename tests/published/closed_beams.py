"""Beams by closed forms: built in, continuous, sunk, sprung, turned, hinged, warm, soft in shear.

Derived on paper for each, from the deflection of a cantilever and of a simple beam and the theorem of three
moments; where every handbook has the figure (w L2/8, w L2/12), it is common practice and needs no source.
"""

from __future__ import annotations

from math import pi, sqrt
from typing import TYPE_CHECKING, Final

from tests.published.paper import (
    CLAMP,
    EA,
    EI,
    INERTIA,
    PIN,
    ROLLER,
    A,
    Case,
    E,
    Json,
    Path,
    beam,
    document,
    stick,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

L: Final = 4000.0
W: Final = 2.0
"""A load along the beam, N/mm, that is kN/m."""
P: Final = 6000.0
SINK: Final = 10.0

At = tuple[str, float, Json | None]


def level(
    says: str, at: Sequence[At], loads: Sequence[Json], figures: Mapping[Path, float], *, G: float | None = None
) -> Case:
    """One stick along a level line, its ends fixed to their joints, under one case P."""
    soft: dict[str, Json] = {}
    if G is not None:
        soft = {"s": {"area": A, "inertia": INERTIA, "shear_area": A / 1.2}}
    return Case(
        says=says,
        source="closed form",
        document=document(
            joints={name: (x, 0.0) for name, x, _ in at},
            members={"b": beam(*(name for name, _, _ in at))},
            supports={name: support for name, _, support in at if support is not None},
            cases={"P": loads},
            sections=soft,
            materials={} if G is None else {"m": {"E": E, "G": G}},
        ),
        figures=figures,
    )


def push(name: str, part: str = "y") -> Path:
    """Path of a reaction."""
    return ("P", "reaction", name, part)


def moment(between: str, end: int, stick_id: str = "b") -> Path:
    """Path of the moment at an end of a segment."""
    return ("P", "moment", f"{stick_id}:{between}", end)


ALL: Final[Json] = {"member": "b", "down": W}
SPAN: Final[Sequence[At]] = (("A", 0.0, CLAMP), ("B", L, CLAMP))
PROPPED: Final[Sequence[At]] = (("A", 0.0, CLAMP), ("B", L, ROLLER))
TWO: Final[Sequence[At]] = (("A", 0.0, PIN), ("B", L, ROLLER), ("C", 2 * L, ROLLER))


def _spans(count: int) -> Sequence[At]:
    return tuple((f"S{n}", n * L, ROLLER if n else PIN) for n in range(count + 1))


_a, _b = 1000.0, 3000.0
_three = W * L**2
_M_unequal = -W * (L**3 + (1.5 * L) ** 3) / (8 * 2.5 * L)
_k = 500.0
_sprung = 5 * W * (2 * L) ** 4 / (384 * EI) / ((2 * L) ** 3 / (48 * EI) + 1 / _k)
_turning = 2e10
_given = 1 / (1 + 2 * EI / (_turning * L))
_G = 600.0
_GA = _G * A / 1.2
_prop_soft = (W * L**4 / (8 * EI) + W * L**2 / (2 * _GA)) / (L**3 / (3 * EI) + L / _GA)
_fixed_soft = 6 * EI * SINK / L**2 / (1 + 12 * EI / (_GA * L**2))

CASES: Final = (
    level(
        "built in and propped under a uniform load",
        PROPPED,
        [ALL],
        {
            push("B"): 3 * W * L / 8,
            push("A"): 5 * W * L / 8,
            push("A", "turn"): W * L**2 / 8,
            moment("A-B", 0): -W * L**2 / 8,
            ("P", "peak", "b:A-B", 0): -W * L**2 / 8,
            ("P", "peak_at", "b:A-B", 0): 0.0,
        },
    ),
    level(
        "built in at both ends under a triangle that grows to the right",
        SPAN,
        [{"member": "b", "down": [0, W]}],
        {
            moment("A-B", 0): -W * L**2 / 30,
            moment("A-B", 1): -W * L**2 / 20,
            push("A"): 3 * W * L / 20,
            push("B"): 7 * W * L / 20,
        },
    ),
    level(
        "built in at both ends under a force at a quarter",
        SPAN,
        [{"member": "b", "at": _a, "fy": -P}],
        {
            moment("A-B", 0): -P * _a * _b**2 / L**2,
            moment("A-B", 1): -P * _a**2 * _b / L**2,
            ("P", "peak", "b:A-B", 0): -P * _a * _b**2 / L**2,
            push("A"): P * _b**2 * (L + 2 * _a) / L**3,
        },
    ),
    level(
        "two equal spans",
        TWO,
        [ALL],
        {
            moment("B-C", 0): -W * L**2 / 8,
            push("A"): 3 * W * L / 8,
            push("B"): 10 * W * L / 8,
            ("P", "moves", "A", "turn"): -W * L**3 / (48 * EI),
        },
    ),
    level(
        "three equal spans",
        _spans(3),
        [ALL],
        {
            moment("S0-S1", 1): -W * L**2 / 10,
            moment("S2-S3", 0): -W * L**2 / 10,
            push("S0"): 0.4 * W * L,
            push("S1"): 1.1 * W * L,
        },
    ),
    level(
        "three equal spans, the middle one loaded alone",
        _spans(3),
        [{"member": "b", "from": "S1", "to": "S2", "down": W}],
        {moment("S0-S1", 1): -W * L**2 / 20, push("S0"): -W * L / 20, push("S1"): 0.55 * W * L},
    ),
    level(
        "four equal spans",
        _spans(4),
        [ALL],
        {
            moment("S0-S1", 1): -3 * W * L**2 / 28,
            moment("S2-S3", 0): -W * L**2 / 14,
            push("S0"): 11 * W * L / 28,
            push("S2"): 26 * W * L / 28,
        },
    ),
    level(
        "two spans as 2 to 3",
        (("A", 0.0, PIN), ("B", L, ROLLER), ("C", 2.5 * L, ROLLER)),
        [ALL],
        {
            moment("A-B", 1): _M_unequal,
            push("A"): W * L / 2 + _M_unequal / L,
            push("C"): W * 1.5 * L / 2 + _M_unequal / (1.5 * L),
        },
    ),
    level(
        "the middle bearing of two spans sinks",
        TWO,
        [{"support": "B", "moves": {"y": -SINK}}],
        {
            moment("A-B", 1): 3 * EI * SINK / L**2,
            push("B"): -6 * EI * SINK / L**3,
            push("A"): 3 * EI * SINK / L**3,
            ("P", "moves", "B", "dy"): -SINK,
        },
    ),
    level(
        "the middle bearing of two spans is a spring",
        (("A", 0.0, PIN), ("B", L, {"springs": {"y": _k}}), ("C", 2 * L, ROLLER)),
        [ALL],
        {push("B"): _sprung, ("P", "moves", "B", "dy"): -_sprung / _k, push("A"): (2 * W * L - _sprung) / 2},
    ),
    level(
        "the built-in end of a propped beam turns",
        PROPPED,
        [{"support": "A", "moves": {"turn": 0.002}}],
        {
            push("A", "turn"): 3 * EI * 0.002 / L,
            push("B"): -3 * EI * 0.002 / L**2,
            moment("A-B", 0): -3 * EI * 0.002 / L,
        },
    ),
    level(
        "one of two built-in ends sinks",
        SPAN,
        [{"support": "B", "moves": {"y": -SINK}}],
        {
            moment("A-B", 0): -6 * EI * SINK / L**2,
            moment("A-B", 1): 6 * EI * SINK / L**2,
            push("B"): -12 * EI * SINK / L**3,
        },
    ),
    level(
        "ends that turn against springs",
        (
            ("A", 0.0, {"holds": ["x", "y"], "springs": {"turn": _turning}}),
            ("B", L, {"holds": ["y"], "springs": {"turn": _turning}}),
        ),
        [ALL],
        {moment("A-B", 0): -W * L**2 / 12 * _given, push("A", "turn"): W * L**2 / 12 * _given},
    ),
    level(
        "a triangle over the middle part of a simple beam",
        (("A", 0.0, PIN), ("B", L, ROLLER)),
        [{"member": "b", "from": 1000, "to": 2500, "down": [0, 3.0]}],
        {push("A"): 2250.0 * (L - 2000.0) / L, push("B"): 2250.0 * 2000.0 / L, moment("A-B", 1): 0.0},
    ),
    level(
        "a moment on the middle of a simple beam",
        (("A", 0.0, PIN), ("M", L / 2, None), ("B", L, ROLLER)),
        [{"joint": "M", "moment": 8e6}],
        {
            push("A"): 8e6 / L,
            push("B"): -8e6 / L,
            moment("A-M", 1): 4e6,
            moment("M-B", 0): -4e6,
            ("P", "moves", "M", "dy"): 0.0,
            ("P", "moves", "M", "turn"): 8e6 * L / (12 * EI),
        },
    ),
    level(
        "a cantilever soft in shear",
        (("A", 0.0, CLAMP), ("B", L, None)),
        [{"joint": "B", "fy": -P}],
        {
            ("P", "moves", "B", "dy"): -P * L**3 / (3 * EI) - P * L / _GA,
            ("P", "moves", "B", "turn"): -P * L**2 / (2 * EI),
        },
        G=_G,
    ),
    level("propped and soft in shear", PROPPED, [ALL], {push("B"): _prop_soft}, G=_G),
    level(
        "sinking and soft in shear",
        SPAN,
        [{"support": "B", "moves": {"y": -SINK}}],
        {moment("A-B", 0): -_fixed_soft, moment("A-B", 1): _fixed_soft},
        G=_G,
    ),
    level(
        "warm between walls",
        SPAN,
        [{"member": "b", "warmer": 25}],
        {("P", "axial", "b:A-B", 0): -EA * 1e-5 * 25, push("A", "x"): EA * 1e-5 * 25, moment("A-B", 0): 0.0},
    ),
    level(
        "an overhang with a force at its tip",
        (("A", 0.0, PIN), ("B", L, ROLLER), ("C", 1.25 * L, None)),
        [{"joint": "C", "fy": -P}],
        {
            push("A"): -P / 4,
            push("B"): 1.25 * P,
            moment("A-B", 1): -P * L / 4,
            ("P", "moves", "C", "dy"): -P * (L / 4) ** 2 * 1.25 * L / (3 * EI),
        },
    ),
    Case(
        says="a beam of three parts on two hinges, as a chord with two splices",
        source="closed form",
        document=document(
            joints={
                n: (x, 0.0) for n, x in (("A", 0), ("B", 4e3), ("H", 5e3), ("K", 8e3), ("C", 9e3), ("D", 13e3))
            },
            members={"l": stick("A", "B", "H"), "m": stick("H", "K"), "r": stick("K", "C", "D")},
            supports={"A": PIN, "B": ROLLER, "C": ROLLER, "D": ROLLER},
            cases={"P": [{"member": n, "down": W} for n in "lmr"]},
        ),
        figures={
            moment("A-B", 1, "l"): -(W * 3000 / 2 * 1000 + W * 1000**2 / 2),
            moment("H-K", 0, "m"): 0.0,
            ("P", "peak", "m:H-K", 0): W * 3000**2 / 8,
            push("A"): W * 4000 / 2 - (W * 3000 / 2 * 1000 + W * 1000**2 / 2) / 4000,
            push("B"): W * 13000 / 2 - (W * 4000 / 2 - (W * 3000 / 2 * 1000 + W * 1000**2 / 2) / 4000),
        },
    ),
    Case(
        says="a rafter on an inclined bearing at its foot, leaning on a wall without friction",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "B": (4000, 3000)},
            members={"r": stick("A", "B")},
            supports={"A": PIN, "B": {"holds": ["x"]}},
            cases={
                "P": [{"member": "r", "down": W}],
                "plan": [{"member": "r", "down": W, "per": "plan"}],
                "wind": [{"member": "r", "across": -W}],
                "push": [{"member": "r", "right": W}],
            },
        ),
        figures={
            push("B", "x"): -W * 5000 * 2000 / 3000,
            push("A"): W * 5000,
            ("P", "ends", "r:A-B", 0): -(W * 5000 * 0.6 + W * 5000 * 2 / 3 * 0.8),
            ("P", "ends", "r:A-B", 1): -W * 5000 * 2 / 3 * 0.8,
            ("P", "peak", "r:A-B", 0): W * 0.8 * 5000**2 / 8,
            ("plan", "peak", "r:A-B", 0): W * 4000**2 / 8,
            ("plan", "reaction", "A", "y"): W * 4000,
            ("wind", "peak", "r:A-B", 0): W * 5000**2 / 8,
            ("wind", "reaction", "A", "y"): W * 4000,
            ("wind", "reaction", "B", "x"): -W * 5000 * 2500 / 3000,
            ("push", "reaction", "B", "x"): -W * 5000 / 2,
            ("push", "peak", "r:A-B", 0): W * 0.6 * 5000**2 / 8,
        },
    ),
    Case(
        says="a post and a beam: a knee frame on two pins",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "B": (0, L), "C": (L, L)},
            members={"post": beam("A", "B"), "top": beam("B", "C")},
            supports={"A": PIN, "C": PIN},
            cases={"P": [{"member": "top", "down": W}]},
            sections={"s": {"area": 1e12, "inertia": INERTIA}},
        ),
        figures={moment("A-B", 1, "post"): -W * L**2 / 16, moment("B-C", 0, "top"): -W * L**2 / 16},
    ),
    Case(
        says="a portal on pins under a sideways force: half each way",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "B": (0, L), "C": (L, L), "D": (L, 0)},
            members={"f": beam("A", "B", "C", "D")},
            supports={"A": PIN, "D": PIN},
            cases={"P": [{"joint": "B", "fx": P / 2}, {"joint": "C", "fx": P / 2}]},
        ),
        figures={
            push("A", "x"): -P / 2,
            push("A"): -P,
            push("D"): P,
            moment("B-C", 0, "f"): P * L / 2,
            moment("B-C", 1, "f"): -P * L / 2,
        },
    ),
    Case(
        says="a floor joist in US units by its own weight and a line load in plf",
        source="closed form",
        document=document(
            units="us",
            joints={"A": (0, 0), "B": (180, 0)},
            members={"b": stick("A", "B", s="r", m="df")},
            supports={"A": PIN, "B": ROLLER},
            cases={"D": [{"weight_of": "all"}], "L": [{"member": "b", "down": 60}]},
            sections={"r": {"width": 1.5, "depth": 9.25, "plies": 2, "joined": "nailed"}},
            materials={"df": {"kind": "sawn", "E": 1.6e6, "density": 32}},
            combinations={"D+L": {"D": 1, "L": 1}},
        ),
        figures={
            ("D", "reaction", "A", "y"): 32 / 1728 * 3 * 9.25 * 180 / 2,
            ("L", "reaction", "B", "y"): 60 * 15 / 2,
            ("L", "peak", "b:A-B", 0): 60 * 15**2 / 8 * 12,
            ("D+L", "peak", "b:A-B", 0): 60 * 15**2 / 8 * 12 + 32 / 1728 * 27.75 * 180**2 / 8,
        },
    ),
    Case(
        says="a beam's own weight in SI, kg/m3 by standard gravity",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "B": (6000, 0)},
            members={"b": stick("A", "B", s="r", m="w")},
            supports={"A": PIN, "B": ROLLER},
            cases={"D": [{"weight_of": ["b"]}]},
            sections={"r": {"width": 100, "depth": 200}},
            materials={"w": {"E": 11000, "density": 420}},
        ),
        figures={("D", "reaction", "A", "y"): 420 * 9.80665 * 0.1 * 0.2 * 6 / 2},
    ),
    Case(
        says="a cantilever of two unlike parts",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "B": (L, 0), "C": (2 * L, 0)},
            members={"a": beam("A", "B", s="big"), "b": beam("B", "C")},
            supports={"A": CLAMP},
            cases={"P": [{"joint": "C", "fy": -P}]},
            sections={"big": {"area": A, "inertia": 4 * INERTIA}},
        ),
        figures={("P", "moves", "C", "dy"): -P * ((2 * L) ** 3 - L**3) / (3 * 4 * EI) - P * L**3 / (3 * EI)},
    ),
    Case(
        says="a chord splice that turns against a spring, in the middle of a beam built in at both ends",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "M": (L / 2, 0), "B": (L, 0)},
            members={
                "l": beam("A", "M"),
                "r": beam("M", "B", more={"turning": {"first": _turning}}),
            },
            supports={"A": CLAMP, "B": CLAMP},
            cases={"P": [{"member": n, "down": W} for n in "lr"]},
        ),
        # by symmetry the moment m at the middle: slope of each half there, w (L/2)3/6EI - m (L/2)/EI, is m/2k
        figures={
            moment("A-M", 1, "l"): W * (L / 2) ** 3 / (6 * EI) / (L / 2 / EI + 1 / (2 * _turning)),
        },
    ),
    Case(
        says="a ring pulled at two opposite points: P R/pi under them, P R (1/2 - 1/pi) between",
        source="S. Timoshenko, Strength of Materials (thin ring), from memory; derived again by Castigliano",
        document=document(
            joints={"W": (-1000, 0), "N": (0, 1000), "E": (1000, 0), "S": (0, -1000)},
            members={
                "u": beam("W", "N", "E", more={"curve": {"radius": 1000, "bows": "up"}}),
                "l": beam("W", "S", "E", more={"curve": {"radius": 1000, "bows": "down"}}),
            },
            supports={"S": PIN, "N": {"holds": ["x"]}},
            cases={"P": [{"joint": "N", "fy": P}]},
            sections={"s": {"area": 1e13, "inertia": INERTIA}},
        ),
        figures={
            moment("W-N", 1, "u"): -P * 1000 / pi,
            moment("W-N", 0, "u"): P * 1000 * (0.5 - 1 / pi),
            ("P", "moves", "N", "dy"): P * 1000**3 / EI * (pi / 4 - 2 / pi),
        },
    ),
    Case(
        says="a bent made of a stick with a kink: built in below, a force at its tip",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "B": (0, L), "C": (L, L)},
            members={"f": beam("A", "B", "C")},
            supports={"A": CLAMP},
            cases={"P": [{"joint": "C", "fy": -P}]},
        ),
        figures={
            ("P", "moves", "C", "dy"): -P * L**3 / EI - P * L**3 / (3 * EI) - P * L / EA,
            ("P", "moves", "C", "dx"): P * L**3 / (2 * EI),
            push("A", "turn"): P * L,
        },
    ),
    Case(
        says="a force across the middle of a brace at 45 degrees",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "B": (3000, 3000)},
            members={"b": stick("A", "B")},
            supports={"A": PIN, "B": {"holds": [[1, -1]]}},
            cases={"P": [{"member": "b", "at": 1500 * sqrt(2), "fx": P / sqrt(2), "fy": -P / sqrt(2)}]},
        ),
        figures={
            ("P", "peak", "b:A-B", 0): P * 3000 * sqrt(2) / 4,
            ("P", "axial", "b:A-B", 0): 0.0,
            push("B", "x"): -P / 2 / sqrt(2),
            push("B"): P / 2 / sqrt(2),
        },
    ),
)
