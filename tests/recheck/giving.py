"""Generated trusses with what a survey may find: ends beside joints, slip, play, wear, bows, rods."""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from typing import TYPE_CHECKING

from tests.strategies import random_truss, seeded
from trussio.model.condition import Worn

if TYPE_CHECKING:
    from collections.abc import Collection
    from random import Random

    from trussio.model.truss import Idealisation, JointId, Member, Truss


def surveyed(seed: int, what: Collection[str], idealisation: Idealisation, *, panels: int = 5) -> Truss:
    """A generated truss, altered at random by what is named: offsets, slip, turning, play, acts, worn, bows.

    A pinned truss with play has no stations: whether what a station hands on works on the play of a bowed stick is
    not laid down.
    """
    rng = seeded(seed)
    stations = idealisation == "continuous" or "play" not in what
    truss = random_truss(rng, idealisation=idealisation, panels=panels, stations=stations)
    sharing = _sharing(truss)
    members = {name: _altered(truss, member, what, rng, sharing) for name, member in truss.members.items()}
    return replace(truss, members=members)


def _sharing(truss: Truss) -> set[JointId]:
    """Joints that have a rotation of their own."""
    passing = [joint for member in truss.members.values() for joint in member.through[1:-1]]
    fixed = {m.through[0 if end == "first" else -1] for m in truss.members.values() for end in m.fixed}
    return {joint for joint in passing if passing.count(joint) == 1} | fixed


def _altered(truss: Truss, member: Member, what: Collection[str], rng: Random, sharing: set[JointId]) -> Member:
    first, second = (truss.joints[joint] for joint in member.through[:2])
    long = hypot(second.x - first.x, second.y - first.y)
    assert member.section is not None
    assert member.material is not None
    section, modulus = truss.sections[member.section], truss.materials[member.material].E or 0.0
    area, inertia = section.gross_area or 0.0, section.bending_inertia or 0.0
    ends = {"first": member.through[0], "last": member.through[-1]}

    def some(value: float, low: float, high: float) -> dict[str, float] | None:
        return {end: value * rng.uniform(low, high) for end in ends if rng.random() < 0.5} or None

    made: dict[str, object] = {}
    if "offsets" in what:
        made["offsets"] = {
            end: (rng.uniform(-0.04, 0.04) * long, rng.uniform(-0.04, 0.04) * long)
            for end, joint in ends.items()
            if joint in sharing and rng.random() < 0.5
        } or None
    if "slip" in what:
        made["slip"] = some(modulus * area / long, 0.1, 2.0)
    if "play" in what:
        made["play"] = some(long, 1e-5, 1e-3)
    if "turning" in what:
        made["turning"] = {end: modulus * inertia / long * rng.uniform(0.1, 3) for end in member.fixed} or None
    if "acts" in what and member.role == "web" and len(member.through) == 2 and rng.random() < 0.4:
        made["acts"] = rng.choice(["tension", "compression"])
    if "worn" in what:
        start, end = sorted(rng.uniform(0, long * (len(member.through) - 1) * 0.9) for _ in range(2))
        left = replace(section, area=area * 0.6, inertia=inertia * 0.4, width=None, depth=None)
        made["worn"] = (Worn(start=start, end=end, section=left, shift=rng.uniform(-0.02, 0.02) * long),)
    if "bows" in what and member.curve is None:
        straight = range(len(member.through) - 1)
        made["bows"] = tuple((index, rng.uniform(-0.01, 0.01) * long) for index in straight)
    return replace(member, **made)  # type: ignore[arg-type]  # fields chosen at random
