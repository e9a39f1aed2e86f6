"""The loads of a run as the truss document states them, for the checker of proofs: only the standard library.

Distances are lengths along sticks from joint to joint; where an axis ends beside its joint, places keep their part
of the way and line loads their sums. A load along a segment is taken at Gauss points: on a straight segment two
for a uniform load and three for one that varies, which is exact for what they do, and eight for each piece of an
arc. Every point load stands as if the segment were on simple supports at its ends: these get their parts by the
lever, and the segment is deformed.
"""

from __future__ import annotations

from collections import defaultdict
from math import atan2, cos, pi, sin
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.late import loaded
from trussio.recheck.ribs import gauss_points, handed, misfit, place, plain
from trussio.recheck.statement import area_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from trussio.recheck.ribs import Triple
    from trussio.recheck.statement import Entry, Row, Segment

    Pair = tuple[float, float]

LINE: Final = {"us": 1 / 12, "si": 1.0}
"""Line load per base length: plf to lbf/in, kN/m to N/mm."""
WEIGHT: Final = {"us": 1 / 1728, "si": 9.80665e-9}
"""Weight per base volume: pcf to lbf/in3, kg/m3 to N/mm3 (standard gravity)."""
TWO: Final = ((0.5 - (1 / 12) ** 0.5, 0.5), (0.5 + (1 / 12) ** 0.5, 0.5))
"""Places and weights on (0, 1) of the Gauss rule of two points, exact to the third degree."""
THREE: Final = ((0.5 - 0.6**0.5 / 2, 5 / 18), (0.5, 8 / 18), (0.5 + 0.6**0.5 / 2, 5 / 18))
"""Places and weights on (0, 1) of the Gauss rule of three points, exact to the fifth degree."""
HAIR: Final = 1e-9
"""Part of a segment's length below which a piece of load counts as none."""


class Loads(NamedTuple):
    """Terms of what a run does: on joints, deformations of segments as (value, size), movements of bearings.

    `size` is the sum of the sizes of what the terms of `push` were made of. `ends` has what they do along the axis
    at ends with play, as (force, size).
    """

    push: dict[Row, list[float]]
    size: dict[Row, float]
    misfit: dict[str, list[tuple[Triple, Triple]]]
    moves: dict[Row, float]
    ends: dict[tuple[str, int | None], list[Pair]]


def loads_of(truss: Entry, segments: Collection[Segment], run: str) -> Loads:
    """The loads of a run, each already times its factor."""
    out = Loads(defaultdict(list), defaultdict(float), defaultdict(list), defaultdict(float), defaultdict(list))
    turns = {turn for s in segments for turn in s.turns}
    loads = truss.get("loads", {})
    for case, factor in loads.get("combinations", {}).get(run, {run: 1.0}).items():
        for load in loads["cases"][case].get("loads", ()):
            if "joint" in load:
                if load.get("moment") and load["joint"] not in turns:
                    raise ValueError(f"Nothing takes the moment at {load['joint']}.")
                for key, row in (("fx", "x"), ("fy", "y"), ("moment", "turn")):
                    _push(out, (load["joint"], row), factor * load.get(key, 0.0))
            elif "tendon" in load:
                loaded("trussio.recheck.tendons:jacked")(out, truss, segments, load, (factor, run))
            elif "support" in load:
                for name, by in load["moves"].items():
                    out.moves[load["support"], name] += factor * by
            else:
                for stick in _sticks(truss, load):
                    _on_stick(out, truss, [s for s in segments if s.stick == stick], load, factor)
    return out


def _sticks(truss: Entry, load: Entry) -> list[str]:
    members = truss["members"]
    if "weight_of" in load:
        return list(members if load["weight_of"] == "all" else load["weight_of"])
    return [load["member"]] if "member" in load else [m for m in members if members[m].get("role") == load["role"]]


