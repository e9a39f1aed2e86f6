"""A truss document with its condition applied, for the checker of proofs: only the standard library.

A stick is cut where it is severed, loose from joints that it has come away from, and hinged where it is released.
What is left are *runs* of places along it: one that two joints hold still stands, and so does a short end that
its one joint holds rigidly; in `pinned` only what lies between joints does. Loads stay where they act if anything
stands there, or else go elsewhere (see `bereft`). Ids are those of results of the truss as found. Under names that
no document has, a member tells of which stick it is a `part_of`, and under `worn` its `lost` stretches and `bows`.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.recheck.bereft import Fate, Stick, moved
from trussio.recheck.ribs import Stretch, Worn, place
from trussio.recheck.statement import area_of, segments_of, softness_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.recheck.ribs import Rib
    from trussio.recheck.statement import Entry, Segment

EVERYWHERE: Final = 1e-6
"""Section that is lost but for this part of the stick at its ends is lost of all of it."""
LONGEST: Final = 60
"""So many characters of an entry's id go into that of a joint."""


class Node(NamedTuple):
    """A place along a stick and the joint there, `loose` where the stick meets nothing else."""

    joint: str
    at: float
    loose: bool


def as_found(truss: Entry, *, bends: bool) -> Entry:
    """The document of a truss, or rather what it would state as found."""
    entries: dict[str, list[tuple[str, Entry]]] = {}
    for name, one in truss["condition"].items():
        entries.setdefault(one["member"], []).append((name, one))
    pieces: dict[str, list[Segment]] = {}
    for s in segments_of(truss, bends=False)[0]:
        pieces.setdefault(s.stick, []).append(s)
    made: Entry = {**truss, "joints": {**truss["joints"]}, "members": {}, "condition": {}}
    made["sections"] = {**truss.get("sections", {})}
    sticks, fates = {}, {}
    for name, member in truss["members"].items():
        if name not in entries:
            made["members"][name] = member
            continue
        own = pieces[name]
        begins = [*(s.begins for s in own), own[-1].begins + own[-1].along]
        sticks[name] = Stick(name, own, dict(zip(member["through"], begins, strict=True)), entries[name])
        fates[name] = list(_taken_apart(truss, made, sticks[name], bends=bends))
    loads = truss.get("loads", {})
    cases = {
        name: {
            **case,
            "loads": [one for load in case.get("loads", ()) for one in moved(truss, sticks, fates, load)],
        }
        for name, case in loads.get("cases", {}).items()
    }
    made["loads"] = {**loads, "cases": cases}
    return _without_lone_joints(truss, made)


def _taken_apart(truss: Entry, made: Entry, stick: Stick, *, bends: bool) -> Iterator[Fate]:
    """What became of a stick; parts that stand are entered among members, and their loose ends among joints."""
    whole = [*stick.places.values()][-1]
    if stick.of_kind("missing"):
        yield Fate(0.0, whole, None)
        return
    member = truss["members"][stick.name]
    unfixed = {one["at"] for kind in ("parted", "released") for _, one in stick.of_kind(kind)}
    ends = {"first": member["through"][0], "last": member["through"][-1]}
    fixed = [end for end in member.get("fixed", ()) if ends[end] not in unfixed]
    parts = 0
    for run in _runs(stick, member["through"], made["joints"]):
        kept = _standing(run, {ends[end] for end in fixed}, bends=bends)
        if not kept:
            yield Fate(run[0].at, run[-1].at, None, _hangs_on(stick, run))
            continue
        parts += 1
        name = (
            stick.name if parts == 1 else _unused(f"{stick.name}.{parts}", {**truss["members"], **made["members"]})
        )
        made["members"][name] = _part(truss, made, stick, kept, fixed)
        for node in kept:
            if node.loose:
                made["joints"][node.joint] = _point(truss, stick, node.at)
        if run[0].at < kept[0].at:
            yield Fate(run[0].at, kept[0].at, None, kept[0].joint)
        yield Fate(kept[0].at, kept[-1].at, name)
        if kept[-1].at < run[-1].at:
            yield Fate(kept[-1].at, run[-1].at, None, kept[-1].joint)


def _runs(stick: Stick, through: Sequence[str], taken: Entry) -> list[list[Node]]:
    """The places of a stick from cut to cut and from hinge to hinge."""
    parted = {one["at"]: name for name, one in stick.of_kind("parted")}
    released = {one["at"] for _, one in stick.of_kind("released")} - {through[0], through[-1]}
    cuts = sorted((one["at"], name) for name, one in stick.of_kind("severed"))
    runs: list[list[Node]] = [[]]
    for joint, at in stick.places.items():
        while cuts and cuts[0][0] < at:
            cut, name = cuts.pop(0)
            runs[-1].append(Node(_new_joint(name, ".1", taken), cut, loose=True))
            runs.append([Node(_new_joint(name, ".2", taken), cut, loose=True)])
        node = Node(_new_joint(parted[joint], "", taken) if joint in parted else joint, at, joint in parted)
        runs[-1].append(node)
        if joint in released:
            runs.append([node])
    return runs


def _new_joint(entry: str, ending: str, taken: Entry) -> str:
    return _unused(entry.replace("-", "_")[:LONGEST] + ending, taken)


def _unused(name: str, taken: Entry) -> str:
    while name in taken:
        name += "~"
    return name


