"""Faults of members that cross, and members with a free end that is meant."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tests.faulty.plans import length
from tests.faulty.truth import (
    SINGLE,
    Truth,
    crossed,
    fault,
    node_of,
)

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.sheets import Sheet


@fault("counter-braces cross", 11, "silent", SINGLE)
def crossing(sheet: Sheet, truth: Truth, _: Random) -> bool:
    return crossed(sheet, truth) is not None


@fault("crossing with a bolt", 12, "report", SINGLE)
def crossing_bolted(sheet: Sheet, truth: Truth, _: Random) -> bool:
    found = crossed(sheet, truth)
    if found is None:
        return False
    at, a, b, c, d = found
    sheet.add("circle", at, radius=0.375, layer="BOLTS")
    node = truth.add(at)
    truth.split(a, c, node)
    truth.split(b, d, node)
    return True


@fault("crossing with one brace broken", 12, "ask", SINGLE)
def crossing_broken(sheet: Sheet, truth: Truth, _: Random) -> bool:
    found = crossed(sheet, truth)
    if found is None:
        return False
    at, a, b, c, d = found
    for row, entity in enumerate(sheet.entities):
        if entity.what == "line" and {node_of(truth, p) for p in entity.points} == {b, d}:
            ends = entity.points
            sheet.entities[row] = replace(entity, points=(ends[0], at))
            sheet.entities.append(replace(entity, points=(at, ends[1])))
            break
    node = truth.add(at)
    truth.split(a, c, node)
    truth.split(b, d, node)
    return True


@fault("hanger below the chord", 17, "report", SINGLE)
def hanger(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    at = rng.choice(chord.through[1:-1])
    x, y = truth.joints[at]
    end = (x, y - rng.uniform(24, 48))
    sheet.add("line", (x, y), end, layer="WEBS")
    truth.segments.append((at, truth.add(end), "other", ""))
    return True


@fault("crossing with a point", 12, "report", SINGLE)
def crossing_point(sheet: Sheet, truth: Truth, _: Random) -> bool:
    found = crossed(sheet, truth)
    if found is None:
        return False
    at, a, b, c, d = found
    sheet.add("point", at, layer="BOLTS")
    node = truth.add(at)
    truth.split(a, c, node)
    truth.split(b, d, node)
    return True


@fault("crossing with a short square", 12, "report", SINGLE)
def crossing_square(sheet: Sheet, truth: Truth, _: Random) -> bool:
    found = crossed(sheet, truth)
    if found is None:
        return False
    (x, y), a, b, c, d = found
    corners = ((x - 1, y - 1), (x + 1, y - 1), (x + 1, y + 1), (x - 1, y + 1))
    sheet.add("polyline", *corners, closed=True, layer="BOLTS")
    node = truth.add((x, y))
    truth.split(a, c, node)
    truth.split(b, d, node)
    return True


@fault("rear brace broken behind the front one", 12, "ask", SINGLE)
def crossing_gap(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """One brace is drawn in two pieces that stop on either side of the other."""
    found = crossed(sheet, truth)
    if found is None:
        return False
    at, a, b, c, d = found
    for row, entity in enumerate(sheet.entities):
        if entity.what == "line" and {node_of(truth, p) for p in entity.points} == {b, d}:
            first, last = entity.points
            size = length(first, last)
            ahead = ((last[0] - first[0]) / size, (last[1] - first[1]) / size)
            cuts = [(at[0] + ahead[0] * by, at[1] + ahead[1] * by) for by in (-2.5, 2.5)]
            sheet.entities[row] = replace(entity, points=(first, cuts[0]))
            sheet.entities.append(replace(entity, points=(cuts[1], last)))
            node = truth.add(at)
            truth.split(a, c, node)
            truth.split(b, d, node)
            return True
    return False
