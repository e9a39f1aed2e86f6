"""A dozen tiny trusses whose answers stand on one page of paper, shared by the tests of every job.

Each `Known` gives a truss, the idealisation and run that its answer belongs to, and the answer: axial force by
segment (tension positive), reactions (x, y, turn), moments at the two ends, the largest moment, movements of
joints (dx, dy). What is not given is not asked for. Own derivations; the reasoning stands in `says`.
All of them in mm and N, with E A = 1e7 N and E I = 1e10 N-mm2 unless said otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import sqrt
from typing import TYPE_CHECKING, Final

from trussio.model.loading import (
    JointLoad,
    LineLoad,
    Load,
    LoadCase,
    Loads,
    Longer,
    RunId,
    SupportMovement,
    Target,
    Warmer,
)
from trussio.model.material import Material, Section
from trussio.model.truss import (
    Curve,
    End,
    Idealisation,
    Joint,
    JointId,
    MaterialId,
    Member,
    MemberId,
    Role,
    SectionId,
    Support,
    Truss,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

P: Final = RunId("P")
SECTION: Final = Section(area=1000.0, inertia=1e6)
MATERIAL: Final = Material(kind="sawn", E=1e4, expansion=1e-5, density=500.0)
PIN: Final = Support(holds=("x", "y"))
ROLLER: Final = Support(holds=("y",))
CLAMP: Final = Support(holds=("x", "y", "turn"))


def stick(
    *through: str, role: Role | None = None, curve: Curve | None = None, fixed: tuple[End, ...] = ()
) -> Member:
    """A member of the common section and material through the joints named."""
    return Member(
        through=tuple(JointId(name) for name in through),
        role=role,
        section=SectionId("s"),
        material=MaterialId("m"),
        curve=curve,
        fixed=fixed,
    )


def build(
    *,
    joints: Mapping[str, tuple[float, float]],
    members: Mapping[str, Member],
    supports: Mapping[str, Support],
    cases: Mapping[str, tuple[Load, ...]],
    combinations: Mapping[str, Mapping[str, float]] | None = None,
    section: Section = SECTION,
    material: Material = MATERIAL,
    title: str = "Invented",
) -> Truss:
    """A truss of one section and one material, in mm and N."""
    return Truss(
        title=title,
        units="si",
        joints={JointId(name): Joint(x=x, y=y) for name, (x, y) in joints.items()},
        members={MemberId(name): member for name, member in members.items()},
        supports={JointId(name): support for name, support in supports.items()},
        sections={SectionId("s"): section},
        materials={MaterialId("m"): material},
        loads=Loads(
            cases={RunId(name): LoadCase(loads=loads) for name, loads in cases.items()},
            combinations={
                RunId(name): {RunId(case): factor for case, factor in factors.items()}
                for name, factors in (combinations or {}).items()
            },
        ),
        assumptions={},
    )


def at_joint(name: str, *, fx: float = 0.0, fy: float = 0.0, moment: float = 0.0) -> JointLoad:
    """A load at a joint."""
    return JointLoad(joint=JointId(name), fx=fx, fy=fy, moment=moment)


def along(member: str, value: float | tuple[float, float]) -> LineLoad:
    """A load downwards along the whole of a stick."""
    return LineLoad(on=Target(member=MemberId(member)), direction="down", value=value)


@dataclass(frozen=True, kw_only=True)
class Known:
    """A truss and the answer known on paper; `peak` is (largest moment, distance from the first joint)."""

    says: str
    truss: Truss
    idealisation: Idealisation = "continuous"
    run: RunId = P
    axial: Mapping[str, float] = field(default_factory=dict)
    reactions: Mapping[str, tuple[float, float, float]] = field(default_factory=dict)
    moments: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    peak: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    movements: Mapping[str, tuple[float, float]] = field(default_factory=dict)


_TRIANGLE: Final = {"B0": (0.0, 0.0), "T1": (4000.0, 3000.0), "B2": (8000.0, 0.0)}
_TRIANGLE_MEMBERS: Final = {
    "left": stick("B0", "T1", role="top-chord"),
    "right": stick("T1", "B2", role="top-chord"),
    "tie": stick("B0", "B2", role="bottom-chord"),
}
_SQUARE: Final = {"A": (0.0, 0.0), "B": (1000.0, 0.0), "C": (1000.0, 1000.0), "D": (0.0, 1000.0)}
_SIDES: Final = {"ab": stick("A", "B"), "bc": stick("B", "C"), "cd": stick("C", "D"), "da": stick("D", "A")}
_DIAGONALS: Final = {"ac": stick("A", "C"), "bd": stick("B", "D")}
_BEAM: Final = {"B0": (0.0, 0.0), "B1": (4000.0, 0.0), "B2": (8000.0, 0.0)}
_BEAM_SUPPORTS: Final = {"B0": PIN, "B1": ROLLER, "B2": ROLLER}

RAFTER_PAIR: Final = Known(
    says="two rafters 3 in 4 and a tie: each rafter lifts half the load, 3000 x 5/3; the tie takes 3000 x 4/3",
    truss=build(
        joints=_TRIANGLE,
        members=_TRIANGLE_MEMBERS,
        supports={"B0": PIN, "B2": ROLLER},
        cases={"P": (at_joint("T1", fy=-6000.0),)},
    ),
    axial={"left:B0-T1": -5000.0, "right:T1-B2": -5000.0, "tie:B0-B2": 4000.0},
    reactions={"B0": (0.0, 3000.0, 0.0), "B2": (0.0, 3000.0, 0.0)},
)

INCLINED_BEARING: Final = Known(
    says="the same on a bearing that holds along (3, 4): it pushes back 3000 x 3/4 sideways, which the tie adds",
    truss=build(
        joints=_TRIANGLE,
        members=_TRIANGLE_MEMBERS,
        supports={"B0": PIN, "B2": Support(holds=((3.0, 4.0),))},
        cases={"P": (at_joint("T1", fy=-6000.0),)},
    ),
    axial={"left:B0-T1": -5000.0, "right:T1-B2": -5000.0, "tie:B0-B2": 6250.0},
    reactions={"B0": (-2250.0, 3000.0, 0.0), "B2": (2250.0, 3000.0, 0.0)},
)

KING_POST: Final = Known(
    says="a load hung from the king post goes up the post whole, then down the rafters",
    truss=build(
        joints={**_TRIANGLE, "B1": (4000.0, 0.0)},
        members={
            "bottom": stick("B0", "B1", "B2", role="bottom-chord"),
            "left": stick("B0", "T1", role="top-chord"),
            "right": stick("T1", "B2", role="top-chord"),
            "post": stick("B1", "T1", role="web"),
        },
        supports={"B0": PIN, "B2": ROLLER},
        cases={"P": (at_joint("B1", fy=-6000.0),)},
    ),
    idealisation="pinned",
    axial={"bottom:B0-B1": 4e3, "bottom:B1-B2": 4e3, "left:B0-T1": -5e3, "right:T1-B2": -5e3, "post:B1-T1": 6e3},
    reactions={"B0": (0.0, 3000.0, 0.0), "B2": (0.0, 3000.0, 0.0)},
)

QUEEN_POST: Final = Known(
    says="a queen-post truss with one brace, loaded over one post: by sections",
    truss=build(
        joints={
            "B0": (0.0, 0.0),
            "B1": (3000.0, 0.0),
            "B2": (6000.0, 0.0),
            "B3": (9000.0, 0.0),
            "T1": (3000.0, 4000.0),
            "T2": (6000.0, 4000.0),
        },
        members={
            "bottom": stick("B0", "B1", "B2", "B3", role="bottom-chord"),
            "left": stick("B0", "T1", role="top-chord"),
            "straining": stick("T1", "T2", role="top-chord"),
            "right": stick("T2", "B3", role="top-chord"),
            "q1": stick("B1", "T1", role="web"),
            "q2": stick("B2", "T2", role="web"),
            "brace": stick("B1", "T2", role="web"),
        },
        supports={"B0": PIN, "B3": ROLLER},
        cases={"P": (at_joint("T1", fy=-9000.0),)},
    ),
    idealisation="pinned",
    axial={
        "bottom:B0-B1": 4500.0,
        "bottom:B1-B2": 2250.0,
        "bottom:B2-B3": 2250.0,
        "left:B0-T1": -7500.0,
        "straining:T1-T2": -4500.0,
        "right:T2-B3": -3750.0,
        "q1:B1-T1": -3000.0,
        "q2:B2-T2": 0.0,
        "brace:B1-T2": 3750.0,
    },
    reactions={"B0": (0.0, 6000.0, 0.0), "B3": (0.0, 3000.0, 0.0)},
)

PURLIN_POINT: Final = Known(
    says="a purlin half way up a rafter: 4000 is 3200 across (half to each end) and 2400 along the rafter",
    truss=build(
        joints={**_TRIANGLE, "T0": (2000.0, 1500.0)},
        members={
            "left": stick("B0", "T0", "T1", role="top-chord"),
            "right": stick("T1", "B2", role="top-chord"),
            "tie": stick("B0", "B2", role="bottom-chord"),
        },
        supports={"B0": PIN, "B2": ROLLER},
        cases={"P": (at_joint("T0", fy=-4000.0),)},
    ),
    idealisation="pinned",
    axial={
        "left:B0-T0": -8600.0 / 3,
        "left:T0-T1": -1400.0 / 3,
        "right:T1-B2": -5000.0 / 3,
        "tie:B0-B2": 4000.0 / 3,
    },
    reactions={"B0": (0.0, 3000.0, 0.0), "B2": (0.0, 1000.0, 0.0)},
    moments={"left:B0-T0": (0.0, 4e6), "left:T0-T1": (4e6, 0.0)},
)

CROSSED_SQUARE: Final = Known(
    says="a square with two diagonals that pass each other, pushed at a corner: the diagonals share alike",
    truss=build(
        joints=_SQUARE,
        members={**_SIDES, **_DIAGONALS},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("D", fx=1000.0),)},
    ),
    axial={
        "ab:A-B": 500.0,
        "bc:B-C": -500.0,
        "cd:C-D": -500.0,
        "da:D-A": 500.0,
        "ac:A-C": 1000.0 / sqrt(2),
        "bd:B-D": -1000.0 / sqrt(2),
    },
    reactions={"A": (-1000.0, -1000.0, 0.0), "B": (0.0, 1000.0, 0.0)},
)

LONG_DIAGONAL: Final = Known(
    says="the same square unloaded, one diagonal 2 mm too long: E A x 2 / (L (2 + 2 sqrt 2)) in each diagonal",
    truss=build(
        joints=_SQUARE,
        members={**_SIDES, **_DIAGONALS},
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (Longer(on=Target(member=MemberId("bd")), by=2.0),)},
    ),
    axial={
        "ab:A-B": 2e4 / (2 + 2 * sqrt(2)) / sqrt(2),
        "bc:B-C": 2e4 / (2 + 2 * sqrt(2)) / sqrt(2),
        "cd:C-D": 2e4 / (2 + 2 * sqrt(2)) / sqrt(2),
        "da:D-A": 2e4 / (2 + 2 * sqrt(2)) / sqrt(2),
        "bd:B-D": -2e4 / (2 + 2 * sqrt(2)),
        "ac:A-C": -2e4 / (2 + 2 * sqrt(2)),
    },
    reactions={"A": (0.0, 0.0, 0.0), "B": (0.0, 0.0, 0.0)},
)

WARM_BAR: Final = Known(
    says="a bar between two walls, 30 degrees warmer: E A x 1e-5 x 30",
    truss=build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"bar": stick("A", "B")},
        supports={"A": PIN, "B": PIN},
        cases={"P": (Warmer(on=Target(member=MemberId("bar")), by=30.0),)},
    ),
    axial={"bar:A-B": -3000.0},
    reactions={"A": (3000.0, 0.0, 0.0), "B": (-3000.0, 0.0, 0.0)},
)

SIMPLE_BEAM: Final = Known(
    says="a beam on two supports under 2 kN/m: w L / 2 and w L2 / 8",
    truss=build(
        joints={"B0": (0.0, 0.0), "B1": (4000.0, 0.0)},
        members={"beam": stick("B0", "B1")},
        supports={"B0": PIN, "B1": ROLLER},
        cases={"P": (along("beam", 2.0),)},
    ),
    axial={"beam:B0-B1": 0.0},
    reactions={"B0": (0.0, 4000.0, 0.0), "B1": (0.0, 4000.0, 0.0)},
    moments={"beam:B0-B1": (0.0, 0.0)},
    peak={"beam:B0-B1": (4e6, 2000.0)},
)

TWO_SPANS: Final = Known(
    says="a stick over three supports under 2 kN/m: 3 w L / 8, 10 w L / 8, and - w L2 / 8 over the middle",
    truss=build(
        joints=_BEAM,
        members={"beam": stick("B0", "B1", "B2", role="bottom-chord")},
        supports=_BEAM_SUPPORTS,
        cases={"P": (along("beam", 2.0),)},
    ),
    reactions={"B0": (0.0, 3000.0, 0.0), "B1": (0.0, 10000.0, 0.0), "B2": (0.0, 3000.0, 0.0)},
    moments={"beam:B0-B1": (0.0, -4e6), "beam:B1-B2": (-4e6, 0.0)},
    peak={"beam:B0-B1": (-4e6, 4000.0), "beam:B1-B2": (-4e6, 0.0)},
)

SUNK_SUPPORT: Final = Known(
    says="the same unloaded, the middle support 8 mm down: 3 E I d / L2 over the middle",
    truss=build(
        joints=_BEAM,
        members={"beam": stick("B0", "B1", "B2", role="bottom-chord")},
        supports=_BEAM_SUPPORTS,
        cases={"P": (SupportMovement(support=JointId("B1"), moves={"y": -8.0}),)},
    ),
    reactions={"B0": (0.0, 3.75, 0.0), "B1": (0.0, -7.5, 0.0), "B2": (0.0, 3.75, 0.0)},
    moments={"beam:B0-B1": (0.0, 15000.0), "beam:B1-B2": (15000.0, 0.0)},
    movements={"B1": (0.0, -8.0)},
)

CANTILEVER: Final = Known(
    says="a stick clamped at its root, 300 N at its tip: P L at the root, P L3 / 3 E I down",
    truss=build(
        joints={"A": (0.0, 0.0), "B": (2000.0, 0.0)},
        members={"beam": stick("A", "B", fixed=("first",))},
        supports={"A": CLAMP},
        cases={"P": (at_joint("B", fy=-300.0),)},
    ),
    axial={"beam:A-B": 0.0},
    reactions={"A": (0.0, 300.0, 600000.0)},
    moments={"beam:A-B": (-600000.0, 0.0)},
    peak={"beam:A-B": (-600000.0, 0.0)},
    movements={"B": (0.0, -80.0)},
)

SPRUNG_PROP: Final = Known(
    says="two sticks hinged over a spring of 50 N/mm: the spring takes all of 600 N and sinks 12 mm",
    truss=build(
        joints=_BEAM,
        members={"left": stick("B0", "B1"), "right": stick("B1", "B2")},
        supports={"B0": PIN, "B1": Support(springs={"y": 50.0}), "B2": PIN},
        cases={"P": (at_joint("B1", fy=-600.0),)},
    ),
    axial={"left:B0-B1": 0.0, "right:B1-B2": 0.0},
    reactions={"B0": (0.0, 0.0, 0.0), "B1": (0.0, 600.0, 0.0), "B2": (0.0, 0.0, 0.0)},
    movements={"B1": (0.0, -12.0)},
)

THREE_HINGED_ARCH: Final = Known(
    says="two quarter circles hinged at the crown: end forces along the chords, R (1 - 1 / sqrt 2) off them",
    truss=build(
        joints={"A": (-3000.0, 0.0), "C": (0.0, 3000.0), "B": (3000.0, 0.0)},
        members={
            "left": stick("A", "C", role="top-chord", curve=Curve(radius=3000.0, bows="up")),
            "right": stick("C", "B", role="top-chord", curve=Curve(radius=3000.0, bows="up")),
        },
        supports={"A": PIN, "B": PIN},
        cases={"P": (at_joint("C", fy=-4000.0),)},
    ),
    axial={"left:A-C": -2000.0 * sqrt(2), "right:C-B": -2000.0 * sqrt(2)},
    reactions={"A": (2000.0, 2000.0, 0.0), "B": (-2000.0, 2000.0, 0.0)},
    moments={"left:A-C": (0.0, 0.0), "right:C-B": (0.0, 0.0)},
    peak={"left:A-C": (-2000.0 * 3000.0 * (sqrt(2) - 1), 750.0 * 3.141592653589793)},
)

OPEN_SQUARE: Final = Known(
    says="four bars pinned in a square: the top can move sideways, no force may be believed",
    truss=build(
        joints=_SQUARE,
        members=_SIDES,
        supports={"A": PIN, "B": ROLLER},
        cases={"P": (at_joint("C", fy=-1000.0),)},
    ),
)

SOUND: Final = {
    "rafter pair": RAFTER_PAIR,
    "inclined bearing": INCLINED_BEARING,
    "king post": KING_POST,
    "queen post": QUEEN_POST,
    "purlin point": PURLIN_POINT,
    "crossed square": CROSSED_SQUARE,
    "long diagonal": LONG_DIAGONAL,
    "warm bar": WARM_BAR,
    "simple beam": SIMPLE_BEAM,
    "two spans": TWO_SPANS,
    "sunk support": SUNK_SUPPORT,
    "cantilever": CANTILEVER,
    "sprung prop": SPRUNG_PROP,
    "three-hinged arch": THREE_HINGED_ARCH,
}
"""Every one that stands, by name."""
