"""Faults of lines drawn too often, in pieces, or without length."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, pi, sin
from typing import TYPE_CHECKING

from tests.faulty.plans import length
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


@fault("exact duplicates", 7, "silent")
def duplicates(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [row for row, e in enumerate(sheet.entities) if e.what in {"line", "arc"}]
    for row in pick(rng, rows, 6):
        entity = sheet.entities[row]
        if entity.what == "line" and rng.random() < 0.5:
            entity = replace(entity, points=entity.points[::-1])
        sheet.entities.append(replace(entity, layer=rng.choice(("TRUSS", entity.layer, "0"))))
    return True


@fault("near duplicates", 8, "silent")
def near_duplicates(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet)
    for row in pick(rng, rows):
        entity = sheet.entities[row]
        by = rng.uniform(0.002, 0.009)
        moved = tuple((x + by, y + by / 2) for x, y in entity.points)
        sheet.entities.append(replace(entity, points=moved))
    return bool(rows)


@fault("chord in overlapping lengths", 9, "report")
def overlapping(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = [r for r in sheet.rows("bottom-chord", "line") if length(*sheet.entities[r].points) > 200]
    for row in rows:
        entity = sheet.entities[row]
        (x, y), (u, v) = entity.points
        cut, lap = rng.uniform(0.35, 0.6), rng.uniform(12, 40) / length(entity.points[0], entity.points[1])
        a = (x + (cut + lap) * (u - x), y + (cut + lap) * (v - y))
        b = (x + cut * (u - x), y + cut * (v - y))
        sheet.entities[row] = replace(entity, points=((x, y), a))
        sheet.entities.append(replace(entity, points=(b, (u, v))))
    return bool(rows)


@fault("lines drawn in pieces", 10, "silent")
def pieces(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = webs(sheet, 60.0) + sheet.rows("bottom-chord", "line")
    for row in pick(rng, rows):
        entity = sheet.entities[row]
        (x, y), (u, v) = entity.points
        cut = rng.uniform(0.3, 0.7)
        middle = (x + cut * (u - x), y + cut * (v - y))
        sheet.entities[row] = replace(entity, points=((x, y), middle))
        sheet.entities.append(replace(entity, points=(middle, (u, v))))
    return bool(rows)


@fault("chord drawn panel by panel", 10, "silent", SINGLE)
def panel_by_panel(sheet: Sheet, _: Truth, rng: Random) -> bool:
    rows = sheet.rows("bottom-chord", "line")
    for row in rows:
        stick = sheet.plan.sticks[sheet.entities[row].stick]
        spots = [sheet.plan.joints[j] for j in stick.through]
        entity = sheet.entities[row]
        sheet.entities[row] = replace(entity, points=(spots[0], spots[1]))
        for one, other in pairwise(spots[1:]):
            ends = (one, other) if rng.random() < 0.7 else (other, one)
            sheet.entities.append(replace(entity, points=ends))
    return bool(rows)


@fault("zero-length lines", 14, "silent")
def zero_length(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for _ in range(rng.randint(1, 5)):
        at = rng.choice(truth.joints)
        sheet.add("line", at, at, layer="TRUSS")
    return True


@fault("specks at joints", 15, "silent", SINGLE)
def specks(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for _ in range(rng.randint(1, 4)):
        x, y = rng.choice(truth.joints)
        angle = rng.uniform(0, 2 * pi)
        by = rng.uniform(0.01, 0.05)
        sheet.add("line", (x, y), (x + by * cos(angle), y + by * sin(angle)), layer="TRUSS")
    return True
