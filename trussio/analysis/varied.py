"""A truss as it may truly be: joints anywhere within what the survey can tell, sticks stiffer or softer than said.

Every variation moves all joints at once, each by its own share of the tolerance left or right and up or down, and
multiplies the stiffness of every stick by its own factor; all values within the limits are equally likely. Loads,
lost sections and whatever else is placed along a stick keep their share of the way between its joints; curved
sticks keep their radius. The shares come from a fixed generator: the same truss varies in the same way every time.

Source of the generator: M. E. O'Neill, PCG: a family of simple fast space-efficient statistically good algorithms
for random number generation, 2014 (cited from memory); its bits are fixed by numpy.
Shapes: s samples, j joints, k sticks.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.sticks import targets
from trussio.model.loading import LineLoad, Longer, PointLoad, Target
from trussio.model.truss import JointId, MaterialId

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.analysis.arrays import Floats
    from trussio.model.idealised import Idealised
    from trussio.model.loading import Load, LoadCase
    from trussio.model.material import Material
    from trussio.model.truss import Joint, Member, MemberId, Truss

    Places = Mapping[MemberId, list[float]]

SEED = 1918
KEPT_BITS, TOP = 11, 2.0**52
"""Of 64 random bits the highest 53 make a number."""


class Spread(NamedTuple):
    """How far joints may lie from where they were surveyed, and by what part sticks may be stiffer or softer."""

    tolerance: float
    stiffness: float = 0.0


class Variation(NamedTuple):
    """Some variations: `moved` (j, 2, s) how far joints lie from where they were surveyed, `stiffer` (k, s)."""

    moved: Floats
    stiffer: Floats


def variations(truss: Truss, spread: Spread, samples: int, at_once: int) -> Iterator[Variation]:
    """So many variations, a few at a time; the first ones do not depend on how many there are."""
    joints, sticks = len(truss.joints), len(truss.members)
    bits = np.random.PCG64(SEED)
    for start in range(0, samples, at_once):
        few = min(at_once, samples - start)
        raw = bits.random_raw(few * (2 * joints + sticks)) >> np.uint64(KEPT_BITS)
        shares = np.ascontiguousarray((raw / TOP - 1.0).reshape(few, -1).T)
        yield Variation(
            moved=spread.tolerance * shares[: 2 * joints].reshape(joints, 2, few),
            stiffer=1.0 + spread.stiffness * shares[2 * joints :],
        )


def varied(
    truss: Truss,
    joints: Mapping[JointId, Joint],
    stiffer: Mapping[MemberId, float],
    *,
    before: Places,
    after: Places,
) -> Truss:
    """The truss of one variation; `before` and `after` are the places of joints along sticks."""

    def kept(name: MemberId, at: float) -> float:
        return float(np.interp(at, before[name], after[name]))

    members: dict[MemberId, Member] = {}
    materials: dict[MaterialId, Material] = dict(truss.materials)
    for name, member in truss.members.items():
        material = truss.material_of(name)
        own = member.material
        if material is not None and stiffer[name] != 1.0:
            own = MaterialId(f"{member.material} of {name}")
            factor = stiffer[name]
            materials[own] = replace(
                material, E=material.E and material.E * factor, G=material.G and material.G * factor
            )
        worn = tuple(replace(one, start=kept(name, one.start), end=kept(name, one.end)) for one in member.worn)
        members[name] = replace(member, material=own, worn=worn)
    cases = {name: _moved_along(truss, case, before, after) for name, case in truss.loads.cases.items()}
    loads = replace(truss.loads, cases=cases)
    return replace(truss, joints=joints, members=members, materials=materials, loads=loads)


def on_their_lines(truss: Truss, ideal: Idealised, joints: Mapping[JointId, Joint]) -> dict[JointId, Joint]:
    """Joints of which the stations of a pinned truss lie on the line between their neighbours."""
    found = dict(joints)
    for name, station in ideal.stations.items():
        start, end = joints[station.before], joints[station.after]
        x = start.x + station.share * (end.x - start.x)
        y = start.y + station.share * (end.y - start.y)
        found[name] = replace(truss.joints[name], x=x, y=y)
    return found


def _moved_along(truss: Truss, case: LoadCase, before: Places, after: Places) -> LoadCase:
    """A case whose loads keep their share of the way between joints."""
    return replace(case, loads=tuple(new for load in case.loads for new in _kept_on(truss, load, before, after)))


def _kept_on(truss: Truss, load: Load, before: Places, after: Places) -> Iterator[Load]:
    """A load, or one for each stick that it acts on, where a place along them or their length tells."""
    match load:
        case LineLoad():
            plain = not isinstance(load.value, tuple) and not _measured(load.start, load.end)
            yield from [load] if plain else _line(truss, load, before, after)
        case PointLoad() if _measured(load.at):
            for name in targets(truss, load.on):
                at = float(np.interp(_place(truss, name, load.at, before), before[name], after[name]))
                yield replace(load, on=Target(member=name), at=at)
        case Longer():
            for name in targets(truss, load.on):
                yield replace(load, on=Target(member=name), by=load.by * after[name][-1] / before[name][-1])
        case _:
            yield load


def _measured(*places: JointId | float | None) -> bool:
    """Whether a place is a distance along a stick."""
    return any(isinstance(place, float | int) for place in places)


def _place(truss: Truss, name: MemberId, at: JointId | float, before: Places) -> float:
    return before[name][truss.members[name].through.index(at)] if isinstance(at, str) else at


def _line(truss: Truss, load: LineLoad, before: Places, after: Places) -> Iterator[Load]:
    """A load along sticks as one on each segment, so that its intensities stay where they were."""
    values = load.value if isinstance(load.value, tuple) else (load.value, load.value)
    for name in targets(truss, load.on):
        places = before[name]
        start = 0.0 if load.start is None else _place(truss, name, load.start, before)
        end = places[-1] if load.end is None else _place(truss, name, load.end, before)
        (start, first), (end, last) = sorted(((start, values[0]), (end, values[1])))
        cuts = [start, *(place for place in places if start < place < end), end]
        size, now = np.interp(cuts, (start, end), (first, last)).tolist(), np.interp(cuts, places, after[name])
        for index, (low, high) in enumerate(pairwise(now.tolist())):
            between = (size[index], size[index + 1])
            yield replace(load, on=Target(member=name), start=low, end=high, value=between)
