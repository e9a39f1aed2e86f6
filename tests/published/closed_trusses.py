"""Trusses by closed forms: joints and sections, bars too many, lack of fit, warmth, slip, one-way bars.

Derived on paper for each by the equilibrium of joints, or by virtual work where a bar is too many.
"""

from __future__ import annotations

from math import cos, pi, sqrt
from typing import TYPE_CHECKING, Final

from tests.published.paper import EA, INERTIA, PIN, ROLLER, A, Case, E, Json, Path, document, stick

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

P: Final = 6000.0
S: Final = 3000.0
PINNED: Final = ("--idealisation", "pinned")


def bars(
    says: str,
    joints: Mapping[str, tuple[float, float]],
    pairs: Sequence[str],
    supports: Mapping[str, Json],
    loads: Sequence[Json],
    *,
    figures: Mapping[Path, float],
    **more: Json,
) -> Case:
    """Two-joint bars named by their joints, under one case P, pinned."""
    members = {pair: stick(*pair.split(), more=more.get(pair.replace(" ", "_"))) for pair in pairs}
    return Case(
        says=says,
        source="closed form",
        document=document(joints=joints, members=members, supports=supports, cases={"P": loads}),
        figures=figures,
        options=PINNED,
    )


def N(pair: str) -> Path:  # noqa: N802 - the symbol of the trade
    """Path of the axial force of a bar."""
    return ("P", "axial", f"{pair}:{'-'.join(pair.split())}", 0)


def push(name: str, part: str = "y") -> Path:
    """Path of a reaction."""
    return ("P", "reaction", name, part)


def down(name: str, by: float = P) -> Json:
    """A load at a joint."""
    return {"joint": name, "fy": -by}


SQUARE: Final = {"A": (0.0, 0.0), "B": (S, 0.0), "C": (S, S), "D": (0.0, S)}
SIDES: Final = ("A B", "B C", "C D", "D A")
_r = sqrt(2)
# force in diagonal A C of the braced square under P to the right at D, all EA alike; bars as if A C were cut:
# A B 0 (bearings hold both), B C -P... solved in the text of each case
_n = 6
_panel, _high = 2000.0, 1500.0


