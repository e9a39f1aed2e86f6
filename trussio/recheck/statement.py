"""What a truss document states, in whole numbers and floats, for the checker of proofs: only the standard library.

It is read from the JSON of the document itself, by no line that the analysis or the rest of the recheck reads by.
Rows of equilibrium go by (joint, "x"), (joint, "y") and (turn, "turn"); a turn bears the joint's name where it is
the joint's own, and `stick:joint` where a stick that crosses others turns for itself. Free movements are named
combinations of rows: what no bearing holds. Where an axis ends beside its joint, that end has rows of its own,
(`stick/joint`, "x") and "y". What few documents need (`following`, `slipping`) is loaded when one does.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from math import hypot, lcm
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.late import loaded
from trussio.recheck.ribs import flexibility, rib_of

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction
    from typing import Any

    from trussio.recheck.one_sided import Yielding
    from trussio.recheck.ribs import Rib, Triple
    from trussio.recheck.tally import Loads

    Entry = Any
    """A part of the document as JSON gives it."""
    Row = tuple[str, str]
    Way = dict[Row, int | Fraction]
    Follows = dict[Row, list[tuple[Row, Fraction]]]

UNCOMMON: Final = {"offsets", "slip", "play", "turning", "worn"}
"""What a member may have that changes how its segments deform."""
ON_LINE: Final = 2e-3
"""Sine of the angle up to which two segments lie on one line."""


class Segment(NamedTuple):
    """A piece of a stick; `turns` is None where an end is a hinge.

    `ends` are its joints, or the places beside them where its axis ends. `whole` is x, y from first to last and
    the sum of their squares, in coordinates scaled to whole numbers, `near` x and y as floats. `begins` and
    `along` tell where it begins on its stick and its length there, from joint to joint; `slips` and `plays` the
    stiffness along the axis, and the play, of connections at 0 its first end, 1 its last. `cut` is the axial
    force of one that is loose in a run, but for `off` (see `one_sided`).
    """

    id: str
    stick: str
    ends: tuple[str, str]
    whole: tuple[int, int, int]
    near: tuple[float, float]
    begins: float
    rib: Rib
    flexible: tuple[Triple, Triple, Triple]
    turns: tuple[str | None, str | None]
    along: float
    slips: tuple[tuple[int, float], ...] = ()
    plays: tuple[tuple[int, float], ...] = ()
    cut: float | None = None
    off: float = 0.0

    def acting(self) -> list[int]:
        """Which of its forces are free to act: 0 along its chord, 1 and 2 end moments."""
        along = [] if self.cut is not None else [0]
        return along + [end for end, turn in enumerate(self.turns, start=1) if turn is not None]


class Structure(NamedTuple):
    """A truss under one idealisation: segments by id, springs (joint, direction, stiffness), free movements.

    `scale` is that of whole coordinates. `at_row` turns `free` about: the free movements that a row takes part in,
    and its part. `number` counts the rows of joints: x and y of the first, of the second, and so on. `follows`
    says of rows that follow others by how much they follow each, `yielding` what carries one way or has play.
    """

    truss: Entry
    segments: dict[str, Segment]
    springs: list[tuple[str, str, float]]
    free: dict[str, Way]
    at_row: dict[Row, list[tuple[str, int | Fraction]]]
    scale: int
    number: dict[Row, int]
    follows: Follows
    yielding: list[Yielding]


def structure_of(truss: Entry, *, continuous: bool, state: str = "found") -> Structure:
    """What the document states of a structure, as found or as built. Raises ValueError for what is not covered."""
    if truss.get("stages"):
        raise ValueError("Stages are not covered; a document without them proves what bare runs do at once.")
    if truss.get("condition") and state == "found":
        truss = loaded("trussio.recheck.survey:as_found")(truss, bends=continuous)
    for name, member in truss["members"].items():
        if "fastener_slip" in member:
            raise ValueError(f"How {name} slips by its fasteners is not read; state its slip in numbers.")
    segments, scale, places = segments_of(truss, bends=continuous)
    turns = {turn for s in segments for turn in s.turns}
    springs = [
        (joint, name, stiffness)
        for joint, support in truss.get("supports", {}).items()
        for name, stiffness in support.get("springs", {}).items()
        if name != "turn" or joint in turns
    ]
    free, follows = free_movements(truss, segments), {}
    if places or (not continuous and has_station(truss, segments)):
        free, follows = loaded("trussio.recheck.following:following")(truss, segments, places, free)
    at_row: dict[Row, list[tuple[str, int | Fraction]]] = {}
    for name, way in free.items():
        for row, part in way.items():
            at_row.setdefault(row, []).append((name, part))
    rows = [(place, axis) for place in (*truss["joints"], *places) for axis in "xy"]
    number = {row: index for index, row in enumerate(rows)}
    one_sided = any("acts" in member or "play" in member for member in truss["members"].values())
    yielding = loaded("trussio.recheck.one_sided:yielding_of")(truss, segments) if one_sided else []
    return Structure(truss, {s.id: s for s in segments}, springs, free, at_row, scale, number, follows, yielding)


def segments_of(truss: Entry, *, bends: bool) -> tuple[list[Segment], int, Entry]:
    """Every segment, members in the document's order, the scale of whole coordinates, and ends beside joints."""
    found = []
    ratios = {name: [joint[axis].as_integer_ratio() for axis in "xy"] for name, joint in truss["joints"].items()}
    offset = bends and any("offsets" in member for member in truss["members"].values())
    places = loaded("trussio.recheck.following:beside")(truss, ratios) if offset else {}
    scale = lcm(*(below for pair in (*ratios.values(), *places.values()) for _, below in pair))
    points = {
        name: [above * (scale // below) for above, below in pair]
        for of in (ratios, places)
        for name, pair in of.items()
    }
    passing: dict[str, list[str]] = defaultdict(list)
    for stick, member in truss["members"].items():
        for joint in member["through"][1:-1]:
            passing[joint].append(stick)
    for stick, member in truss["members"].items():
        through, curve, begins, reached = member["through"], member.get("curve"), 0.0, 0.0
        soft = softness_of(truss["sections"][member["section"]], truss["materials"][member["material"]])
        line = (
            [end if (end := f"{stick}/{joint}") in places else joint for joint in through] if places else through
        )
        for joints, ends in zip(pairwise(through), pairwise(line), strict=True):
            x, y = (last - first for first, last in zip(*(points[end] for end in ends), strict=True))
            near, to_left = (x / scale, y / scale), curve is not None and (curve["bows"] == "up") == (x > 0)
            rib = rib_of(hypot(*near), curve and curve["radius"], soft, to_left=to_left)
            first, last = (_turn(stick, member, joint, passing[joint]) if bends else None for joint in joints)
            name, whole = f"{member.get('part_of', stick)}:{joints[0]}-{joints[1]}", (x, y, x * x + y * y)
            s = Segment(name, stick, ends, whole, near, begins, rib, flexibility(rib), (first, last), rib.length)
            if not UNCOMMON.isdisjoint(member):
                s = loaded("trussio.recheck.slipping:as_joined")(truss, s, joints, reached)
            found.append(s)
            begins, reached = begins + s.along, reached + rib.length
    return found, scale, places


def softness_of(section: Entry, material: Entry) -> Triple:
    """1 / EA, 1 / GA of shear (0 where it does not count) and 1 / EI (0 where no inertia is stated)."""
    inertia = section.get("inertia")
    if inertia is None:
        plies, width, depth = section.get("plies", 1), section.get("width", 0.0), section.get("depth", 0.0)
        glued = (section.get("arranged"), section.get("joined")) == ("stacked", "glued")
        apart = depth + section.get("gap", 0.0) if glued else 0.0
        inertia = plies * width * depth * (depth**2 + (plies**2 - 1) * apart**2) / 12
    shear = material.get("G", 0.0) * section.get("shear_area", 0.0)
    bending = material["E"] * inertia
    return 1 / material["E"] / area_of(section), shear and 1 / shear, bending and 1 / bending


def area_of(section: Entry) -> float:
    """The area stated, or that of all plies."""
    area = section.get("area")
    return float(section.get("plies", 1) * section["width"] * section["depth"] if area is None else area)


def _turn(stick: str, member: Entry, joint: str, passing: Sequence[str]) -> str | None:
    """Fixed ends, and the stick that runs through alone, turn with the joint; where more do, each for itself."""
    if stick in passing:
        return joint if len(passing) == 1 else f"{stick}:{joint}"
    end = "first" if joint == member["through"][0] else "last"
    return joint if end in member.get("fixed", ()) else None


def free_movements(truss: Entry, segments: Sequence[Segment]) -> dict[str, Way]:
    """Every free movement by name, as a combination of rows."""
    ways: dict[str, Way] = {}
    supports = truss.get("supports", {})
    for joint in truss["joints"]:
        holds = supports.get(joint, {}).get("holds", ())
        slanted = [hold for hold in holds if not isinstance(hold, str)]
        held = {hold for hold in holds if isinstance(hold, str)} & {"x", "y"}
        if not slanted:
            ways |= {f"{joint} {axis}": {(joint, axis): 1} for axis in "xy" if axis not in held}
        elif len(slanted) == 1 and not held:
            (x, over_x), (y, over_y) = (part.as_integer_ratio() for part in slanted[0])
            ways[f"{joint} slides"] = {(joint, "x"): -y * over_x, (joint, "y"): x * over_y}
    for turn in dict.fromkeys(turn for s in segments for turn in s.turns if turn is not None):
        if "turn" not in supports.get(turn, {}).get("holds", ()):
            ways[f"{turn} turns"] = {(turn, "turn"): 1}
    return ways


def has_station(truss: Entry, segments: Sequence[Segment]) -> bool:
    """Whether at some joint without a bearing nothing but straight segments of one line meet."""
    arms: dict[str, list[tuple[float, float]]] = defaultdict(list)
    curved = {joint for s in segments if s.rib.curvature for joint in s.ends}
    for s in segments:
        for joint in s.ends:
            arms[joint].append(s.near)
    return any(
        all(abs(x * rays[0][1] - y * rays[0][0]) <= ON_LINE * hypot(x, y) * hypot(*rays[0]) for x, y in rays)
        for joint, rays in arms.items()
        if len(rays) > 1 and joint not in curved and joint not in truss.get("supports", {})
    )


def movements_of(about: Structure, state: Entry, loads: Loads) -> dict[Row, float]:
    """The movements of a proof, made to fit the bearings: what these hold moves as the run says."""
    moves = loads.moves
    u: dict[Row, float] = defaultdict(float, {(turn, "turn"): by for turn, by in state["turns"].items()})
    u |= {
        (joint, axis): by
        for joint, pair in state["movements"].items()
        for axis, by in zip("xy", pair, strict=True)
    }
    for joint, support in about.truss.get("supports", {}).items():
        named = [hold for hold in support.get("holds", ()) if isinstance(hold, str)]
        slanted = [hold for hold in support.get("holds", ()) if not isinstance(hold, str)]
        u |= {(joint, name): moves.get((joint, name), 0.0) for name in named}
        if slanted and len(slanted) + len({"x", "y"} & {*named}) > 1:
            if moves.get((joint, "x")) or moves.get((joint, "y")):
                raise ValueError(f"{joint} is moved against a slanted bearing, which is not covered.")
            u |= {(joint, "x"): 0.0, (joint, "y"): 0.0}
        for x, y in slanted:
            along = (u[joint, "x"] * x + u[joint, "y"] * y) / (x * x + y * y)
            u |= {(joint, "x"): u[joint, "x"] - along * x, (joint, "y"): u[joint, "y"] - along * y}
    if about.follows:
        loaded("trussio.recheck.following:follow")(about, u, state.get("springs", {}), loads)
    return u
