"""Rows that follow others, for the checker of proofs: ends of axes beside joints, stations of a pinned truss.

A joint is rigid out to where an axis ends beside it: that end moves with the joint and swings with its turn. A
station is a joint without a bearing where straight segments of one line meet, on both sides; in a pinned truss it
stays on the straight line between the nearest joints that are none, and moves across that line as its share of
the way between them has it. Forces in the rows of such places act on the rows that these follow, by the same
parts. The parts are exact fractions; only the standard library is needed.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from math import fsum, hypot
from typing import TYPE_CHECKING

from trussio.late import loaded
from trussio.recheck.ribs import rib_of
from trussio.recheck.statement import ON_LINE

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from trussio.recheck.statement import Entry, Follows, Row, Segment, Structure, Way
    from trussio.recheck.tally import Loads

    Ratios = list[tuple[int, int]]


def beside(truss: Entry, joints: Mapping[str, Ratios]) -> dict[str, Ratios]:
    """Where axes end that end beside their joint, by stick/joint, x and y as numerators and denominators."""
    return {
        f"{stick}/{joint}": [
            (Fraction(*at) + Fraction(arm)).as_integer_ratio() for at, arm in zip(joints[joint], arms, strict=True)
        ]
        for stick, member in truss["members"].items()
        for end, arms in member.get("offsets", {}).items()
        for joint in [member["through"][0 if end == "first" else -1]]
    }


def between(truss: Entry, member: Entry, joints: Sequence[str]) -> float:
    """The length of a segment from joint to joint, by which its document measures places."""
    first, last = (truss["joints"][joint] for joint in joints)
    chord, curve = hypot(last["x"] - first["x"], last["y"] - first["y"]), member.get("curve")
    return rib_of(chord, curve and curve["radius"], (0.0, 0.0, 0.0), to_left=True).length


def following(
    truss: Entry, segments: Sequence[Segment], places: Collection[str], free: Mapping[str, Way]
) -> tuple[dict[str, Way], Follows]:
    """Free movements with all that follows them, and what follows what; stations where nothing bends.

    Raises ValueError where an axis ends beside a joint that nothing turns with.
    """
    turns = {turn for s in segments for turn in s.turns}
    follows: Follows = {}
    for place in places:
        stick, joint = place.split("/")
        member = truss["members"][stick]
        if joint not in turns:
            raise ValueError(f"{stick} ends beside {joint}, where nothing shares the joint's rotation.")
        x, y = member["offsets"]["first" if joint == member["through"][0] else "last"]
        follows[place, "x"] = [((joint, "x"), Fraction(1)), ((joint, "turn"), -Fraction(y))]
        follows[place, "y"] = [((joint, "y"), Fraction(1)), ((joint, "turn"), Fraction(x))]
    ways = dict(free)
    for joint, ends in stations_of(truss, segments).items() if not any(turns) else ():
        (x, y), parts = _stays_on_line(truss, joint, ends)
        del ways[f"{joint} x"], ways[f"{joint} y"]
        ways[f"{joint} slides"] = {(joint, "x"): x, (joint, "y"): y}
        follows |= parts
    led: dict[Row, list[tuple[Row, Fraction]]] = defaultdict(list)
    for row, leaders in follows.items():
        for leader, part in leaders:
            led[leader].append((row, part))
    return {name: with_followers(way, follows, led) for name, way in ways.items()}, follows


def with_followers(way: Way, follows: Follows, led: Follows) -> Way:
    """A free movement with what follows it."""
    made: Way = {row: part for row, part in way.items() if row not in follows}
    for leader, by in way.items():
        for row, part in led.get(leader, ()):
            made[row] = made.get(row, 0) + by * part
    return {row: part for row, part in made.items() if part}


def _stays_on_line(truss: Entry, joint: str, ends: tuple[str, str]) -> tuple[tuple[Fraction, Fraction], Follows]:
    """The line of a station, and how it follows: itself along that line, the ends of the line across it."""
    here, start, end = ([Fraction(truss["joints"][name][axis]) for axis in "xy"] for name in (joint, *ends))
    x, y = end[0] - start[0], end[1] - start[1]
    square = x * x + y * y
    share = ((here[0] - start[0]) * x + (here[1] - start[1]) * y) / square
    rows: Follows = {}
    for axis, along, across in (("x", x, -y), ("y", y, x)):
        rows[joint, axis] = [((joint, "x"), along * x / square), ((joint, "y"), along * y / square)]
        for leader, part in zip(ends, (1 - share, share), strict=True):
            rows[joint, axis] += [
                ((leader, "x"), -part * across * y / square),
                ((leader, "y"), part * across * x / square),
            ]
    return (x, y), rows


def stations_of(truss: Entry, segments: Sequence[Segment]) -> dict[str, tuple[str, str]]:
    """Every station, with the joints at the two ends of its line."""
    bearing = {*truss.get("supports", {}), *(joint for s in segments if s.rib.curvature for joint in s.ends)}
    arms: dict[str, list[tuple[float, float, str]]] = defaultdict(list)
    for s in segments:
        arms[s.ends[0]].append((*s.near, s.ends[1]))
        arms[s.ends[1]].append((-s.near[0], -s.near[1], s.ends[0]))
    beside = {
        joint: sides
        for joint, rays in arms.items()
        if joint not in bearing and (sides := _two_sides(rays)) is not None
    }
    return {
        joint: (_end_of_line(beside, joint, sides[0]), _end_of_line(beside, joint, sides[1]))
        for joint, sides in beside.items()
    }


def _two_sides(rays: Sequence[tuple[float, float, str]]) -> tuple[str, str] | None:
    """The nearest joints on either side, where all segments at a joint lie on one line and go both ways."""
    first_x, first_y, _ = rays[0]
    ahead: list[tuple[float, str]] = []
    behind: list[tuple[float, str]] = []
    for x, y, joint in rays:
        if abs(first_x * y - first_y * x) > ON_LINE * hypot(first_x, first_y) * hypot(x, y):
            return None
        (ahead if first_x * x + first_y * y > 0 else behind).append((hypot(x, y), joint))
    return (min(ahead)[1], min(behind)[1]) if behind else None


def _end_of_line(beside: Mapping[str, tuple[str, str]], before: str, joint: str) -> str:
    """The first joint from `joint` on, going on from `before`, that is no station."""
    while joint in beside:
        one, other = beside[joint]
        before, joint = joint, other if one == before else one
    return joint


def follow(about: Structure, u: dict[Row, float], springs: Entry, loads: Loads) -> None:
    """Move what follows; what rounding may do there is entered as sizes of deformations and loads."""
    size: dict[str, float] = defaultdict(float)
    for last in (False, True):  # tendons after what they pull at
        moved: dict[Row, float] = {}
        for row, leaders in about.follows.items():
            if (row[1] == "tendon") == last:
                terms = [float(part) * u[leader] for leader, part in leaders]
                moved[row] = fsum(terms)
                size[row[0]] += sum(map(abs, terms)) + sum(abs(part) * size[leader[0]] for leader, part in leaders)
        u |= moved
    for name, way, _ in about.springs:
        if way == "tendon":
            loads.misfit[name].append(((0.0, 0.0, 0.0), (size[name], 0.0, 0.0)))
            loaded("trussio.recheck.tendons:roughen")(about, name, springs, loads)
    for s in about.segments.values():
        by = sum(size.get(end, 0.0) for end in s.ends)
        if by:
            loads.misfit[s.id].append(((0.0, 0.0, 0.0), (by, by / s.rib.chord, by / s.rib.chord)))