def _on_stick(out: Loads, truss: Entry, pieces: Sequence[Segment], load: Entry, factor: float) -> None:
    member = truss["members"][pieces[0].stick]
    material = truss["materials"][member["material"]]
    whole = pieces[-1].begins + pieces[-1].along
    places = dict(zip(member["through"], [*(s.begins for s in pieces), whole], strict=True))
    if "longer" in load or "warmer" in load:
        strain = load["longer"] / whole if "longer" in load else load["warmer"] * material["expansion"]
        for s in pieces:
            grown = factor * strain * s.rib.chord * s.along / s.rib.length
            out.misfit[s.id].append(((grown, 0.0, 0.0), (abs(grown), 0.0, 0.0)))
    elif "at" in load:
        force = (factor * load.get("fx", 0.0), factor * load.get("fy", 0.0))
        _on_point(out, pieces, member["through"], places.get(load["at"], load["at"]), force)
    else:
        way = next(way for way in ("down", "right", "across", "weight_of") if way in load)
        if way == "weight_of":
            value = material["density"] * area_of(truss["sections"][member["section"]]) * WEIGHT[truss["units"]]
            first = last = factor * value
        else:
            pair = load[way] if isinstance(load[way], list) else (load[way], load[way])
            first, last = (factor * value * LINE[truss["units"]] for value in pair)
        start, end = (places.get(at, at) for at in (load.get("from", 0.0), load.get("to", whole)))
        slope, plan = (last - first) / (end - start), load.get("per") == "plan"
        for s in pieces:
            longer = s.rib.length / s.along
            low, high = max(start - s.begins, 0.0) * longer, min(end - s.begins, s.along) * longer
            for at, length in spread(s, low, high, TWO if first == last else THREE, plan=plan):
                force = length / longer * (first + slope * (s.begins + at / longer - start))
                _stand(out, s, at, *acting(s, at, way, force, plan=plan))


def _on_point(out: Loads, pieces: Sequence[Segment], through: Sequence[str], at: float, force: Pair) -> None:
    """A point load; near a joint it stands on that, even where the axis ends beside it."""
    number, s = next(
        ((n, s) for n, s in enumerate(pieces) if at < s.begins + s.along), (len(pieces) - 1, pieces[-1])
    )
    part = (at - s.begins) / s.along
    if HAIR < part < 1 - HAIR:
        _stand(out, s, part * s.rib.length, *force)
    else:
        for axis, value in zip("xy", force, strict=True):
            _push(out, (through[number + (part > HAIR)], axis), value)


def spread(
    s: Segment, low: float, high: float, rule: tuple[tuple[float, float], ...], *, plan: bool
) -> Iterator[tuple[float, float]]:
    """Points that stand for a load from `low` to `high`, each with its length of it."""
    if high - low <= HAIR * s.rib.length:
        return
    if plain(s.rib):
        yield from ((low + part * (high - low), weight * (high - low)) for part, weight in rule)
        return
    quarter = pi / 2 - atan2(s.near[1], s.near[0])
    folds = (
        (s.rib.length / 2 + (quarter + turn * pi) / s.rib.curvature for turn in (-1, 0, 1))
        if plan and s.rib.curvature
        else ()
    )
    yield from gauss_points(s.rib, (low, *sorted(fold for fold in folds if low < fold < high), high))


def acting(s: Segment, at: float, way: str, force: float, *, plan: bool) -> tuple[float, float]:
    """A force per length of stick or of plan, right and up."""
    if way == "across" or plan:
        angle = atan2(s.near[1], s.near[0]) + place(s.rib, at)[2]
        if plan:
            force *= abs(cos(angle))
        if way == "across":
            return -force * sin(angle), force * cos(angle)
    return (force, 0.0) if way == "right" else (0.0, -force)


def _stand(out: Loads, s: Segment, at: float, fx: float, fy: float) -> None:
    """A force at a place of a segment, as if it stood on simple supports at its joints."""
    along_x, along_y = s.near[0] / s.rib.chord, s.near[1] / s.rib.chord
    pull, push = fx * along_x + fy * along_y, fy * along_x - fx * along_y
    last_pull, last_push = handed(s.rib, at, pull, push)
    last_x, last_y = last_pull * along_x - last_push * along_y, last_pull * along_y + last_push * along_x
    for joint, x, y in ((s.ends[0], fx - last_x, fy - last_y), (s.ends[1], last_x, last_y)):
        size = (abs(fx) + abs(fy)) * s.rib.length / s.rib.chord
        for row, force in (((joint, "x"), x), ((joint, "y"), y)):
            out.push[row].append(force)
            out.size[row] += size
    if any(s.turns) or not plain(s.rib):
        out.misfit[s.id].append(misfit(s.rib, s.flexible, at, pull, push))
    if s.slips or s.plays:
        loaded("trussio.recheck.slipping:slipped")(out, s, at, pull, push)


def _push(out: Loads, row: Row, force: float) -> None:
    out.push[row].append(force)
    out.size[row] += abs(force)
