"""Faults of ends: gaps, overshoots, tails, webs that miss each other."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tests.faulty.plans import length
from tests.faulty.truth import (
    SINGLE,
    Truth,
    at_heel,
    bow,
    fault,
    meets_many,
    node_of,
    pick,
    pushed,
    retarget,
    shortened,
    webs,
)

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.sheets import Sheet


@fault("gaps no tape can read", 1, "silent", SINGLE)
def gaps_silent(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    for row in pick(rng, rows):
        sheet.entities[row] = pushed(sheet.entities[row], rng.uniform(0.0005, 0.012), rng.randint(0, 1), rng)
    return bool(rows)


@fault("small gaps", 1, "report", SINGLE)
def gaps_small(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    for row in pick(rng, rows):
        sheet.entities[row] = pushed(sheet.entities[row], rng.uniform(0.05, 0.4), rng.randint(0, 1), rng)
    return bool(rows)


@fault("wide gap", 1, "ask", SINGLE)
def gap_wide(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    rows = webs(sheet, 40.0)
    for row in pick(rng, rows, 1):
        sheet.entities[row] = shortened(sheet.entities[row], rng.uniform(1.5, 4.0), rng.randint(0, 1))
    sheet.entities = [entity for entity in sheet.entities if entity.what != "text"]
    truth.sized = False
    return bool(rows)


@fault("end left free", 1, "report", SINGLE)
def gap_free(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    rows = [row for row in webs(sheet, 60.0) if meets_many(truth, sheet.entities[row].points[1])]
    for row in pick(rng, rows, 1):
        entity = sheet.entities[row]
        sheet.entities[row] = cut = shortened(entity, rng.uniform(10, 14), 1)
        retarget(truth, entity.points[1], entity.points[0], cut.points[1])
    return bool(rows)


@fault("webs stop at the chord's edge", 2, "report", SINGLE)
def gap_along(sheet: Sheet, _truth: Truth, rng: Random) -> bool:
    rows = webs(sheet, 50.0)
    for row in pick(rng, rows):
        entity = sheet.entities[row]
        (_x, y), (_u, v) = entity.points
        sine = abs(v - y) / length(entity.points[0], entity.points[1])
        if sine > 0.5:
            end = 0 if y < v else 1
            host = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
            sheet.entities[row] = shortened(entity, host.depth / 2 / sine * 0.9, end)
    return bool(rows)


@fault("small overshoots", 3, "report", SINGLE)
def overshoot(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    for row in pick(rng, rows):
        sheet.entities[row] = shortened(sheet.entities[row], -rng.uniform(0.05, 0.45), rng.randint(0, 1))
    return bool(rows)


@fault("rafter tail beyond the heel", 3, "ask", SINGLE)
def tail(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    rows = [row for row in sheet.rows("top-chord", "line") if at_heel(sheet, row)]
    if not rows:
        return False
    row = rows[0]
    entity = sheet.entities[row]
    end = 0 if entity.points[0][1] < entity.points[1][1] else 1
    sheet.entities[row] = cut = shortened(entity, -rng.uniform(12, 24), end)
    stick = sheet.plan.sticks[entity.stick]
    heel = node_of(truth, entity.points[end])
    truth.segments.append((heel, truth.add(cut.points[end]), "top-chord", stick.size))
    return True


@fault("webs miss each other on the chord", 6, "report", SINGLE)
def eccentric(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    """Of the webs that meet on the bottom chord one is shifted along it."""
    shift = rng.uniform(2.5, 5.0)
    for row in webs(sheet, 50.0):
        entity = sheet.entities[row]
        end = 0 if abs(entity.points[0][1]) < 1e-6 else 1
        foot = entity.points[end]
        node = node_of(truth, foot)
        mine = [s for s in truth.segments if node in s[:2] and s[2] == "web"]
        chords = [s for s in truth.segments if node in s[:2] and s[2] == "bottom-chord"]
        upright = abs(entity.points[0][0] - entity.points[1][0]) < 1.0
        if abs(foot[1]) > 1e-6 or len(mine) < 2 or len(chords) < 2 or upright:
            continue
        far = entity.points[1 - end]
        way = 1.0 if far[0] > foot[0] else -1.0
        new = (foot[0] + way * shift, 0.0)
        points = list(entity.points)
        points[end] = new
        sheet.entities[row] = replace(entity, points=tuple(points))
        retarget(truth, foot, far, new)
        fresh = len(truth.joints) - 1
        neighbour = next(
            (a if b == node else b)
            for a, b, *_ in chords
            if (truth.joints[a if b == node else b][0] - foot[0]) * way > 0
        )
        truth.split(node, neighbour, fresh)
        return True
    return False


@fault("web runs far past the chord", 3, "ask", SINGLE)
def far_overshoot(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for row in webs(sheet, 50.0):
        entity = sheet.entities[row]
        end = 0 if abs(entity.points[0][1]) < 1e-6 else 1
        foot, far = entity.points[end], entity.points[1 - end]
        if abs(foot[1]) > 1e-6 or far[1] < 20.0:
            continue
        sheet.entities[row] = cut = shortened(entity, -rng.uniform(9, 14), end)
        stick = sheet.plan.sticks[entity.stick]
        truth.segments.append((node_of(truth, foot), truth.add(cut.points[end]), "web", stick.size))
        return True
    return False


@fault("both ends of a web stop short", 1, "report", SINGLE)
def both_short(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    if not rows:
        return False
    row = rng.choice(rows)
    for end in (0, 1):
        sheet.entities[row] = shortened(sheet.entities[row], rng.uniform(0.1, 0.4), end)
    return True


@fault("every web stops short", 1, "report", SINGLE)
def all_short(sheet: Sheet, _: Truth, rng: Random) -> bool:
    for row in webs(sheet, 12.0):
        sheet.entities[row] = shortened(sheet.entities[row], rng.uniform(0.1, 0.45), rng.randint(0, 1))
    return True


@fault("heel not closed", 1, "report", SINGLE)
def heel_open(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [row for row in sheet.rows("top-chord", "line") if at_heel(sheet, row)]
    if not rows:
        return False
    entity = sheet.entities[rows[0]]
    heels = ((0.0, 0.0), (sheet.plan.span, 0.0))
    end = min((0, 1), key=lambda side: min(length(entity.points[side], heel) for heel in heels))
    sheet.entities[rows[0]] = shortened(entity, rng.uniform(0.1, 0.4), end)
    return True


@fault("webs meet off the curve", 5, "report", SINGLE)
def off_curve(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    stick = sheet.plan.sticks[sheet.entities[row].stick]
    for joint in rng.sample(stick.through[1:-1], 2):
        old = truth.joints[joint]
        new = (old[0], old[1] - rng.uniform(0.1, 0.4))
        for other, entity in enumerate(sheet.entities):
            if entity.what == "line":
                sheet.put(other, points=tuple(new if length(p, old) < 1e-6 else p for p in entity.points))
    return True
