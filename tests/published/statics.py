"""Published statics problems with their sources, as trusses and the values printed for them.

`statics.json` holds the figures. Each entry names its source and how well it was read: `opened`, `partial`, or
`memory` (classical results written from memory and then derived again: no authority). `published` is what the
source prints, `recomputed` what an independent solver found for the same entry, `wrong` the printed values that do
not hold, with the reason. Values go by a path such as `LC1.member_forces.ab` or `LC1.reactions.a.y`.

The figures are in consistent units of any kind (m and kN, in and kip, L and P); the records call them `si`, where
a line load needs no factor. A bar is a member of two joints, a beam the same with both ends fixed but where it has
a hinge. All of them are for the `continuous` idealisation: a straight stick hinged at both ends is a bar there,
and a joint between two bars of one line is free to move across it, as the sources have it.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from math import hypot
from pathlib import Path
from typing import TYPE_CHECKING, Final, NotRequired, TypedDict

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
    Direction,
    End,
    Joint,
    JointId,
    MaterialId,
    Member,
    MemberId,
    SectionId,
    Support,
    Truss,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.model.forces import RunForces, SegmentForces

Figures = dict[str, dict[str, dict[str, float] | float]]


class _Member(TypedDict):
    id: str
    i: str
    j: str
    type: str
    E: NotRequired[float]
    A: NotRequired[float]
    I: NotRequired[float]  # noqa: E741 - the source file's own symbol
    G: NotRequired[float]
    shear_area: NotRequired[float]
    hinge_i: NotRequired[bool]
    hinge_j: NotRequired[bool]


class _Support(TypedDict):
    joint: str
    dirs: list[list[float]]
    rotation: NotRequired[bool]


class _LoadCase(TypedDict, total=False):
    joint_loads: list[dict[str, str | float]]
    member_loads: list[dict[str, str | float]]
    temperature: list[dict[str, str | float]]
    lack_of_fit: list[dict[str, str | float]]
    settlements: list[dict[str, str | float]]


class _Stability(TypedDict, total=False):
    stable: bool
    mechanisms: int
    self_stress_states: int
    joints_that_move: list[str]
    count: int
    rank: int


class _Values(TypedDict, total=False):
    cases: dict[str, Figures]
    stability: _Stability
    tol_rel: float
    tol_abs: float
    expected_disagreements: dict[str, str]


class _Example(TypedDict):
    id: str
    category: str
    name: str
    source: dict[str, str]
    joints: dict[str, list[float]]
    members: list[_Member]
    supports: list[_Support]
    load_cases: dict[str, _LoadCase]
    superposition: NotRequired[dict[str, list[str]]]
    published: _Values
    recomputed: _Values


@dataclass(frozen=True, kw_only=True)
class Stability:
    """Counts by rank; `moving` is None where the source does not name the joints."""

    mechanisms: int
    self_stress: int
    moving: frozenset[str] | None


@dataclass(frozen=True, kw_only=True)
class Published:
    """One entry. `sums` gives the run that must equal the sum of cases, by the case that it must equal."""

    id: str
    category: str
    name: str
    source: str
    strength: str
    truss: Truss
    published: Mapping[str, float]
    recomputed: Mapping[str, float]
    wrong: Mapping[str, str]
    tol_rel: float
    tol_abs: float
    sums: Mapping[RunId, RunId]
    stability: Stability
    recomputed_stability: Stability

    def agrees(self, value: float, with_value: float) -> bool:
        """Whether a value lies within either stated tolerance of another."""
        return abs(value - with_value) <= max(self.tol_abs, self.tol_rel * abs(with_value))


def measured(entry: Published, runs: Mapping[RunId, RunForces], path: str) -> float:
    """What results say of the value that a path names."""
    case, kind, name, *rest = path.split(".")
    run = runs[RunId(case)]
    part = rest[0] if rest else ""
    if kind == "reactions":
        reaction = run.reactions[JointId(name)]
        if part == "n":
            hold = entry.truss.supports[JointId(name)].holds[0]
            x, y = {"x": (1.0, 0.0), "y": (0.0, 1.0)}[hold] if isinstance(hold, str) else hold
            return (reaction.x * x + reaction.y * y) / hypot(x, y)
        return {"x": reaction.x, "y": reaction.y, "m": reaction.turn}[part]
    if kind == "displacements":
        movement = run.joints[JointId(name)]
        turn = movement.turn if movement.turn is not None else 0.0
        return {"ux": movement.dx, "uy": movement.dy, "rz": turn}[part]
    if kind == "elongations":
        first, last = entry.truss.members[MemberId(name)].through
        start, end = entry.truss.joints[first], entry.truss.joints[last]
        x, y = end.x - start.x, end.y - start.y
        before, after = run.joints[first], run.joints[last]
        return ((after.dx - before.dx) * x + (after.dy - before.dy) * y) / hypot(x, y)
    segment = next(segment for segment in entry.truss.segments if segment.member == name)
    forces = run.segments[segment.id]
    return _of_member(entry, name, forces, kind, part)


def _of_member(entry: Published, name: str, forces: SegmentForces, kind: str, part: str) -> float:
    if kind == "member_end":
        pair = {"N": forces.axial_ends, "V": forces.shear, "M": forces.moment}[part[0]]
        return pair["ij".index(part[-1])]
    section = entry.truss.section_of(MemberId(name))
    assert section is not None
    assert section.area is not None
    if kind == "stress":
        return forces.axial / section.area
    assert kind == "member_forces"
    return forces.axial


def _paths(cases: Mapping[str, Figures]) -> Iterator[tuple[str, float]]:
    """Every figure of the cases that are not staged, by path; a weight is no matter of statics."""
    for case, kinds in cases.items():
        for kind, names in kinds.items():
            if case in {"stage2", "cumulative"} or kind == "weight":
                continue
            for name, figure in names.items():
                if isinstance(figure, dict):
                    yield from ((f"{case}.{kind}.{name}.{part}", value) for part, value in figure.items())
                else:
                    yield f"{case}.{kind}.{name}", figure


def _member(entry: _Member) -> Member:
    fixed: tuple[End, ...] = ()
    if entry["type"] == "beam":
        hinged = {"first": entry.get("hinge_i", False), "last": entry.get("hinge_j", False)}
        ends: tuple[End, ...] = ("first", "last")
        fixed = tuple(end for end in ends if not hinged[end])
    return Member(
        through=(JointId(entry["i"]), JointId(entry["j"])),
        section=SectionId(entry["id"]),
        material=MaterialId(entry["id"]),
        fixed=fixed,
    )


def _section(entry: _Member) -> Section:
    inertia = entry.get("I", 1.0) if entry["type"] == "beam" else None
    return Section(area=entry.get("A", 1.0), inertia=inertia, shear_area=entry.get("shear_area"))


def _support(entry: _Support) -> Support:
    axes: dict[tuple[float, ...], Direction] = {(1, 0): "x", (0, 1): "y"}
    holds: list[Direction | tuple[float, float]] = [axes.get((x, y), (x, y)) for x, y in entry["dirs"]]
    return Support(holds=(*holds, "turn") if entry.get("rotation") else tuple(holds))


def _loads(case: _LoadCase) -> Iterator[Load]:
    for load in case.get("joint_loads", []):
        fx, fy, moment = (float(load.get(key, 0.0)) for key in ("fx", "fy", "mz"))
        yield JointLoad(joint=JointId(str(load["joint"])), fx=fx, fy=fy, moment=moment)
    for load in case.get("member_loads", []):
        yield LineLoad(
            on=Target(member=MemberId(str(load["member"]))),
            direction="down",
            value=-float(load["qy"]),
            per="plan" if load.get("per") == "horizontal_projection" else None,
        )
    for load in case.get("temperature", []):
        yield Warmer(on=Target(member=MemberId(str(load["member"]))), by=float(load["dT"]))
    for load in case.get("lack_of_fit", []):
        yield Longer(on=Target(member=MemberId(str(load["member"]))), by=float(load["elongation"]))
    for load in case.get("settlements", []):
        yield SupportMovement(support=JointId(str(load["joint"])), moves={"y": float(load["uy"])})


def _materials(entry: _Example) -> dict[MaterialId, Material]:
    made = {
        MaterialId(member["id"]): Material(E=member.get("E", 1.0), G=member.get("G"))
        for member in entry["members"]
    }
    for case in entry["load_cases"].values():
        for load in case.get("temperature", []):
            name = MaterialId(str(load["member"]))
            made[name] = replace(made[name], expansion=float(load["alpha"]))
    return made


def _truss(entry: _Example, sums: Mapping[RunId, RunId]) -> Truss:
    parts = {RunId(case): [RunId(part) for part in of] for case, of in entry.get("superposition", {}).items()}
    return Truss(
        title=entry["name"],
        units="si",
        joints={JointId(name): Joint(x=x, y=y) for name, (x, y) in entry["joints"].items()},
        members={MemberId(member["id"]): _member(member) for member in entry["members"]},
        supports={JointId(support["joint"]): _support(support) for support in entry["supports"]},
        sections={SectionId(member["id"]): _section(member) for member in entry["members"]},
        materials=_materials(entry),
        loads=Loads(
            cases={RunId(name): LoadCase(loads=tuple(_loads(case))) for name, case in entry["load_cases"].items()},
            combinations={sums[case]: dict.fromkeys(of, 1.0) for case, of in parts.items()},
        ),
        assumptions={},
    )


def _stability(stability: _Stability) -> Stability:
    moving = stability.get("joints_that_move")
    return Stability(
        mechanisms=stability["mechanisms"],
        self_stress=stability["self_stress_states"],
        moving=None if moving is None else frozenset(moving),
    )


def _published(entry: _Example) -> Published:
    printed, again = entry["published"], entry["recomputed"]
    sums = {RunId(case): RunId(f"sum for {case}") for case in entry.get("superposition", {})}
    source = entry["source"]
    return Published(
        id=entry["id"],
        category=entry["category"],
        name=entry["name"],
        source=f"{source['authors']}, {source['title']}, {source['year']}, {source['section']}",
        strength=source["strength"],
        truss=_truss(entry, sums),
        published=dict(_paths(printed.get("cases", {}))),
        recomputed=dict(_paths(again.get("cases", {}))),
        wrong=printed.get("expected_disagreements", {}),
        tol_rel=printed.get("tol_rel", 0.0),
        tol_abs=printed.get("tol_abs", 0.0),
        sums=sums,
        stability=_stability(printed.get("stability", again["stability"])),
        recomputed_stability=_stability(again["stability"]),
    )


def _read() -> tuple[Published, ...]:
    text = (Path(__file__).parent / "statics.json").read_text(encoding="utf-8")
    examples: list[_Example] = json.loads(text)["examples"]
    return tuple(_published(entry) for entry in examples)


ENTRIES: Final = _read()
"""Every entry, in the order of the file."""
SOLVED: Final = tuple(entry for entry in ENTRIES if entry.published)
"""Those that have forces, reactions or movements to compare."""
UNSTABLE: Final = tuple(entry for entry in ENTRIES if entry.category == "unstable")
"""Those about stability: mechanisms, critical forms, and stable controls."""
