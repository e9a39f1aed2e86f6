"""Trusses to draw, all invented, with forces in equilibrium where they are pinned.

The forces come from the equation of equilibrium alone (least squares, smallest norm), so that drawing is tested
without the package's own analysis.
"""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from typing import TYPE_CHECKING

import numpy as np

from trussio.model.forces import JointMovement, Reaction, RunForces, SegmentForces
from trussio.model.loading import JointLoad, LoadCase, Loads, RunId
from trussio.model.material import Material, Section
from trussio.model.truss import (
    Curve,
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
    from collections.abc import Mapping, Sequence

    from trussio.units import UnitSystem

PIN = Support(holds=("x", "y"))
ROLLER = Support(holds=("y",))


def member(*through: str, role: Role | None, section: str, curve: Curve | None = None) -> Member:
    """A stick of the common material."""
    return Member(
        through=tuple(JointId(name) for name in through),
        role=role,
        section=SectionId(section),
        material=MaterialId("wood"),
        curve=curve,
    )


def truss(
    title: str,
    units: UnitSystem,
    *,
    joints: Mapping[str, tuple[float, float]],
    members: Mapping[str, Member],
    supports: Mapping[str, Support],
    loads: Mapping[str, tuple[float, float]],
) -> Truss:
    """A truss with three sections, one material and one case `D+S` of joint loads."""
    case = LoadCase(
        kind="dead",
        loads=tuple(JointLoad(joint=JointId(name), fx=fx, fy=fy) for name, (fx, fy) in loads.items()),
    )
    us = units == "us"
    return Truss(
        title=title,
        units=units,
        joints={JointId(name): Joint(x=x, y=y) for name, (x, y) in joints.items()},
        members={MemberId(name): one for name, one in members.items()},
        supports={JointId(name): support for name, support in supports.items()},
        sections={
            SectionId("chord"): Section(
                width=2.625 if us else 75.0, depth=9.5 if us else 225.0, plies=2, label="2-3x10" if us else None
            ),
            SectionId("web"): Section(
                width=2.625 if us else 100.0, depth=5.5 if us else 100.0, label="3x6" if us else None
            ),
            SectionId("rod"): Section(area=0.785 if us else 452.0, inertia=0.049 if us else 16286.0),
        },
        materials={MaterialId("wood"): Material(kind="sawn", E=1.6e6 if us else 11000.0)},
        loads=Loads(cases={RunId("D+S"): case}),
        assumptions={},
    )


def bowstring(
    panels: int = 8, *, span: float = 720.0, rise: float = 96.0, title: str = "Demo hall, truss 2"
) -> Truss:
    """A curved-top truss: an arc over a tie, a post at every panel point, one diagonal in every inner panel."""
    radius = (span**2 / 4 + rise**2) / (2 * rise)
    step = span / panels
    bottom = {f"B{i}": (step * i, 0.0) for i in range(panels + 1)}
    top = {
        f"T{i}": (step * i, rise - radius + (radius**2 - (step * i - span / 2) ** 2) ** 0.5)
        for i in range(1, panels)
    }
    members = {
        "bottom": member(*bottom, role="bottom-chord", section="chord"),
        "top": member(
            "B0", *top, f"B{panels}", role="top-chord", section="chord", curve=Curve(radius=radius, bows="up")
        ),
    }
    number = 0
    for i in range(1, panels):
        number += 1
        members[f"w{number}"] = member(f"B{i}", f"T{i}", role="web", section="web")
        if i < panels - 1:
            number += 1
            ends = (f"B{i}", f"T{i + 1}") if i < panels / 2 else (f"T{i}", f"B{i + 1}")
            members[f"w{number}"] = member(*ends, role="web", section="web")
    return truss(
        title,
        "us",
        joints=bottom | top,
        members=members,
        supports={"B0": PIN, f"B{panels}": ROLLER},
        loads={f"T{i}": (0.0, -3400.0 if i < panels / 2 else -1700.0) for i in range(1, panels)},
    )


def king_post() -> Truss:
    """Eight joints and a kerb of straight sticks, in metres' worth of millimetres."""
    joints = {
        "B0": (0.0, 0.0), "B1": (3000.0, 0.0), "B2": (6000.0, 0.0), "T1": (1500.0, 1000.0), "T2": (3000.0, 2000.0),
        "T3": (4500.0, 1000.0),
    }  # fmt: skip
    members = {
        "tie": member("B0", "B1", "B2", role="bottom-chord", section="chord"),
        "rafter-1": member("B0", "T1", "T2", role="top-chord", section="chord"),
        "rafter-2": member("T2", "T3", "B2", role="top-chord", section="chord"),
        "post": member("B1", "T2", role="web", section="rod"),
        "strut-1": member("B1", "T1", role="web", section="web"),
        "strut-2": member("B1", "T3", role="web", section="web"),
    }
    return truss(
        "Demo barn, king post",
        "si",
        joints=joints,
        members=members,
        supports={"B0": PIN, "B2": ROLLER},
        loads={"T1": (0.0, -6000.0), "T2": (1500.0, -6000.0), "T3": (0.0, -6000.0), "B1": (0.0, -1000.0)},
    )


def tall() -> Truss:
    """Higher than wide, as a spire or a steep gable is."""
    joints = {"B0": (0.0, 0.0), "B1": (96.0, 0.0), "B2": (192.0, 0.0), "T": (96.0, 420.0)}
    joints |= {f"L{i}": (24.0 * i, 105.0 * i) for i in (1, 2, 3)}
    joints |= {f"R{i}": (192.0 - 24.0 * i, 105.0 * i) for i in (1, 2, 3)}
    members = {
        "tie": member("B0", "B1", "B2", role="bottom-chord", section="chord"),
        "left": member("B0", "L1", "L2", "L3", "T", role="top-chord", section="chord"),
        "right": member("B2", "R1", "R2", "R3", "T", role="top-chord", section="chord"),
        "collar-1": member("L1", "R1", role="web", section="web"),
        "collar-2": member("L2", "R2", role="web", section="web"),
        "collar-3": member("L3", "R3", role="web", section="web"),
        "brace-1": member("B1", "L1", role="web", section="web"),
        "brace-2": member("B1", "R1", role="web", section="web"),
        "brace-3": member("L1", "R2", role="web", section="web"),
        "brace-4": member("L2", "R3", role="web", section="web"),
    }
    return truss(
        "Demo spire",
        "us",
        joints=joints,
        members=members,
        supports={"B0": PIN, "B2": ROLLER},
        loads={"T": (200.0, -800.0), "L2": (150.0, 0.0), "L1": (150.0, 0.0)},
    )


def with_rod() -> Truss:
    """The king post, its post a steel rod."""
    roof = king_post()
    post = replace(roof.members[MemberId("post")], material=MaterialId("steel"))
    return replace(
        roof,
        members={**roof.members, MemberId("post"): post},
        materials={**roof.materials, MaterialId("steel"): Material(kind="steel", E=200000.0)},
    )


def one_arc() -> Truss:
    """A tied arc of one panel: 600 wide, 100 high, radius 500."""
    return truss(
        "Demo arc",
        "us",
        joints={"B0": (0.0, 0.0), "B1": (600.0, 0.0)},
        members={
            "tie": member("B0", "B1", role="bottom-chord", section="chord"),
            "arc": member("B0", "B1", role="top-chord", section="chord", curve=Curve(radius=500.0, bows="up")),
        },
        supports={"B0": PIN, "B1": ROLLER},
        loads={},
    )


def nameless() -> Truss:
    """One triangle without roles, sizes or loads, its names as long and awkward as names may be."""
    names = ("<script>alert(1)</script>"[:8] + "&'", "ö" * 40, "C" * 64)
    places = ((0.0, 0.0), (100.0, 0.0), (50.0, 60.0))
    return Truss(
        title='A "title" <with> & all\x07 signs, ' + "and very much longer than any sheet is wide, " * 6,
        units="us",
        joints={JointId(n): Joint(x=x, y=y) for n, (x, y) in zip(names, places, strict=True)},
        members={
            MemberId(f"m{i}~<&>"): Member(through=(JointId(names[i]), JointId(names[(i + 1) % 3])))
            for i in range(3)
        },
        supports={},
        sections={},
        materials={},
        loads=Loads(),
        assumptions={},
    )


def balance(roof: Truss) -> RunForces:
    """Forces and reactions of the joint loads alone, every segment taken as a bar on its joint-to-joint line."""
    rows = {joint: 2 * i for i, joint in enumerate(roof.joints)}
    columns: list[list[tuple[int, float]]] = []
    for segment in roof.segments:
        first, last = roof.joints[segment.first], roof.joints[segment.last]
        length = hypot(last.x - first.x, last.y - first.y)
        c, s = (last.x - first.x) / length, (last.y - first.y) / length
        i, j = rows[segment.first], rows[segment.last]
        columns.append([(i, c), (i + 1, s), (j, -c), (j + 1, -s)])
    holds: list[tuple[JointId, str]] = [
        (joint, axis) for joint, support in roof.supports.items() for axis in ("x", "y") if axis in support.holds
    ]
    columns += [[(rows[joint] + (axis == "y"), 1.0)] for joint, axis in holds]
    matrix = np.zeros((2 * len(rows), len(columns)))
    for column, entries in enumerate(columns):
        for row, value in entries:
            matrix[row, column] += value
    load = np.zeros(2 * len(rows))
    for case in roof.loads.cases.values():
        for one in case.loads:
            if isinstance(one, JointLoad):
                load[rows[one.joint]] += one.fx
                load[rows[one.joint] + 1] += one.fy
    found = np.linalg.lstsq(matrix, -load, rcond=None)[0]
    bars = found[: len(roof.segments)].tolist()
    held = dict(zip(holds, found[len(roof.segments) :].tolist(), strict=True))
    return run_forces(roof, bars, held)


def run_forces(
    roof: Truss, axial: Sequence[float], held: Mapping[tuple[JointId, str], float] | None = None
) -> RunForces:
    """A run with these axial forces and reactions, and nothing else."""
    held = held or {}
    return RunForces(
        segments={
            segment.id: SegmentForces(
                axial=force,
                axial_ends=(force, force),
                shear=(0.0, 0.0),
                moment=(0.0, 0.0),
                moment_peak=0.0,
                moment_peak_at=0.0,
            )
            for segment, force in zip(roof.segments, axial, strict=True)
        },
        joints={joint: JointMovement(dx=0.0, dy=0.0) for joint in roof.joints},
        reactions={
            joint: Reaction(x=held.get((joint, "x"), 0.0), y=held.get((joint, "y"), 0.0), turn=0.0)
            for joint in roof.supports
        },
    )