def _standing(run: list[Node], rigid: set[str], *, bends: bool) -> list[Node]:
    """What of a run stands."""
    held = [index for index, node in enumerate(run) if not node.loose]
    if len(held) > 1:
        return run if bends else run[held[0] : held[-1] + 1]
    return run if bends and len(run) == 2 and held and run[held[0]].joint in rigid else []


def _hangs_on(stick: Stick, run: Sequence[Node]) -> str:
    """The joint that a run hangs on; where it has fallen, the nearest that the stick has not come away from."""
    held = [node.joint for node in run if not node.loose]
    if held:
        return held[0]
    parted = {one["at"] for _, one in stick.of_kind("parted")}
    middle = (run[0].at + run[-1].at) / 2
    return min(stick.places, key=lambda joint: (joint in parted, abs(stick.places[joint] - middle)))


def _part(truss: Entry, made: Entry, stick: Stick, nodes: Sequence[Node], fixed: Sequence[str]) -> Entry:
    """A part of a stick as a member."""
    member = truss["members"][stick.name]
    through, start, end = [node.joint for node in nodes], nodes[0].at, nodes[-1].at
    there = [name for name, at in (("first", 0), ("last", -1)) if through[at] == member["through"][at]]
    part = {
        **member,
        "through": through,
        "part_of": stick.name,
        "fixed": [name for name in fixed if name in there],
    }
    for what in ("offsets", "slip", "play", "turning"):
        part[what] = {name: value for name, value in member.get(what, {}).items() if name in there}
        if what == "turning":
            part[what] = {name: value for name, value in part[what].items() if name in fixed}
        if not part[what]:
            del part[what]
    lost = list(_lost(truss, made, stick, part))
    bows = []
    pairs = [*pairwise(through)]
    for _, one in stick.of_kind("bow"):
        first, last = one.get("between", stick.pieces[0].ends)
        bows += [(pair, one["by"]) for pair in pairs if {*pair} == {first, last}]
    part["worn"] = {
        "lost": [
            (max(low, start) - start, min(high, end) - start, *rest)
            for low, high, *rest in lost
            if low < end and start < high
        ],
        "bows": dict(bows),
    }
    return part


def _lost(truss: Entry, made: Entry, stick: Stick, part: Entry) -> Iterator[tuple[float, float, float, Entry]]:
    """Stretches that have lost section: from, to, shift and what is left, which all of the part is if all has."""
    member = truss["members"][stick.name]
    section, whole = truss["sections"][member["section"]], [*stick.places.values()][-1]
    for name, one in stick.of_kind("lost-section"):
        low, high = (stick.places.get(at, at) for at in (one.get("from", 0.0), one.get("to", whole)))
        if "left" in one:
            gone, shift = {}, one["left"].get("shift", 0.0)
            left = {key: one["left"][key] for key in ("area", "inertia") if key in one["left"]}
        else:
            gone = one["lost"]
            plus, minus = gone.get("plus_y", 0.0), gone.get("minus_y", 0.0)
            shift = (minus - plus) / 2
            left = {
                **section,
                "depth": section["depth"] - plus - minus,
                "width": section["width"] - gone.get("width", 0.0),
            }
            left["plies"] = section.get("plies", 1) - gone.get("plies", 0)
        left.pop("shear_area", None)
        if "shear_area" in section:
            left["shear_area"] = section["shear_area"] * area_of(left) / area_of(section)
        if low <= EVERYWHERE * whole and high >= (1 - EVERYWHERE) * whole:
            made["sections"][f"{stick.name}/{name}"] = left
            part["section"] = f"{stick.name}/{name}"
            if not shift:
                continue
        yield low, high, shift, left


def worn_between(truss: Entry, member: Entry, joints: Sequence[str], begins: float, rib: Rib) -> Worn | None:
    """What was found of a segment that begins at a place of its member."""
    material, found = truss["materials"][member["material"]], member["worn"]
    stretches = [
        Stretch(max(low - begins, 0.0), min(high - begins, rib.length), shift, softness_of(left, material))
        for low, high, shift, left in found["lost"]
    ]
    kept = tuple(s for s in stretches if s.start < s.end)
    bow = found["bows"].get(tuple(joints), 0.0)
    return Worn(bow, kept) if bow or kept else None


def _point(truss: Entry, stick: Stick, at: float) -> Entry:
    """Where a place of a stick lies."""
    s = next((s for s in stick.pieces if at < s.begins + s.along), stick.pieces[-1])
    (x, y, _), (along_x, along_y) = place(s.rib, at - s.begins), (part / s.rib.chord for part in s.near)
    first = truss["joints"][s.ends[0]]
    return {"x": first["x"] + x * along_x - y * along_y, "y": first["y"] + x * along_y + y * along_x}


def _without_lone_joints(before: Entry, made: Entry) -> Entry:
    """Joints that nothing meets any more are gone, unless they are loaded; what bears one then holds it fast."""
    met, once = (
        {joint for member in of["members"].values() for joint in member["through"]} for of in (made, before)
    )
    lost = once - met
    loads = [load for case in made["loads"]["cases"].values() for load in case["loads"]]
    gone = lost - {load.get("joint", load.get("support")) for load in loads}
    supports = made.get("supports", {})
    made["joints"] = {name: joint for name, joint in made["joints"].items() if name not in gone}
    made["supports"] = {
        name: {**support, "holds": ["x", "y"]} if name in lost else support
        for name, support in supports.items()
        if name not in gone
    }
    return made
