"""Invented trusses, sound and alike on both sides by construction, and faults seeded one at a time.

`sound(rng)` draws one of the usual forms; `FAULTS` spoils it. Each fault says what an audit should name: a code
and the ids, of which every one must stand in the finding's places or evidence.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from itertools import combinations, pairwise
from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from trussio.model.loading import JointLoad, LineLoad, LoadCase, Loads, RunId, SelfWeight, Target
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
    from collections.abc import Callable, Mapping
    from random import Random

    from trussio.model.finding import Finding
    from trussio.model.truss import Idealisation
    from trussio.units import UnitSystem

INCH: Final[Mapping[UnitSystem, float]] = {"us": 1.0, "si": 25.4}


@dataclass(frozen=True, kw_only=True)
class Sound:
    """A truss that stands; `triangulated` says that it does so as pinned, with just enough members."""

    form: str
    truss: Truss
    triangulated: bool = True


@dataclass
class Plan:
    """A truss in the making."""

    units: UnitSystem
    joints: dict[str, tuple[float, float]] = field(default_factory=dict)
    members: dict[str, tuple[Role, tuple[str, ...], Curve | None]] = field(default_factory=dict)

    def stick(self, name: str, role: Role, *through: str, curve: Curve | None = None) -> None:
        self.members[name] = (role, through, curve)

    def truss(self, title: str, ends: tuple[str, str]) -> Truss:
        inch = INCH[self.units]
        us = self.units == "us"
        timber = Material(
            kind="sawn",
            species="Douglas Fir-Larch",
            E=1.6e6 if us else 11000.0,
            density=34.0 if us else 540.0,
            expansion=2e-6 if us else 4e-6,
        )
        return Truss(
            title=title,
            units=self.units,
            joints={JointId(name): Joint(x=x * inch, y=y * inch) for name, (x, y) in self.joints.items()},
            members={
                MemberId(name): Member(
                    through=tuple(JointId(joint) for joint in through),
                    role=role,
                    section=SectionId("web" if role == "web" else "chord"),
                    material=MaterialId("fir"),
                    curve=curve,
                )
                for name, (role, through, curve) in self.members.items()
            },
            supports={JointId(ends[0]): Support(holds=("x", "y")), JointId(ends[1]): Support(holds=("y",))},
            sections={
                SectionId("chord"): Section(width=5.5 * inch, depth=9.5 * inch),
                SectionId("web"): Section(width=5.5 * inch, depth=5.5 * inch),
                SectionId("old"): Section(width=3.5 * inch, depth=5.5 * inch),
            },
            materials={MaterialId("fir"): timber},
            loads=Loads(
                cases={
                    RunId("D"): LoadCase(
                        kind="dead", loads=(SelfWeight(of="all"), JointLoad(joint=JointId("T1"), fy=-900.0))
                    ),
                    RunId("S"): LoadCase(
                        kind="snow",
                        loads=(LineLoad(on=Target(role="top-chord"), direction="down", value=60.0, per="plan"),),
                    ),
                },
                combinations={RunId("D+S"): {RunId("D"): 1.0, RunId("S"): 1.0}},
            ),
            assumptions={},
        )


def sound(rng: Random) -> Sound:
    """One of the usual forms, of a size that timber roofs have."""
    form = rng.choice(sorted(FORMS))
    return FORMS[form](rng, Plan(units=rng.choice(["us", "si"])))


def _chords(rng: Random, plan: Plan, panels: int, panel: float, heights: list[float]) -> None:
    """Joints of both chords and the bottom chord, whole or spliced at one joint off the middle on either side."""
    plan.joints |= {f"B{k}": (k * panel, 0.0) for k in range(panels + 1)}
    plan.joints |= {f"T{k}": (k * panel, heights[k]) for k in range(1, panels)}
    bottom = [f"B{k}" for k in range(panels + 1)]
    cut = rng.choice([None, panels // 2]) if panels > 3 else None
    if cut is None:
        plan.stick("bottom", "bottom-chord", *bottom)
    else:
        plan.stick("bottom-left", "bottom-chord", *bottom[: cut + 1])
        plan.stick("bottom-right", "bottom-chord", *bottom[cut:])


def _posts_and_braces(rng: Random, plan: Plan, panels: int) -> None:
    """Posts at every inner panel point, and a brace in every inner panel, falling or rising to the middle."""
    for k in range(1, panels):
        plan.stick(f"p{k}", "web", f"B{k}", f"T{k}")
    falling = rng.random() < 0.5
    for k in range(1, panels - 1):
        left = k < panels // 2
        down = left == falling
        pair = (f"T{k}", f"B{k + 1}") if down else (f"B{k}", f"T{k + 1}")
        plan.stick(f"d{k}", "web", *pair)


def _pitched(rng: Random, plan: Plan) -> Sound:
    panels, panel = rng.choice([4, 6, 8]), float(rng.randint(70, 110))
    rise = rng.uniform(0.35, 0.7) * panel
    _chords(rng, plan, panels, panel, [min(k, panels - k) * rise for k in range(panels + 1)])
    half = panels // 2
    plan.stick("top-left", "top-chord", "B0", *(f"T{k}" for k in range(1, half + 1)))
    plan.stick("top-right", "top-chord", *(f"T{k}" for k in range(half, panels)), f"B{panels}")
    _posts_and_braces(rng, plan, panels)
    return Sound(form="pitched", truss=plan.truss("Invented pitched truss", ("B0", f"B{panels}")))


def _parallel(rng: Random, plan: Plan) -> Sound:
    panels, panel = rng.choice([4, 6, 8, 10]), float(rng.randint(70, 110))
    _chords(rng, plan, panels, panel, [rng.uniform(0.8, 1.3) * panel] * (panels + 1))
    plan.stick("end-left", "top-chord", "B0", "T1")
    plan.stick("top", "top-chord", *(f"T{k}" for k in range(1, panels)))
    plan.stick("end-right", "top-chord", f"T{panels - 1}", f"B{panels}")
    _posts_and_braces(rng, plan, panels)
    return Sound(form="parallel", truss=plan.truss("Invented parallel truss", ("B0", f"B{panels}")))


def _warren(rng: Random, plan: Plan) -> Sound:
    panels, panel = rng.choice([3, 4, 5, 6]), float(rng.randint(90, 140))
    height = rng.uniform(0.6, 1.0) * panel
    plan.joints |= {f"B{k}": (k * panel, 0.0) for k in range(panels + 1)}
    plan.joints |= {f"T{k}": ((k - 0.5) * panel, height) for k in range(1, panels + 1)}
    plan.stick("bottom", "bottom-chord", *(f"B{k}" for k in range(panels + 1)))
    plan.stick("top", "top-chord", *(f"T{k}" for k in range(1, panels + 1)))
    for k in range(panels):
        plan.stick(f"up{k}", "web", f"B{k}", f"T{k + 1}")
        plan.stick(f"down{k}", "web", f"T{k + 1}", f"B{k + 1}")
    return Sound(form="warren", truss=plan.truss("Invented web-only truss", ("B0", f"B{panels}")))


def _fink(rng: Random, plan: Plan) -> Sound:
    span = float(rng.randint(300, 480))
    rise = rng.uniform(0.2, 0.35) * span
    plan.joints |= {
        "B0": (0.0, 0.0),
        "B1": (span / 3, 0.0),
        "B2": (2 * span / 3, 0.0),
        "B3": (span, 0.0),
        "T1": (span / 4, rise / 2),
        "T2": (span / 2, rise),
        "T3": (3 * span / 4, rise / 2),
    }
    plan.stick("bottom", "bottom-chord", "B0", "B1", "B2", "B3")
    plan.stick("top-left", "top-chord", "B0", "T1", "T2")
    plan.stick("top-right", "top-chord", "T2", "T3", "B3")
    for name, first, last in (("w1", "T1", "B1"), ("w2", "B1", "T2"), ("w3", "T2", "B2"), ("w4", "B2", "T3")):
        plan.stick(name, "web", first, last)
    return Sound(form="fink", truss=plan.truss("Invented truss with four webs", ("B0", "B3")))


def _bowstring(rng: Random, plan: Plan) -> Sound:
    panels = rng.choice([6, 8, 10])
    radius = float(rng.randint(500, 900))
    half = radius * sin(radians(rng.uniform(28, 33)))
    panel = 2 * half / panels
    centre = -((radius**2 - half**2) ** 0.5)
    heights = [centre + (radius**2 - (k * panel - half) ** 2) ** 0.5 for k in range(panels + 1)]
    _chords(rng, plan, panels, panel, heights)
    curve = Curve(radius=radius * INCH[plan.units], bows="up")
    plan.stick("top", "top-chord", "B0", *(f"T{k}" for k in range(1, panels)), f"B{panels}", curve=curve)
    _posts_and_braces(rng, plan, panels)
    return Sound(form="bowstring", truss=plan.truss("Invented bowstring truss", ("B0", f"B{panels}")))


def _queen_post(rng: Random, plan: Plan) -> Sound:
    side, middle = float(rng.randint(80, 130)), float(rng.randint(90, 150))
    height = side * sin(radians(30)) / cos(radians(30)) * rng.uniform(0.9, 1.5)
    span = 2 * side + middle
    plan.joints |= {
        "B0": (0.0, 0.0),
        "B1": (side, 0.0),
        "B2": (side + middle, 0.0),
        "B3": (span, 0.0),
        "T1": (side, height),
        "T2": (side + middle, height),
    }
    plan.stick("bottom", "bottom-chord", "B0", "B1", "B2", "B3")
    plan.stick("left", "top-chord", "B0", "T1")
    plan.stick("straining", "top-chord", "T1", "T2")
    plan.stick("right", "top-chord", "T2", "B3")
    plan.stick("q1", "web", "B1", "T1")
    plan.stick("q2", "web", "B2", "T2")
    truss = plan.truss("Invented queen-post truss", ("B0", "B3"))
    return Sound(form="queen-post", truss=truss, triangulated=False)


FORMS: Final[Mapping[str, Callable[[Random, Plan], Sound]]] = {
    "pitched": _pitched,
    "parallel": _parallel,
    "warren": _warren,
    "fink": _fink,
    "bowstring": _bowstring,
    "queen-post": _queen_post,
}


@dataclass(frozen=True, kw_only=True)
class Fault:
    """A spoiled truss and what an audit should say of it: one of the codes, naming every id."""

    truss: Truss
    codes: tuple[str, ...]
    ids: tuple[str, ...]
    idealisation: Idealisation = "continuous"

    def named_by(self, finding: Finding) -> bool:
        """Whether a finding names this fault."""
        said = json.dumps([*finding.where, finding.evidence])
        words = set(said.replace("/", " ").replace('"', " ").replace(":", " ").replace("-", " ").split())
        plain = {part for name in self.ids for part in name.split("-")}
        return finding.code in self.codes and plain <= words


def web_removed(rng: Random, of: Sound) -> Fault | None:
    """A web gone: a mechanism as pinned, and a twin without its own where it had one."""
    webs = [name for name, member in of.truss.members.items() if member.role == "web"]
    gone = rng.choice(webs)
    first, last = of.truss.members[gone].through
    truss = replace(of.truss, members={name: m for name, m in of.truss.members.items() if name != gone})
    left_in_line = any(_met_in_line(truss, joint) for joint in (first, last))
    middle = max(joint.x for joint in of.truss.joints.values()) / 2
    ends = (of.truss.joints[first].x, of.truss.joints[last].x)
    if abs(sum(ends) / 2 - middle) < 1e-6 * middle and (left_in_line or not of.triangulated):
        return None  # what is left is sound and alike on both sides
    if left_in_line or not of.triangulated or rng.random() < 0.5:
        return Fault(truss=truss, codes=("missing-twin", "stands-by-bending"), ids=(first, last))
    return Fault(truss=truss, codes=("mechanism",), ids=(first, last), idealisation="pinned")


def critical_form(rng: Random, of: Sound) -> Fault | None:
    """A joint moved on to the line between two others with which it makes a triangle."""
    if not of.triangulated:
        return None
    beside = {frozenset((s.first, s.last)) for s in of.truss.segments}
    triangles = [
        trio
        for trio in combinations(of.truss.joints, 3)
        if all(frozenset(pair) in beside for pair in combinations(trio, 2))
    ]
    trio = list(rng.choice(triangles))
    rng.shuffle(trio)
    moved, one, other = trio
    if moved in of.truss.supports or any(m.curve and moved in m.through for m in of.truss.members.values()):
        return None
    share = rng.uniform(0.3, 0.7)
    start, end = of.truss.joints[one], of.truss.joints[other]
    place = Joint(x=start.x + share * (end.x - start.x), y=start.y + share * (end.y - start.y))
    truss = replace(of.truss, joints={**of.truss.joints, moved: place})
    return Fault(truss=truss, codes=("mechanism",), ids=(moved,), idealisation="pinned")


def support_freed(rng: Random, of: Sound) -> Fault:
    """A bearing that no longer holds in x, or one gone altogether."""
    pin, roller = of.truss.supports
    if rng.random() < 0.5:
        supports = {**of.truss.supports, pin: Support(holds=("y",))}
        return Fault(truss=replace(of.truss, supports=supports), codes=("mechanism",), ids=(pin,))
    supports = {pin: of.truss.supports[pin]}
    return Fault(truss=replace(of.truss, supports=supports), codes=("mechanism",), ids=(roller,))


def twin_moved(rng: Random, of: Sound) -> Fault:
    """A joint off the middle, moved by some inches."""
    middle = max(joint.x for joint in of.truss.joints.values()) / 2
    curved = {name for m in of.truss.members.values() if m.curve for name in m.through}
    free = [
        name
        for name, joint in of.truss.joints.items()
        if abs(joint.x - middle) > 0.05 * middle and name not in of.truss.supports and name not in curved
    ]
    name = rng.choice(free)
    old, inch = of.truss.joints[name], INCH[of.truss.units]
    by = rng.uniform(5, 9) * inch * rng.choice([-1, 1])
    new = Joint(x=old.x + by, y=old.y) if rng.random() < 0.5 else Joint(x=old.x, y=old.y + by)
    twin = min(
        of.truss.joints,
        key=lambda other: (
            abs(of.truss.joints[other].x - (2 * middle - old.x)) + abs(of.truss.joints[other].y - old.y)
        ),
    )
    return Fault(
        truss=replace(of.truss, joints={**of.truss.joints, name: new}), codes=("twin-moved",), ids=(name, twin)
    )


def doubled(rng: Random, of: Sound) -> Fault:
    """A web drawn twice."""
    web = rng.choice([name for name, member in of.truss.members.items() if member.role == "web"])
    member = of.truss.members[web]
    if rng.random() < 0.5:
        member = replace(member, through=member.through[::-1])
    truss = replace(of.truss, members={**of.truss.members, MemberId("again"): member})
    return Fault(truss=truss, codes=("duplicate",), ids=(web, "again"))


def crossing(rng: Random, of: Sound) -> Fault | None:
    """A web added that crosses another without a joint: the other diagonal of a panel."""
    webs = [member.through for member in of.truss.members.values() if member.role == "web"]
    beside = {frozenset((s.first, s.last)) for s in of.truss.segments}
    panels = [
        (a, c)
        for b, d in webs
        for a, c in combinations(of.truss.joints, 2)
        if frozenset((a, c)) not in beside
        and not {a, c} & {b, d}
        and _convex([of.truss.joints[name] for name in (a, b, c, d)])
        and all(frozenset(side) in beside for side in pairwise((a, b, c, d, a)))
    ]
    if not panels:
        return None
    first, last = rng.choice(panels)
    extra = Member(through=(first, last), role="web", section=SectionId("web"), material=MaterialId("fir"))
    truss = replace(of.truss, members={**of.truss.members, MemberId("extra"): extra})
    return Fault(truss=truss, codes=("crossing",), ids=("extra",))


def section_swapped(rng: Random, of: Sound) -> Fault | None:
    """A web off the middle of another section than its twin."""
    middle = max(joint.x for joint in of.truss.joints.values()) / 2
    webs = [
        name
        for name, member in of.truss.members.items()
        if member.role == "web"
        and abs(sum(of.truss.joints[joint].x for joint in member.through) / 2 - middle) > 1e-6 * middle
    ]
    if not webs:
        return None
    web = rng.choice(webs)
    other = replace(of.truss.members[web], section=SectionId("old"))
    truss = replace(of.truss, members={**of.truss.members, web: other})
    return Fault(truss=truss, codes=("twin-differs",), ids=(web,))


FAULTS: Final[Mapping[str, Callable[[Random, Sound], Fault | None]]] = {
    "web removed": web_removed,
    "critical form": critical_form,
    "support freed": support_freed,
    "twin moved": twin_moved,
    "doubled": doubled,
    "crossing": crossing,
    "section swapped": section_swapped,
}


def _convex(corners: list[Joint]) -> bool:
    """Whether four corners make a panel whose diagonals cross well inside."""
    turns = [
        (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x)
        for a, b, c in zip(corners, corners[1:] + corners[:1], corners[2:] + corners[:2], strict=True)
    ]
    size = max(abs(turn) for turn in turns)
    return all(turn > 0.01 * size for turn in turns) or all(turn < -0.01 * size for turn in turns)


def _met_in_line(truss: Truss, joint: JointId) -> bool:
    """Whether only members of one straight line are left at a joint, so that it is a station."""
    here = truss.joints[joint]
    arms = []
    for segment in truss.segments:
        if joint in (segment.first, segment.last):
            if truss.members[segment.member].curve is not None:
                return False
            far = truss.joints[segment.last if segment.first == joint else segment.first]
            arms.append((far.x - here.x, far.y - here.y))
    return all(abs(a[0] * b[1] - a[1] * b[0]) < 1e-6 * abs(a[0] * b[0] + a[1] * b[1]) for a, b in pairwise(arms))
