"""Curved segments do not depend on how finely they are divided, inside or by joints that nothing else meets.

Shallow and steep arcs, stout and slender sections, loads of every kind, moments at joints: what is reported must
not move by one part in a thousand when divisions are halved. It moves by less than one in a hundred million.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import asin, atan2, cos, hypot, sin
from typing import TYPE_CHECKING

import pytest

from tests.strategies import random_truss, seeded
from tests.trusses import PIN, ROLLER, P, at_joint, build, stick
from trussio.analysis import pieces
from trussio.analysis.run import analyse
from trussio.model.loading import LineLoad, PointLoad, Target
from trussio.model.material import Material, Section
from trussio.model.truss import Curve, Joint, JointId, MemberId

if TYPE_CHECKING:
    from trussio.model.forces import RunForces, SegmentForces
    from trussio.model.loading import Load
    from trussio.model.truss import Truss

ASKED, KEPT = 1e-3, 1e-8
ON = Target(member=MemberId("top"))
SHAPES = {
    "shallow": (6000.0, 300.0),
    "a bowstring": (6000.0, 900.0),
    "steep": (6000.0, 2500.0),
    "a half circle": (6000.0, 2999.0),
}
SECTIONS = {
    "slender": (Section(area=1e4, inertia=2e6), Material(kind="sawn", E=1e4)),
    "deep, and soft in shear": (
        Section(area=6e4, inertia=1.8e9, shear_area=5e4),
        Material(kind="glulam", E=1e4, G=650.0),
    ),
}
LOADS: dict[str, tuple[Load, ...]] = {
    "along the slope": (LineLoad(on=ON, direction="down", value=2.0),),
    "in plan on one half": (LineLoad(on=ON, direction="down", value=(0.0, 3.0), per="plan", end=JointId("T2")),),
    "outwards on a part": (LineLoad(on=ON, direction="across", value=(2.0, -1.0), start=300.0, end=2900.0),),
    "points": (PointLoad(on=ON, at=700.0, fx=400.0, fy=-3000.0), PointLoad(on=ON, at=2222.0, fy=-900.0)),
    "a moment at a joint": (at_joint("T1", moment=2e6),),
    "snow blown to one side, points and a moment": (
        LineLoad(on=ON, direction="down", value=(4.0, 0.5), per="plan"),
        PointLoad(on=ON, at=1500.0, fy=2500.0),
        at_joint("T2", fy=-1000.0, moment=-1e6),
    ),
}


def bowstring(span: float, rise: float, section: Section, material: Material, loads: tuple[Load, ...]) -> Truss:
    """A curved chord of three segments over a tie, with two posts and a diagonal."""
    radius = (span**2 / 4 + rise**2) / (2 * rise)
    points = {"B0": (0.0, 0.0), "B3": (span, 0.0), "B1": (span / 3, 0.0), "B2": (2 * span / 3, 0.0)}
    for name, share in (("T1", 1 / 3), ("T2", 2 / 3)):
        turn = 2 * asin(min(1.0, span / 2 / radius)) * (share - 0.5)
        points[name] = (span / 2 + radius * sin(turn), rise - radius * (1 - cos(turn)))
    return build(
        joints=points,
        members={
            "top": stick("B0", "T1", "T2", "B3", role="top-chord", curve=Curve(radius=radius, bows="up")),
            "bottom": stick("B0", "B1", "B2", "B3", role="bottom-chord"),
            "p1": stick("B1", "T1", role="web"),
            "p2": stick("B2", "T2", role="web"),
            "d1": stick("B1", "T2", role="web"),
        },
        supports={"B0": PIN, "B3": ROLLER},
        cases={"P": loads},
        section=section,
        material=material,
    )


def values(forces: SegmentForces) -> list[float]:
    """Everything that is reported of a segment but the place of its peak, whose size counts."""
    return [forces.axial, *forces.axial_ends, *forces.shear, *forces.moment, abs(forces.moment_peak)]


def differ(one: RunForces, other: RunForces) -> float:
    """How far what two runs report is apart, as a part of each value; what is next to nothing by the largest."""
    found = 0.0
    for number in range(8):
        pairs = [
            (values(a)[number], values(b)[number])
            for a, b in zip(one.segments.values(), other.segments.values(), strict=True)
        ]
        largest = max(abs(value) for pair in pairs for value in pair)
        found = max(found, *(abs(a - b) / max(abs(a), abs(b), 1e-6 * largest, 1e-9) for a, b in pairs))
    moves = [(m.dx, m.dy) for run in (one, other) for m in run.joints.values()]
    half = len(moves) // 2
    largest = max(abs(value) for move in moves for value in move)
    apart = max(hypot(a[0] - b[0], a[1] - b[1]) for a, b in zip(moves[:half], moves[half:], strict=True))
    return max(found, apart / largest)


@pytest.mark.parametrize("loads", LOADS.values(), ids=LOADS.keys())
@pytest.mark.parametrize("section", SECTIONS.values(), ids=SECTIONS.keys())
@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES.keys())
def test_halving_the_pieces_inside_changes_nothing_that_is_reported(
    shape: tuple[float, float],
    section: tuple[Section, Material],
    loads: tuple[Load, ...],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    truss = bowstring(*shape, *section, loads)
    as_is = analyse(truss)[P]
    monkeypatch.setattr(pieces, "MOST_TURN", pieces.MOST_TURN / 2)
    assert differ(as_is, analyse(truss)[P]) < KEPT < ASKED


@pytest.mark.parametrize("seed", range(12))
def test_nor_does_it_in_any_truss(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    truss = random_truss(seeded(seed), idealisation="continuous", curved=True)
    as_is = analyse(truss)
    monkeypatch.setattr(pieces, "MOST_TURN", pieces.MOST_TURN / 2)
    for run, forces in analyse(truss).items():
        assert differ(as_is[run], forces) < KEPT


def test_the_test_can_fail(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three points on a piece of a whole steep segment are too few, and the comparison says so."""
    truss = bowstring(*SHAPES["steep"], *SECTIONS["slender"], LOADS["along the slope"])
    as_is = analyse(truss)[P]
    monkeypatch.setattr(pieces, "CURVED_POINTS", 3)
    monkeypatch.setattr(pieces, "MOST_TURN", 4.0)
    assert differ(as_is, analyse(truss)[P]) > ASKED


