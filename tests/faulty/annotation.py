"""Things on a sheet that are no structure: borders, dimensions, leaders, hatches, symbols."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan2, cos, sin
from typing import TYPE_CHECKING

from tests.faulty.sheets import offset
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


@fault("border and title block", 38, "silent")
def border(sheet: Sheet, _: Truth, rng: Random) -> bool:
    span = sheet.plan.span
    left, right, low, high = -120.0, span + 140.0, -200.0, max(y for _, y in sheet.plan.joints) + 120.0
    sheet.add("polyline", (left, low), (right, low), (right, high), (left, high), closed=True, layer="BORDER")
    if rng.random() < 0.5:
        sheet.add(
            "polyline",
            (left - 12, low - 12),
            (right + 12, low - 12),
            (right + 12, high + 12),
            (left - 12, high + 12),
            closed=True,
            layer="BORDER",
        )
    block = right - 240
    for one, other in (
        ((block, low), (block, low + 90)),
        ((block, low + 90), (right, low + 90)),
        ((block, low + 60), (right, low + 60)),
        ((block, low + 30), (right, low + 30)),
        ((block + 120, low), (block + 120, low + 30)),
    ):
        sheet.add("line", one, other, layer="BORDER")
    sheet.add("text", (block + 8, low + 68), text="DEMO HALL, TRUSS 2", height=8.0, layer="TITLE")
    sheet.add("text", (block + 8, low + 38), text="SURVEYED BY A B", height=6.0, layer="TITLE")
    sheet.add("text", (block + 8, low + 8), text="SHEET 3", height=6.0, layer="TITLE")
    return True


def _feet(inches: float) -> str:
    feet, rest = divmod(round(inches), 12)
    return f"{feet}'-{rest}\""


@fault("exploded dimensions", 40, "silent")
def exploded_dimensions(sheet: Sheet, truth: Truth, _: Random) -> bool:
    low = -46.0
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    spots = [truth.joints[j] for j in chord.through]
    sheet.add("line", (spots[0][0] - 4, low), (spots[-1][0] + 4, low), layer="DIM")
    clear = 6.0 if sheet.style == "double" else 0.0
    for x, _y in spots:
        sheet.add("line", (x, -2.5 - clear), (x, low - 4), layer="DIM")
        sheet.add("line", (x - 2.5, low - 2.5), (x + 2.5, low + 2.5), layer="DIM")
    for (x, _y), (u, _v) in pairwise(spots):
        says = _feet(u - x)
        sheet.add("text", ((x + u) / 2 - 12, low + 2), text=says, height=5.0, layer="DIM")
    return True


@fault("leaders with arrow strokes", 41, "silent", SINGLE)
def leaders(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    segment = rng.choice([s for s in truth.segments if s[2] == "top-chord"])
    (x, y), (u, v) = truth.joints[segment[0]], truth.joints[segment[1]]
    tip = ((x + 0.4 * (u - x)), (y + 0.4 * (v - y)))
    if sheet.plan.kind == "bowstring":
        stick = next(s for s in sheet.plan.sticks if s.circle)
        cx, cy, radius = stick.circle or (0, 0, 0)
        turn = atan2(tip[1] - cy, tip[0] - cx)
        tip = (cx + radius * cos(turn), cy + radius * sin(turn))
    tail = (tip[0] + 30, tip[1] + 40)
    sheet.add("line", tail, tip, layer="NOTES")
    for spread in (-0.3, 0.3):
        angle = atan2(tail[1] - tip[1], tail[0] - tip[0]) + spread
        sheet.add("line", tip, (tip[0] + 5 * cos(angle), tip[1] + 5 * sin(angle)), layer="NOTES")
    sheet.add("text", (tail[0] + 3, tail[1] - 2), text="CHECK DECAY", height=5.0, layer="NOTES")
    return True


@fault("bolts at joints", 42, "silent")
def bolts(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for x, y in truth.joints:
        if rng.random() < 0.6:
            for step in (-3, 3):
                sheet.add("circle", (x + step, y), radius=0.375, layer="BOLTS")
    return True


@fault("splice plates around bolts", 43, "silent")
def plates(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    one, other = chord.through[1], chord.through[2]
    x = (truth.joints[one][0] + truth.joints[other][0]) / 2 + rng.uniform(-5, 5)
    high = chord.depth / 2
    corners = ((x - 18, -high), (x + 18, -high), (x + 18, high), (x - 18, high))
    sheet.add("polyline", *corners, closed=True, layer="PLATES")
    for step in (-12, -4, 4, 12):
        sheet.add("circle", (x + step, 0.0), radius=0.375, layer="BOLTS")
    return True


@fault("purlins on the chord", 44, "silent")
def purlins(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    lift = 6.0 if sheet.style == "double" else 0.0
    tops = sorted({j for s in truth.segments if s[2] == "top-chord" for j in s[:2]})
    for j in tops:
        x, y = truth.joints[j]
        corners = [(x - 1, y + lift), (x + 1, y + lift), (x + 1, y + lift + 7), (x - 1, y + lift + 7)]
        if rng.random() < 0.5:
            sheet.add("polyline", *corners, closed=True, layer="PURLINS")
        else:
            for one, other in zip(corners, corners[1:] + corners[:1], strict=True):
                sheet.add("line", one, other, layer="PURLINS")
        if rng.random() < 0.5:
            sheet.add("line", corners[0], corners[2], layer="PURLINS")
            sheet.add("line", corners[1], corners[3], layer="PURLINS")
    return True


@fault("support symbols", 45, "ask")
def supports(sheet: Sheet, _: Truth, rng: Random) -> bool:
    drop = 6.0 if sheet.style == "double" else 0.0
    for x in (0.0, sheet.plan.span):
        apex, one, other = (x, -drop), (x - 6, -drop - 10), (x + 6, -drop - 10)
        if rng.random() < 0.5:
            sheet.add("polyline", apex, one, other, closed=True, layer="SUPPORT")
        else:
            for a, b in ((apex, one), (one, other), (other, apex)):
                sheet.add("line", a, b, layer="SUPPORT")
        for step in range(5):
            sheet.add("line", (x - 8 + 4 * step, -drop - 10), (x - 11 + 4 * step, -drop - 14), layer="SUPPORT")
    return True


@fault("exploded hatch", 46, "silent")
def hatch(sheet: Sheet, _: Truth, rng: Random) -> bool:
    x, y = -60.0, -80.0
    for step in range(rng.randint(15, 40)):
        sheet.add("line", (x + 2 * step, y), (x + 2 * step + 20, y + 20), layer="HATCH")
    return True


@fault("revision cloud", 47, "silent")
def cloud(sheet: Sheet, _: Truth, rng: Random) -> bool:
    x, y = sheet.plan.span * rng.uniform(0.3, 0.6), -90.0
    ring = [
        (x, y),
        (x + 15, y),
        (x + 30, y),
        (x + 45, y),
        (x + 45, y - 15),
        (x + 30, y - 15),
        (x + 15, y - 15),
        (x, y - 15),
    ]
    sheet.add("polyline", *ring, bulge=(0.5,) * len(ring), closed=True, layer="REVISION")
    return True


@fault("break line through the chord", 47, "ask", SINGLE)
def break_line(sheet: Sheet, truth: Truth, _: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    x = truth.joints[chord.through[1]][0] * 0.6 + truth.joints[chord.through[2]][0] * 0.4
    zig = [(x, 14.0), (x, 3.0), (x - 4, 1.5), (x + 4, -1.5), (x, -3.0), (x, -14.0)]
    sheet.add("polyline", *zig, layer="BREAK")
    return True


@fault("centre lines and grid", 48, "report")
def grid(sheet: Sheet, truth: Truth, _: Random) -> bool:
    high = max(y for _, y in truth.joints) + 60
    for x in (0.0, sheet.plan.span / 2, sheet.plan.span):
        sheet.add("line", (x, -70.0), (x, high), layer="GRID", linetype="CENTER")
    return True


@fault("existing, demolished and new work", 49, "ask", SINGLE)
def status(sheet: Sheet, _truth: Truth, rng: Random) -> bool:
    for row, entity in enumerate(sheet.entities):
        if entity.stick >= 0:
            sheet.put(row, layer="S-EXIST")
    rows = webs(sheet, 60.0)
    for row in pick(rng, rows, 3):
        points = offset((sheet.entities[row].points[0], sheet.entities[row].points[1]), 9.0)
        sheet.add("line", *points, layer="S-NEW")
    return bool(rows)


@fault("lettering as strokes", 50, "report")
def lettering(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    truth.sized = False
    sheet.entities = [entity for entity in sheet.entities if entity.what != "text"]
    for row in range(2):
        for letter in range(rng.randint(8, 16)):
            x, y = 60.0 + 6 * letter, -60.0 - 12 * row
            spots = [(x + rng.uniform(0, 4), y + rng.uniform(0, 6)) for _ in range(rng.randint(3, 5))]
            for one, other in pairwise(spots):
                sheet.add("line", one, other, layer="TEXT")
    return True


@fault("second truss on the sheet", 52, "ask")
def second(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    down = -max(y for _, y in sheet.plan.joints) - 180.0
    for entity in list(sheet.entities):
        sheet.entities.append(replace(entity, points=tuple((x, y + down) for x, y in entity.points)))
    return True


@fault("detail at a larger scale", 52, "report", SINGLE)
def detail(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    x, y = 40.0, -160.0
    for one, other in (((0, 0), (90, 0)), ((0, 0), (70, 42)), ((60, 0), (60, 36))):
        sheet.add("line", (x + one[0], y + one[1]), (x + other[0], y + other[1]), layer="DETAIL")
    sheet.add("text", (x, y - 20), text="HEEL DETAIL 1:8", height=7.0, layer="NOTES")
    return True
