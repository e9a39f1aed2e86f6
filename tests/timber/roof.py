"""A small invented truss with forces written by hand, for the tests of the review.

Two panels of 96 in, 60 in high, in US units; the same in mm and N by exact factors. Forces are not an analysis:
each test writes the ones that it is about.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.model.forces import Results, RunForces, SegmentForces
from trussio.model.loading import LoadCase, Loads, RunId
from trussio.model.material import Material, Section
from trussio.model.truss import (
    Joint,
    JointId,
    MaterialId,
    Member,
    MemberId,
    Role,
    SectionId,
    Truss,
)
from trussio.units import MM_PER_INCH, NEWTON_PER_POUND

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.loading import CaseKind

NONE = SegmentForces(
    axial=0.0, axial_ends=(0.0, 0.0), shear=(0.0, 0.0), moment=(0.0, 0.0), moment_peak=0.0, moment_peak_at=0.0
)
DFL = Material(kind="sawn", species="Douglas Fir-Larch", grade="No. 1", E=1.7e6)
CHORD = Section(width=2.625, depth=9.5)
WEB = Section(width=1.5, depth=5.5)


def axial(force: float, moment: float = 0.0, shear: float = 0.0) -> SegmentForces:
    """The same axial force all along, with a moment and a shear."""
    return SegmentForces(
        axial=force,
        axial_ends=(force, force),
        shear=(shear, -shear),
        moment=(0.0, 0.0),
        moment_peak=moment,
        moment_peak_at=0.0,
    )


def stick(*through: str, role: Role | None, section: str, material: str = "wood") -> Member:
    """A stick of the truss."""
    return Member(
        through=tuple(JointId(name) for name in through),
        role=role,
        section=SectionId(section),
        material=MaterialId(material),
    )


def truss(
    *,
    material: Material = DFL,
    chord: Section = CHORD,
    web: Section = WEB,
    cases: Mapping[str, CaseKind | None] | None = None,
    combinations: Mapping[str, Mapping[str, float]] | None = None,
) -> Truss:
    """Bottom chord B0-B1-B2, top chords to T1, and the web B1-T1."""
    kinds: Mapping[str, CaseKind | None] = cases if cases is not None else {"D": "dead", "S": "snow"}
    sums = combinations if combinations is not None else {"D+S": {"D": 1.0, "S": 1.0}}
    return Truss(
        title="Invented",
        units="us",
        joints={
            JointId("B0"): Joint(x=0.0, y=0.0),
            JointId("B1"): Joint(x=96.0, y=0.0),
            JointId("B2"): Joint(x=192.0, y=0.0),
            JointId("T1"): Joint(x=96.0, y=60.0),
        },
        members={
            MemberId("bottom"): stick("B0", "B1", "B2", role="bottom-chord", section="chord"),
            MemberId("left"): stick("B0", "T1", role="top-chord", section="chord"),
            MemberId("right"): stick("T1", "B2", role="top-chord", section="chord"),
            MemberId("web"): stick("B1", "T1", role="web", section="web"),
        },
        supports={},
        sections={SectionId("chord"): chord, SectionId("web"): web},
        materials={MaterialId("wood"): material},
        loads=Loads(
            cases={RunId(name): LoadCase(kind=kind) for name, kind in kinds.items()},
            combinations={
                RunId(name): {RunId(case): factor for case, factor in factors.items()}
                for name, factors in sums.items()
            },
        ),
        assumptions={},
    )


def results(roof: Truss, forces: Mapping[str, Mapping[str, SegmentForces]]) -> Results:
    """Results whose segments carry nothing but what is written."""
    return Results(
        model="sha256:none",
        idealisation="continuous",
        state="found",
        rests_on=(),
        runs={
            RunId(run): RunForces(
                segments={segment.id: written.get(segment.id, NONE) for segment in roof.segments},
                joints={},
                reactions={},
            )
            for run, written in forces.items()
        },
    )


def metric(roof: Truss) -> Truss:
    """The same truss in mm, N and MPa."""
    mpa = NEWTON_PER_POUND / MM_PER_INCH**2
    return replace(
        roof,
        units="si",
        joints={
            name: Joint(x=joint.x * MM_PER_INCH, y=joint.y * MM_PER_INCH) for name, joint in roof.joints.items()
        },
        sections={name: _metric_section(section) for name, section in roof.sections.items()},
        materials={
            name: replace(
                material,
                reference=None
                if material.reference is None
                else {symbol: value * mpa for symbol, value in material.reference.items()},
            )
            for name, material in roof.materials.items()
        },
    )


def _metric_section(section: Section) -> Section:
    assert section.width is not None
    assert section.depth is not None
    return replace(
        section,
        width=section.width * MM_PER_INCH,
        depth=section.depth * MM_PER_INCH,
        gap=section.gap * MM_PER_INCH,
    )


def metric_results(given: Results) -> Results:
    """The same forces in N and N-mm."""
    return replace(
        given,
        runs={
            run: replace(
                forces,
                segments={name: _metric_forces(segment) for name, segment in forces.segments.items()},
            )
            for run, forces in given.runs.items()
        },
    )


def _metric_forces(forces: SegmentForces) -> SegmentForces:
    force, turn = NEWTON_PER_POUND, NEWTON_PER_POUND * MM_PER_INCH
    return SegmentForces(
        axial=forces.axial * force,
        axial_ends=(forces.axial_ends[0] * force, forces.axial_ends[1] * force),
        shear=(forces.shear[0] * force, forces.shear[1] * force),
        moment=(forces.moment[0] * turn, forces.moment[1] * turn),
        moment_peak=forces.moment_peak * turn,
        moment_peak_at=forces.moment_peak_at * MM_PER_INCH,
    )


BOTTOM = "bottom:B0-B1"
LEFT = "left:B0-T1"
STRUT = "web:B1-T1"
