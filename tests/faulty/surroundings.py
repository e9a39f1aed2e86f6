"""More that is no structure: columns, key plans, decks, match lines, dimension entities."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from tests.faulty.plans import length
from tests.faulty.sheets import Measured, offset
from tests.faulty.truth import (
    SINGLE,
    Truth,
    fault,
    pick,
    webs,
)

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.sheets import Sheet


@fault("columns under the heels", 45, "ask", SINGLE)
def columns(sheet: Sheet, _: Truth, rng: Random) -> bool:
    double = rng.random() < 0.5
    for x in (0.0, sheet.plan.span):
        for step in (-5.0, 5.0) if double else (0.0,):
            sheet.add("line", (x + step, -0.0 if not double else -1.0), (x + step, -96.0), layer="WALL")
    return True


@fault("hidden rear members", 48, "report", SINGLE)
def hidden_line(sheet: Sheet, _: Truth, rng: Random) -> bool:
    for row in pick(rng, webs(sheet), 2):
        sheet.put(row, linetype="HIDDEN")
    return True


@fault("key plan", 18, "report", SINGLE)
def key_plan(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    """The truss once more, far smaller, beside the sheet's corner."""
    span = sheet.plan.span
    for entity in [e for e in sheet.entities if e.what in {"line", "arc"} and e.stick >= 0]:
        points = tuple((span * 0.7 + x * 0.2, -150.0 + y * 0.2) for x, y in entity.points)
        sheet.entities.append(replace(entity, points=points, stick=-1))
    return True


@fault("roof deck above the chord", 44, "report", SINGLE)
def deck(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    """A line along the top chord, twenty inches above it, and joists between."""
    for row in sheet.rows("top-chord", "line"):
        entity = sheet.entities[row]
        first, last = sorted(entity.points)
        sheet.add("line", *offset((first, last), 20.0), layer="DECK")
    return bool(sheet.rows("top-chord", "line"))


@fault("hatch across the truss", 46, "silent", SINGLE)
def hatch_across(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    x, y = rng.choice(truth.joints)
    for step in range(20):
        sheet.add("line", (x - 20 + 2 * step, y - 12), (x - 8 + 2 * step, y + 12), layer="HATCH")
    return True


@fault("match line through the sheet", 18, "report", SINGLE)
def match_line(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    x = -80.0
    sheet.add("line", (x, -100.0), (x, 300.0), layer="MATCH")
    return True


@fault("leader without an arrow", 41, "silent", SINGLE)
def bare_leader(sheet: Sheet, truth: Truth, _rng: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    one, other = truth.joints[chord.through[0]], truth.joints[chord.through[1]]
    tip = (one[0] + 0.5 * (other[0] - one[0]), 0.0)
    tail = (tip[0] - 25, -40.0)
    sheet.add("line", tail, tip, layer="NOTES")
    sheet.add("text", (tail[0] - 50, tail[1] - 8), text="SEE PHOTO 7", height=5.0, layer="NOTES")
    return True


@fault("dimension entities", 39, "silent")
def dimensions(sheet: Sheet, truth: Truth, _: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    spots = [truth.joints[j] for j in chord.through]
    sheet.dimensions.append(Measured(first=spots[0], last=spots[-1], level=-60.0))
    sheet.dimensions += [Measured(first=one, last=other, level=-40.0) for one, other in pairwise(spots)]
    return True


@fault("dimension that disagrees", 60, "ask")
def disagreeing(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    spots = [truth.joints[j] for j in chord.through]
    feet = round(length(spots[0], spots[1]) / 12) + rng.choice((-2, 2))
    sheet.dimensions.append(Measured(first=spots[0], last=spots[1], level=-40.0, text=f"{feet}'-0\""))
    return True