def parallel_chords() -> Case:
    """Pratt form of six panels, verticals in compression: shear in webs, moment over depth in chords."""
    lower = {f"L{i}": (i * _panel, 0.0) for i in range(_n + 1)}
    upper = {f"U{i}": (i * _panel, _high) for i in range(1, _n)}
    pairs = [f"L{i} L{i + 1}" for i in range(_n)] + [f"U{i} U{i + 1}" for i in range(1, _n - 1)]
    pairs += [f"L{i} U{i}" for i in range(1, _n)] + ["L0 U1", f"U{_n - 1} L{_n}"]
    pairs += [f"U{i} L{i + 1}" for i in range(1, _n // 2)] + [f"L{i - 1} U{i}" for i in range(_n // 2 + 1, _n)]
    slope = sqrt(_panel**2 + _high**2) / _high
    shear = [P * (_n - 1) / 2 - P * i for i in range(_n)]
    bend = [sum(shear[:i]) * _panel for i in range(_n + 1)]
    figures = {N("L0 U1"): -shear[0] * slope, N("L0 L1"): bend[1] / _high, N("L1 L2"): bend[1] / _high}
    figures |= {N("U1 L2"): shear[1] * slope, N("U2 L3"): shear[2] * slope, N("L1 U1"): P}
    figures |= {N("L2 L3"): bend[2] / _high, N("U1 U2"): -bend[2] / _high, N("U2 U3"): -bend[3] / _high}
    figures |= {N("L2 U2"): -shear[2], N("L3 U3"): 0.0, N("L3 U4"): shear[2] * slope}
    loads = [down(f"L{i}") for i in range(1, _n)]
    return bars(
        "six panels of parallel chords",
        {**lower, **upper},
        pairs,
        {"L0": PIN, "L6": ROLLER},
        loads,
        figures=figures,
    )


def shortened(cut: float) -> float:
    """Force in both diagonals of a free square frame of bars, one diagonal short by `cut`."""
    # the state of self-stress: 1 in diagonals, -1/sqrt2 in sides; sum of n2 L = 2 sqrt2 S + 4 S/2
    return EA * cut / (2 * _r * S + 2 * S)


def trussed() -> dict[Path, float]:
    """A beam of 8 m on a strut of 1 m and a rod: X in the strut, X/2 sin in the rod, X/2 tan along the beam."""
    rod = sqrt(4000.0**2 + 1000**2)
    sinks = 5 * 2.0 * 8000**4 / 384 / (E * INERTIA)
    gives = 8000**3 / 48 / (E * INERTIA) + 1000 / EA + rod**3 / 2 / 1000**2 / (200e3 * 500) + 4 * 8000 / EA
    X = sinks / gives
    return {
        ("P", "axial", "post:M-U", 0): -X,
        ("P", "axial", "rl:A-U", 0): X / 2 * rod / 1000,
        ("P", "axial", "beam:A-M", 0): -X / 2 * 4,
        ("P", "moment", "beam:A-M", 1): 2.0 * 8000**2 / 8 - X * 8000 / 4,
    }


_alpha = pi / 6
_fan = P / (1 + 2 * cos(_alpha) ** 3)
_half_span, _rise = 4000.0, 3000.0
_rafter = 5000.0

CASES: Final = (
    parallel_chords(),
    bars(
        "three bars hang a load from a ceiling: the middle one takes P/(1 + 2 cos3)",
        {"A": (-S / sqrt(3), S), "B": (0.0, S), "C": (S / sqrt(3), S), "D": (0.0, 0.0)},
        ("A D", "B D", "C D"),
        {"A": PIN, "B": PIN, "C": PIN},
        [down("D")],
        figures={N("B D"): _fan, N("A D"): _fan * cos(_alpha) ** 2, ("P", "moves", "D", "dy"): -_fan * S / EA},
    ),
    bars(
        "the middle one of three bars is warm",
        {"A": (-S / sqrt(3), S), "B": (0.0, S), "C": (S / sqrt(3), S), "D": (0.0, 0.0)},
        ("A D", "B D", "C D"),
        {"A": PIN, "B": PIN, "C": PIN},
        [{"member": "B D", "warmer": 40}],
        figures={
            N("B D"): -EA * 4e-4 * 2 * cos(_alpha) ** 3 / (1 + 2 * cos(_alpha) ** 3),
            N("A D"): EA * 4e-4 * cos(_alpha) ** 2 / (1 + 2 * cos(_alpha) ** 3),
        },
    ),
    bars(
        "a square braced twice, one diagonal too short: all bars stressed, no reaction",
        SQUARE,
        (*SIDES, "A C", "B D"),
        {"A": PIN, "B": ROLLER},
        [{"member": "A C", "longer": -2.0}],
        figures={
            N("A C"): shortened(2.0),
            N("B D"): shortened(2.0),
            N("A B"): -shortened(2.0) / _r,
            N("C D"): -shortened(2.0) / _r,
            push("A"): 0.0,
            push("B"): 0.0,
        },
    ),
    bars(
        "a square braced twice, pushed at its top",
        SQUARE,
        (*SIDES, "A C", "B D"),
        {"A": PIN, "B": ROLLER},
        [{"joint": "D", "fx": P}],
        # without B D: A C = sqrt2 P, C D = B C = -P; X = -sum(N n L) / sum(n2 L) = -P (2 + sqrt2) / (2 sqrt2 + 2)
        figures={
            N("B D"): -P / _r,
            N("A C"): P / _r,
            N("A B"): P / 2,
            N("C D"): -P / 2,
            push("A", "x"): -P,
            push("A"): -P,
            push("B"): P,
        },
    ),
    bars(
        "the same with diagonals that are rods: the one that would be pressed is slack",
        SQUARE,
        (*SIDES, "A C", "B D"),
        {"A": PIN, "B": ROLLER},
        [{"joint": "D", "fx": P}],
        figures={N("A C"): _r * P, N("B D"): 0.0, N("C D"): -P, N("B C"): -P, N("D A"): 0.0, N("A B"): 0.0},
        A_C={"acts": "tension"},
        B_D={"acts": "tension"},
    ),
    bars(
        "the same with diagonals that only butt: the one that would be pulled is loose",
        SQUARE,
        (*SIDES, "A C", "B D"),
        {"A": PIN, "B": ROLLER},
        [{"joint": "D", "fx": P}],
        figures={N("A C"): 0.0, N("B D"): -_r * P, N("C D"): 0.0, N("D A"): P, N("B C"): 0.0, N("A B"): P},
        A_C={"acts": "compression"},
        B_D={"acts": "compression"},
    ),
    bars(
        "the same with a diagonal whose ends give: it takes by its share of stiffness",
        SQUARE,
        (*SIDES, "A C", "B D"),
        {"A": PIN, "B": ROLLER},
        [{"joint": "D", "fx": P}],
        figures={
            N("B D"): -P * (2 + _r) * S / EA / ((2 * _r * S + 2 * S) / EA + 2 / 4000.0),
        },
        B_D={"slip": {"first": 4000.0, "last": 4000.0}},
    ),
    bars(
        "a bar with play between bearings, warm: it spreads by the play before it pushes",
        {"A": (0.0, 0.0), "B": (S, 0.0)},
        ("A B",),
        {"A": PIN, "B": PIN},
        [{"member": "A B", "warmer": 40}],
        figures={N("A B"): -EA * (4e-4 * S - 0.7) / S},
        A_B={"play": {"first": 0.5, "last": 0.2}},
    ),
    bars(
        "rafters on an inclined bearing with a tie",
        {"A": (0.0, 0.0), "T": (_half_span, _rise), "B": (2 * _half_span, 0.0)},
        ("A T", "T B", "A B"),
        {"A": PIN, "B": {"holds": [[-1, 2]]}},
        [down("T")],
        figures={
            push("B"): P / 2,
            push("B", "x"): -P / 4,
            push("A", "x"): P / 4,
            N("A T"): -P / 2 * 5 / 3,
            N("A B"): P / 2 * 4 / 3 - P / 4,
        },
    ),
    bars(
        "rafters and a king post over a sprung wall: the ridge sinks by virtual work and by half the wall",
        {"A": (0.0, 0.0), "T": (_half_span, _rise), "B": (2 * _half_span, 0.0), "K": (_half_span, 0.0)},
        ("A T", "T B", "A K", "K B", "K T"),
        {"A": PIN, "B": {"springs": {"y": 500.0}}},
        [down("K")],
        figures={
            N("K T"): P,
            N("A T"): -P * 5 / 6,
            N("A K"): P * 2 / 3,
            ("P", "moves", "B", "dy"): -P / 2 / 500.0,
            ("P", "moves", "K", "dy"): -P / 4 / 500.0
            - P / EA * (2 * _rafter * (5 / 6) ** 2 + 2 * _half_span * (2 / 3) ** 2 + _rise),
            ("P", "moves", "B", "dx"): P * 2 / 3 * 2 * _half_span / EA,
        },
    ),
    bars(
        "a bearing that sinks stresses nothing that is just enough",
        {"A": (0.0, 0.0), "T": (_half_span, _rise), "B": (2 * _half_span, 0.0)},
        ("A T", "T B", "A B"),
        {"A": PIN, "B": ROLLER},
        [{"support": "B", "moves": {"y": -25}}, down("T")],
        figures={
            N("A B"): P * 2 / 3,
            ("P", "moves", "B", "dy"): -25.0,
            ("P", "moves", "B", "dx"): P * 2 / 3 * 8000.0 / EA,
        },
    ),
    bars(
        "a rafter pair that thrusts against sprung walls",
        {"A": (0.0, 0.0), "T": (_half_span, _rise), "B": (2 * _half_span, 0.0)},
        ("A T", "T B"),
        {"A": {"holds": ["y"], "springs": {"x": 400.0}}, "B": {"holds": ["y"], "springs": {"x": 800.0}}},
        [down("T")],
        figures={
            push("A", "x"): P * 2 / 3,
            push("B", "x"): -P * 2 / 3,
            ("P", "moves", "A", "dx"): -P * 2 / 3 / 400.0,
            ("P", "moves", "B", "dx"): P * 2 / 3 / 800.0,
        },
    ),
    bars(
        "rods of weight bring half of it to either joint",
        {"A": (0.0, 0.0), "T": (_half_span, _rise), "B": (2 * _half_span, 0.0)},
        ("A T", "T B", "A B"),
        {"A": PIN, "B": ROLLER},
        [{"weight_of": "all"}],
        figures={
            push("A"): 500 * 9.80665e-9 * A * 18000 / 2,
            N("A B"): 500 * 9.80665e-9 * A * 5000 / 2 * 4 / 3,
            ("P", "peak", "A B:A-B", 0): 500 * 9.80665e-9 * A * 8000**2 / 8,
            ("P", "peak", "A T:A-T", 0): 500 * 9.80665e-9 * A * 5000 * 4000 / 8,
        },
    ),
    Case(
        says="rafters with a collar at half height and a foot that rolls",
        source="closed form",
        document=document(
            joints={"A": (0, 0), "K": (2000, 1500), "T": (4000, 3000), "M": (6000, 1500), "B": (8000, 0)},
            members={"l": stick("A", "K", "T"), "r": stick("T", "M", "B"), "collar": stick("K", "M")},
            supports={"A": PIN, "B": ROLLER},
            cases={"P": [down("T")]},
            sections={"s": {"area": A, "inertia": INERTIA}},
        ),
        # the right foot rolls, so that H at the ridge and C in the collar add to nothing; about the ridge
        # C 1500 = P/2 4000: the collar pulls 4/3 P, and at K the rafter bends by P/2 2000
        figures={
            ("P", "axial", "collar:K-M", 0): P * 4 / 3,
            ("P", "moment", "l:A-K", 1): P / 2 * 2000,
            push("A"): P / 2,
        },
    ),
    Case(
        says="a queen-post beam: the tie beam bends because nothing braces the middle panel",
        source="closed form",
        # one load at one queen post: half of it goes as a pair of equal loads, half as an opposite pair, which the
        # posts and struts cannot carry and the beam takes as one with P/2 up and P/2 down at its thirds
        document=document(
            joints={"A": (0, 0), "C": (S, 0), "D": (2 * S, 0), "B": (3 * S, 0), "Q": (S, S), "R": (2 * S, S)},
            members={
                "tie": stick("A", "C", "D", "B"),
                "ls": stick("A", "Q"),
                "top": stick("Q", "R"),
                "rs": stick("R", "B"),
                "q": stick("C", "Q"),
                "r": stick("D", "R"),
            },
            supports={"A": PIN, "B": ROLLER},
            cases={"P": [down("C")]},
            sections={"s": {"area": 1e9, "inertia": INERTIA}},
        ),
        figures={
            ("P", "axial", "q:C-Q", 0): P / 2,
            ("P", "axial", "r:D-R", 0): P / 2,
            ("P", "axial", "top:Q-R", 0): -P / 2,
            ("P", "axial", "tie:C-D", 0): P / 2,
            ("P", "moment", "tie:A-C", 1): P / 2 * S / 3,
            ("P", "moment", "tie:C-D", 1): -P / 2 * S / 3,
            push("A"): P * 2 / 3,
        },
        within=1e-5,
    ),
    Case(
        says="a beam trussed by a strut and a rod below it",
        source="closed form: the strut pushes where the beam would sink",
        # X in the strut: beam gives (w 5 (2a)4/384 - X (2a)3/48)/EI; rods X/2sin each, beam pressed by X/2tan
        document=document(
            joints={"A": (0, 0), "M": (4000, 0), "B": (8000, 0), "U": (4000, -1000)},
            members={
                "beam": stick("A", "M", "B"),
                "post": stick("M", "U"),
                "rl": stick("A", "U", s="rod", m="steel"),
                "rr": stick("U", "B", s="rod", m="steel"),
            },
            supports={"A": PIN, "B": ROLLER},
            cases={"P": [{"member": "beam", "down": 2.0}]},
            sections={"rod": {"area": 500}},
            materials={"steel": {"E": 200_000.0, "kind": "steel"}},
        ),
        figures=trussed(),
    ),
)
