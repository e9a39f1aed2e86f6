"""Tendons in a truss that is loaded at once, for the checker of proofs: only the standard library.

A *leg* runs straight from one point of a tendon to the next and pulls the two together; off the axis of the stick
that a point bears on it turns that stick by the lever. Under the jack the forces of legs are known: a case that
stresses tendons acts on the truss without them, as a load. What other cases do comes after lock-off: on these a
tendon acts as a spring between its points, if its area and E are stated and it `acts` as a member. So a run is the
sum of two linear parts of its cases, `jacked` and `after`, each with bounds of its own, and the bounds of the sum
are their sums. The spring stands on a row of its own, (tendon, "tendon"), which follows the rows that it pulls at.

A run that stresses tendons holds only while no leg has to push, by more than is left open; if one may, the checker
cannot tell. Friction of a belt on a drum (L. Euler), draw-in of the anchor by the area between the lines of force
(from memory); the least force has all losses, by default those below, the greatest those that are stated.
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from itertools import pairwise
from math import atan2, cos, exp, fsum, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.recheck.balancing import ratio
from trussio.recheck.following import with_followers
from trussio.recheck.gaps import path_sizes
from trussio.recheck.ribs import place, stiffness

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence

    from trussio.recheck.proof import Proved
    from trussio.recheck.statement import Entry, Follows, Row, Segment, Structure
    from trussio.recheck.tally import Loads

    Pair = tuple[float, float]
    Check = Callable[[Structure, Mapping[str, float], str, Entry], Proved]

LEAST: Final = " (least)"
FRICTION: Final = 0.24
"""Loss per radian where none is stated, in the least force: strand on dry steel, EN 1992-1-1 (from memory)."""
LOSS: Final = 0.15
"""Share lost with time where none is stated, in the least force (own judgement of the document, no source)."""
HALVINGS: Final = 200
ROUGH: Final = 1e-12
"""Part of a known force of a leg that it may be off by."""
SPREAD: Final = 8.0
"""A force of a leg may be off by so many times the rounding of a load."""
PUSHES: Final = "cannot tell: no bound shows that no leg of the tendon {} has to push"


class Tendon(NamedTuple):
    """The lengths of the legs of a tendon, and what each does to rows at a tension of one."""

    lengths: list[float]
    angles: list[float]
    pulls: list[dict[Row, float]]


def stressed_in(truss: Entry, factors: Mapping[str, float]) -> dict[str, float]:
    """The cases of a run that stress a tendon."""
    cases = truss["loads"]["cases"]
    return {
        case: factor
        for case, factor in factors.items()
        if factor and any("tendon" in load for load in cases[case].get("loads", ()))
    }


def tendon_of(truss: Entry, segments: Collection[Segment], name: str) -> Tendon:
    """Where a tendon runs and pulls. Raises ValueError where it turns what nothing holds against turning."""
    points = truss["tendons"][name]["path"]
    arms = [_arm(truss, segments, point) if point.get("offset") else (0.0, 0.0) for point in points]
    places = []
    for point, (x, y) in zip(points, arms, strict=True):
        if point["joint"] not in truss["joints"]:
            raise ValueError(f"The tendon {name} bears on {point['joint']}, which is not there.")
        joint = truss["joints"][point["joint"]]
        places.append((joint["x"] + x, joint["y"] + y))
    ways = [(end[0] - start[0], end[1] - start[1]) for start, end in pairwise(places)]
    lengths = [hypot(*way) for way in ways]
    if not min(lengths) > 0:
        raise ValueError(f"Two points of the tendon {name} lie on one place.")
    pulls = []
    for leg, ((along_x, along_y), length) in enumerate(zip(ways, lengths, strict=True)):
        rows: dict[Row, float] = {}
        for index, sign in ((leg, 1.0), (leg + 1, -1.0)):
            point, arm = points[index], arms[index]
            x, y = sign * along_x / length, sign * along_y / length
            rows |= {(point["joint"], "x"): x, (point["joint"], "y"): y}
            if any(arm):
                rows[_turned(truss, segments, name, point), "turn"] = arm[0] * y - arm[1] * x
        pulls.append(rows)
    turned = [abs(atan2(b[1], b[0]) - atan2(a[1], a[0])) % (2 * pi) for a, b in pairwise(ways)]
    return Tendon(lengths, [min(angle, 2 * pi - angle) for angle in turned], pulls)


def _ends_at(truss: Entry, segments: Collection[Segment], point: Entry) -> list[tuple[Segment, int]]:
    """The ends of segments at a point, of the stick that it bears on."""
    return [
        (s, end)
        for s in segments
        if truss["members"][s.stick].get("part_of", s.stick) == point["bears_on"]
        for end, at in enumerate(s.ends)
        if at.rpartition("/")[2] == point["joint"]
    ]


def _arm(truss: Entry, segments: Collection[Segment], point: Entry) -> Pair:
    """Off the axis towards local +y, half way between the directions of the stick on either side of the joint."""
    along_x = along_y = 0.0
    for s, end in _ends_at(truss, segments, point):
        bare = s.rib._replace(worn=None)
        angle = atan2(s.near[1], s.near[0]) + place(bare, end * bare.length)[2]
        along_x, along_y = along_x + cos(angle), along_y + sin(angle)
    size, offset = hypot(along_x, along_y), point["offset"]
    if not size:
        raise ValueError(f"A tendon bears on {point['bears_on']} at {point['joint']}, where it is not there.")
    return -offset * along_y / size, offset * along_x / size


def _turned(truss: Entry, segments: Collection[Segment], name: str, point: Entry) -> str:
    for s, end in _ends_at(truss, segments, point):
        turn = s.turns[end]
        if turn is not None:
            return turn
    raise ValueError(f"The tendon {name} turns the hinged end of {point['bears_on']}, which is not covered.")


def leg_forces(tendon: Entry, way: Tendon, jack: float, *, least: bool) -> list[float]:
    """The force of each leg after lock-off."""
    friction = tendon.get("friction", FRICTION if least else 0.0)
    left = 1 - tendon.get("loss", LOSS) if least else 1.0
    order = list(range(len(way.lengths)))
    if tendon.get("stressed", "first") == "last":
        order.reverse()
    forces, turned, done = [0.0] * len(order), 0.0, 0.0
    for number, leg in enumerate(order):
        if number:
            turned += way.angles[min(leg, order[number - 1])]
        forces[leg] = jack * exp(-friction * turned - tendon.get("wobble", 0.0) * (done + way.lengths[leg] / 2))
        done += way.lengths[leg]
    first, drawn = forces[order[0]], tendon.get("slip", 0.0) * _stiff(tendon)
    if drawn and first:
        forces = _drawn_in(forces, way.lengths, first, drawn)
    return [left * force for force in forces]


def _drawn_in(forces: list[float], lengths: list[float], first: float, area: float) -> list[float]:
    """Forces after the anchor has drawn in, friction the other way: `area` lies between the lines of force."""

    def after(anchor: float) -> list[float]:
        return [min(force, anchor * first / force) for force in forces]

    def between(anchor: float) -> float:
        return fsum(long * (was - now) for long, was, now in zip(lengths, forces, after(anchor), strict=True))

    low, high = 0.0, first
    if between(low) < area:
        raise ValueError("The draw-in of its anchor takes all of the force of a tendon.")
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if between(middle) > area else (low, middle)
    return after((low + high) / 2)


def _stiff(tendon: Entry) -> float:
    """E A of all strands; nought where it is not stated."""
    return float(tendon.get("E", 0.0) * tendon.get("area", 0.0) * tendon.get("strands", 1))


def jacked(out: Loads, truss: Entry, segments: Collection[Segment], load: Entry, by: tuple[float, str]) -> None:
    """Enter what a load that stresses a tendon does, times a factor, in a run."""
    factor, run = by
    way, name = tendon_of(truss, segments, load["tendon"]), load["tendon"]
    for pulls, force in zip(way.pulls, _legs(truss, load, way, run), strict=True):
        for row, part in pulls.items():
            out.push[row].append(factor * force * part)
            out.size[row] += SPREAD * abs(factor * force) * (abs(part) + _reach(truss, name, row))


def _reach(truss: Entry, name: str, row: Row) -> float:
    """How much a tendon under a tension of one may do in a row."""
    return (
        1.0 if row[1] != "turn" else max(abs(point.get("offset", 0.0)) for point in truss["tendons"][name]["path"])
    )


def roughen(about: Structure, name: str, springs: Entry, loads: Loads) -> None:
    """Enter what rounding of its direction may do where a tendon pulls with the force that a proof gives it."""
    above, below = ratio(springs.get(name, {}).get("tendon", "0"))
    for row, part in about.follows[name, "tendon"]:
        loads.size[row] += SPREAD * abs(above / below) * (abs(float(part)) + _reach(about.truss, name, row))


def _legs(truss: Entry, load: Entry, way: Tendon, run: str) -> list[float]:
    tendon = truss["tendons"][load["tendon"]]
    area = tendon.get("area", 0.0) * tendon.get("strands", 1)
    jack = load["force"] if "force" in load else load["stress"] * area
    return leg_forces(tendon, way, jack, least=run.endswith(LEAST))


def locked_off(about: Structure) -> Structure:
    """The structure after lock-off: every tendon that some case stresses is a spring, if it acts as a member."""
    truss, segments = about.truss, about.segments.values()
    cases = truss.get("loads", {}).get("cases", {}).values()
    names = dict.fromkeys(load["tendon"] for case in cases for load in case.get("loads", ()) if "tendon" in load)
    springs, follows = list(about.springs), dict(about.follows)
    led: Follows = defaultdict(list)
    for name in names:
        tendon = truss["tendons"][name]
        way = tendon_of(truss, segments, name)
        if not _stiff(tendon) or tendon.get("acts", "member") != "member":
            continue
        springs.append((name, "tendon", _stiff(tendon) / sum(way.lengths)))
        follows[name, "tendon"] = [(row, Fraction(part)) for pulls in way.pulls for row, part in pulls.items()]
        for row, part in follows[name, "tendon"]:
            led[row].append(((name, "tendon"), part))
    free = {movement: with_followers(rows, {}, led) for movement, rows in about.free.items()}
    at_row: dict[Row, list[tuple[str, int | Fraction]]] = {}
    for movement, rows in free.items():
        for row, by in rows.items():
            at_row.setdefault(row, []).append((movement, by))
    return about._replace(springs=springs, follows=follows, free=free, at_row=at_row)


def parts_of(about: Structure, run: str) -> dict[str, Structure]:
    """The parts that a run is the sum of, each as a structure with the loads of that part under its name."""
    if about.yielding:
        raise ValueError("Members that carry one way, or have play, beside tendons are not covered.")
    loads = about.truss["loads"]
    base = run.removesuffix(LEAST)
    factors = loads.get("combinations", {}).get(base, {base: 1.0})
    jacks = stressed_in(about.truss, factors)
    others = {case: factor for case, factor in factors.items() if factor and case not in jacks}
    found = {}
    for name, cases in (("jacked", jacks), ("after", others)):
        if cases or (name == "after" and not jacks):
            made = locked_off(about) if name == "after" else about
            combinations = {**loads.get("combinations", {}), run: cases}
            found[name] = made._replace(truss={**about.truss, "loads": {**loads, "combinations": combinations}})
    return found


def runs_of(truss: Entry, plain: Sequence[str]) -> list[str]:
    """Every run, and behind each that stresses a tendon which may lose force one of its least force."""
    loads = truss.get("loads", {})
    losing = [
        name
        for name, t in truss["tendons"].items()
        if t.get("loss", LOSS) or (len(t["path"]) > 2 and "friction" not in t)
    ]
    found = []
    for run in plain:
        jacks = stressed_in(truss, loads.get("combinations", {}).get(run, {run: 1.0}))
        stressed = {load.get("tendon") for case in jacks for load in loads["cases"][case]["loads"]}
        found += [run, run + LEAST] if stressed.intersection(losing) else [run]
    return found


def in_parts(check: Check, truss: Entry, plain: Sequence[str]) -> tuple[Check, list[str]]:
    """What checks a run part by part, and every run of a truss with tendons."""

    def checked(about: Structure, _: Mapping[str, float], run: str, state: Entry) -> Proved:
        return check_parts(check, about, run, state)

    return checked, runs_of(truss, plain)


def check_parts(check: Check, about: Structure, run: str, state: Entry) -> Proved:
    """A run as the sum of its parts, each of which is checked as a run of its own."""
    parts = parts_of(about, run)
    if parts.keys() != state.get("parts", {}).keys():
        raise ValueError(f"The proof does not tell {run} by what is jacked and what comes after.")
    proved = {
        name: check(part, path_sizes(part, state["parts"][name]["paths"]), run, state["parts"][name])
        for name, part in parts.items()
    }
    forces = {
        name: (
            fsum(of.forces[name][0] for of in proved.values()),
            fsum(of.forces[name][1] for of in proved.values()),
        )
        for name in about.segments
    }
    largest = sum(of.largest for of in proved.values())
    why = _pushing(about, parts, proved, run, state) if "jacked" in parts else ""
    return next(iter(proved.values()))._replace(forces={} if why else forces, largest=largest, why=why)


def _pushing(
    about: Structure,
    parts: Mapping[str, Structure],
    proved: Mapping[str, Proved],
    run: str,
    state: Entry,
) -> str:
    """Why it is not proved that no leg pushes, or nothing."""
    legs: dict[str, list[float]] = {}
    truss = parts["jacked"].truss
    for case, factor in truss["loads"]["combinations"][run].items():
        for load in truss["loads"]["cases"][case].get("loads", ()):
            if "tendon" in load:
                way = tendon_of(truss, about.segments.values(), load["tendon"])
                own = legs.setdefault(load["tendon"], [0.0] * len(way.lengths))
                for leg, force in enumerate(_legs(truss, load, way, run)):
                    own[leg] += factor * force
    locked: dict[str, tuple[float, float]] = {}
    for name, _, stiff in parts["after"].springs if "after" in parts else ():
        force = state["parts"]["after"]["springs"].get(name, {}).get("tendon")
        if force is not None:
            above, below = ratio(force)
            s = next(iter(about.segments.values()))
            size = proved["after"].forces[s.id][1] / sqrt(stiffness(s.flexible, s.acting())[0][0])
            locked[name] = (above / below, size * sqrt(stiff))
    for name in {**legs, **locked}:
        force, room = locked.get(name, (0.0, 0.0))
        own = legs.get(name, [0.0])
        if (force or any(own)) and not force + min(own) > room + ROUGH * max(map(abs, own)):
            return PUSHES.format(name)
    return ""