def divided(truss: Truss, parts: int) -> Truss:
    """The same with joints along the curved chord that nothing else meets, so many parts to a segment."""
    member = truss.members[MemberId("top")]
    assert member.curve is not None
    radius, joints, through = member.curve.radius, dict(truss.joints), [member.through[0]]
    for first, last in pairwise(member.through):
        a, b = truss.joints[first], truss.joints[last]
        half, tilt = asin(hypot(b.x - a.x, b.y - a.y) / 2 / radius), atan2(b.y - a.y, b.x - a.x)
        for part in range(1, parts):
            turn = 2 * half * part / parts
            along = 2 * radius * sin(turn / 2)
            slope = tilt + half - turn / 2
            name = JointId(f"{first}{last}{part}")
            joints[name] = Joint(x=a.x + along * cos(slope), y=a.y + along * sin(slope))
            through.append(name)
        through.append(last)
    members = {**truss.members, MemberId("top"): replace(member, through=tuple(through))}
    return replace(truss, joints=joints, members=members)


@pytest.mark.parametrize("loads", LOADS.values(), ids=LOADS.keys())
@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES.keys())
@pytest.mark.parametrize("parts", [2, 7])
def test_joints_along_the_arc_find_no_peak_that_the_whole_segment_missed(
    shape: tuple[float, float], loads: tuple[Load, ...], parts: int
) -> None:
    """Peaks between joints included: the largest of the parts' is that of the whole, at the same place."""
    truss = bowstring(*shape, *SECTIONS["slender"], loads)
    whole, fine = analyse(truss)[P], analyse(divided(truss, parts))[P]
    top = [forces for name, forces in fine.segments.items() if name.startswith("top:")]
    for number, forces in enumerate(list(whole.segments.values())[:3]):
        mine = top[parts * number : parts * (number + 1)]
        largest = max(mine, key=lambda part: abs(part.moment_peak))
        assert abs(forces.moment_peak) == pytest.approx(abs(largest.moment_peak), rel=1e-7)
        assert forces.moment == pytest.approx((mine[0].moment[0], mine[-1].moment[1]), rel=1e-6, abs=1e-2)
        assert forces.axial_ends == pytest.approx((mine[0].axial_ends[0], mine[-1].axial_ends[1]), rel=1e-7)
    for name, forces in whole.segments.items():
        if not name.startswith("top:"):
            assert forces.axial == pytest.approx(fine.segments[name].axial, rel=1e-6, abs=1e-5)
