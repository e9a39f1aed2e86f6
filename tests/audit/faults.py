"""Faults seeded one at a time in sound trusses, and whether a finding names them.

Each fault says what an audit should name: a code and the ids, of which every one must stand in the finding's
places or evidence.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from typing import TYPE_CHECKING, Final

from tests.audit.plan import INCH
from trussio.model.truss import Joint, MaterialId, Member, MemberId, SectionId, Support

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from random import Random

    from tests.audit.plan import Sound
    from trussio.model.finding import Finding
    from trussio.model.truss import Idealisation, JointId, Truss


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
        return Fault(truss=truss, codes=("missing-twin", "stands-by-bending", "bare-joint"), ids=(first, last))
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


def twin_moved(rng: Random, of: Sound) -> Fault | None:
    """A joint off the middle, moved by some inches."""
    if not of.alike:
        return None
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
    if not of.alike:
        return None
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
