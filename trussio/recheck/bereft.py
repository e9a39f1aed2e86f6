"""Loads of sticks that came apart or are gone, for the checker of proofs: only the standard library.

On a part that stands a load acts where it did. Where nothing stands any more it goes to the joint that the rest
hangs on, or from a stick that is gone to the joints of its segments by the lever along the chord; the weight of
what is gone is gone. A misfit along the stick is shared by length. Places run along the stick of the document.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.recheck.ribs import place
from trussio.recheck.statement import area_of
from trussio.recheck.tally import LINE, THREE, WEIGHT, acting, spread

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from trussio.recheck.statement import Entry, Segment


class Fate(NamedTuple):
    """What became of a length of a stick: the member it is now, or what its loads go onto, a joint or None."""

    start: float
    end: float
    part: str | None
    onto: str | None = None


class Stick(NamedTuple):
    """A stick of the document: its segments, its joints with their places, and what was found of it."""

    name: str
    pieces: list[Segment]
    places: dict[str, float]
    entries: list[tuple[str, Entry]]

    def of_kind(self, kind: str) -> list[tuple[str, Entry]]:
        """The entries of a kind, by name."""
        return [(name, one) for name, one in self.entries if one["kind"] == kind]


def moved(
    truss: Entry, sticks: Mapping[str, Stick], fates: Mapping[str, list[Fate]], load: Entry
) -> Iterator[Entry]:
    """What becomes of a load."""
    if "joint" in load or "support" in load:
        yield load
        return
    members = truss["members"]
    if "weight_of" in load:
        names = list(members) if load["weight_of"] == "all" else load["weight_of"]
    else:
        names = (
            [load["member"]]
            if "member" in load
            else [m for m in members if members[m].get("role") == load["role"]]
        )
    for name in names:
        stick = sticks.get(name)
        if stick is None:
            yield {"weight_of": [name]} if "weight_of" in load else {**load, "member": name}
        elif "weight_of" in load:
            yield from _weight(truss, stick, fates[name])
        elif "longer" in load or "warmer" in load:
            whole = [*stick.places.values()][-1]
            for fate in fates[name]:
                if fate.part is not None:
                    share = (
                        {"longer": load["longer"] * (fate.end - fate.start) / whole} if "longer" in load else {}
                    )
                    yield {**load, "member": fate.part, **share}
        else:
            yield from _along_stick(truss, stick, fates[name], load)


def _weight(truss: Entry, stick: Stick, fates: Sequence[Fate]) -> Iterator[Entry]:
    """The weight of a stick: of its parts, and of what hangs on a joint; that of one that is gone is gone."""
    member = truss["members"][stick.name]
    density = truss["materials"][member["material"]]["density"]
    value = density * area_of(truss["sections"][member["section"]]) * WEIGHT[truss["units"]] / LINE[truss["units"]]
    for fate in fates:
        if fate.part is not None:
            yield {"weight_of": [fate.part]}
        elif fate.onto is not None:
            yield from _onto_joints(truss, stick, fate, {"down": value}, (fate.start, fate.end, value, value))


def _along_stick(truss: Entry, stick: Stick, fates: Sequence[Fate], load: Entry) -> Iterator[Entry]:
    """A load along a stick or at a place of it."""
    if "at" in load:
        at = stick.places.get(load["at"], load["at"])
        there = [fate for fate in fates if fate.start <= at <= fate.end] or fates[-1:]
        fate = min(there, key=lambda fate: fate.part is None)
        if fate.part is not None:
            yield {**load, "member": fate.part, "at": at - fate.start}
        else:
            s = next((s for s in stick.pieces if at < s.begins + s.along), stick.pieces[-1])
            yield from _at_joints(s, fate, min(at - s.begins, s.along), (load.get("fx", 0.0), load.get("fy", 0.0)))
        return
    way = next(way for way in ("down", "right", "across") if way in load)
    first, last = load[way] if isinstance(load[way], list) else (load[way], load[way])
    whole = [*stick.places.values()][-1]
    start, end = (stick.places.get(at, at) for at in (load.get("from", 0.0), load.get("to", whole)))
    for fate in fates:
        low, high = max(start, fate.start), min(end, fate.end)
        if not low < high:
            continue
        values = [first + (last - first) * (at - start) / (end - start) for at in (low, high)]
        if fate.part is not None:
            yield {**load, "member": fate.part, way: values, "from": low - fate.start, "to": high - fate.start}
        else:
            yield from _onto_joints(truss, stick, fate, load, (low, high, *values))


def _onto_joints(
    truss: Entry, stick: Stick, fate: Fate, load: Entry, over: tuple[float, float, float, float]
) -> Iterator[Entry]:
    """A load over what does not stand, point by point."""
    low, high, first, last = over
    way = next(way for way in ("down", "right", "across") if way in load)
    for s in stick.pieces:
        start, end = max(low - s.begins, 0.0), min(high - s.begins, s.along)
        plan = load.get("per") == "plan"
        for at, length in spread(s, start, end, THREE, plan=plan):
            value = first + (last - first) * (s.begins + at - low) / (high - low)
            force = length * value * LINE[truss["units"]]
            yield from _at_joints(s, fate, at, acting(s, at, way, force, plan=plan))


def _at_joints(s: Segment, fate: Fate, at: float, force: tuple[float, float]) -> Iterator[Entry]:
    """A force at a place, as forces at the joint that it hangs on, or at those of its segment by the lever."""
    share = place(s.rib, at)[0] / s.rib.chord
    shares = [(fate.onto, 1.0)] if fate.onto is not None else [*zip(s.ends, (1 - share, share), strict=True)]
    for joint, part in shares:
        yield {"joint": joint, "fx": part * force[0], "fy": part * force[1]}
