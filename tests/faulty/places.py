"""Faults of unit, scale, place, plane, blocks and layers."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tests.faulty.plans import length
from tests.faulty.sheets import Copies
from tests.faulty.truth import (
    SINGLE,
    Truth,
    fault,
)

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.sheets import Sheet


@fault("far from the origin", 58, "silent")
def far(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    by = (1834567.25, 612345.5)
    for row, entity in enumerate(sheet.entities):
        sheet.put(row, points=tuple((x + by[0], y + by[1]) for x, y in entity.points))
    sheet.dimensions = [
        replace(
            one,
            first=(one.first[0] + by[0], one.first[1] + by[1]),
            last=(one.last[0] + by[0], one.last[1] + by[1]),
            level=one.level + by[1],
        )
        for one in sheet.dimensions
    ]
    return True


@fault("drawn in feet", 55, "silent")
def in_feet(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.insunits, sheet.per_inch = 2, 1 / 12
    return True


@fault("drawn in millimetres", 55, "silent")
def in_mm(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.insunits, sheet.per_inch = 4, 25.4
    return True


@fault("no unit in the file", 53, "ask")
def unitless(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.insunits = None
    return True


@fault("sagging bottom chord as measured", 64, "silent", SINGLE)
def sag(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    if sheet.plan.kind not in {"howe", "bowstring", "pratt", "fink", "fan", "queen-post", "king-post"}:
        return False
    row = sheet.rows("bottom-chord", "line")[0]
    stick = sheet.plan.sticks[sheet.entities[row].stick]
    span, most = sheet.plan.span, rng.uniform(0.8, 2.5)
    moved = {}
    for j in stick.through[1:-1]:
        x, y = truth.joints[j]
        drop = most * (1 - (2 * x / span - 1) ** 2) + rng.uniform(-0.1, 0.1)
        moved[j] = (x, y - drop)
    for j, at in moved.items():
        old = truth.joints[j]
        for other, entity in enumerate(sheet.entities):
            if entity.what == "line" and other != row:
                points = tuple(at if length(p, old) < 1e-6 else p for p in entity.points)
                sheet.put(other, points=points)
        truth.joints[j] = at
    spots = [truth.joints[j] for j in stick.through]
    entity = sheet.entities[row]
    sheet.put(row, what="polyline", points=tuple(spots), bulge=())
    return True


@fault("half truss with symmetry line", 68, "ask", SINGLE)
def half(sheet: Sheet, truth: Truth, _: Random) -> bool:
    plan = sheet.plan
    if plan.kind not in {"howe", "king-post", "fink", "fan"}:
        return False
    middle = plan.span / 2
    kept = []
    for entity in sheet.entities:
        if entity.what == "text":
            if entity.points[0][0] < middle - 20:
                kept.append(entity)
            continue
        if len(entity.points) != 2:
            if max(x for x, _ in entity.points) <= middle:
                kept.append(entity)
            continue
        points = tuple(sorted(entity.points))
        if points[0][0] >= middle - 1e-6 and points[-1][0] > middle + 1e-6:
            continue
        if points[-1][0] > middle + 1e-6:
            (x, y), (u, v) = points[0], points[-1]
            share = (middle - x) / (u - x)
            points = ((x, y), (middle, y + share * (v - y)))
        kept.append(replace(entity, points=points))
    sheet.entities = kept
    high = max(y for _, y in truth.joints)
    sheet.add("line", (middle, -40.0), (middle, high + 40), layer="CL", linetype="CENTER")
    sheet.add("text", (middle + 6, high + 30), text="SYM. ABOUT C.L.", height=5.0, layer="NOTES")
    truth.sized = False
    return True


@fault("webs on a layer switched off", 89, "ask")
def hidden_webs(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.off.add("WEBS")
    return True


@fault("everything on layer 0", 90, "silent")
def layer_zero(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    for row in range(len(sheet.entities)):
        sheet.put(row, layer="0")
    return True


@fault("turned on the sheet", 59, "ask")
def turned(sheet: Sheet, _: Truth, rng: Random) -> bool:
    sheet.turned = rng.choice((-1, 1)) * rng.uniform(0.2, 1.2)
    return True


@fault("drawn in the XZ plane", 59, "silent")
def upright(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    sheet.upright_plane = True
    return True


@fault("depths scattered", 62, "report")
def scattered(sheet: Sheet, _: Truth, rng: Random) -> bool:
    sheet.depth_noise = rng.uniform(0.1, 0.8)
    return True


@fault("truss inside a block", 65, "silent")
def in_block(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    rows = frozenset(row for row, e in enumerate(sheet.entities) if e.stick >= 0)
    sheet.blocks.append(Copies(rows=rows, inserts=(((0.0, 0.0), 1.0, 0.0),)))
    return True


@fault("second half mirrored", 67, "silent", SINGLE)
def mirrored_half(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """The left half in a block, inserted as it is and mirrored about midspan."""
    if sheet.plan.kind not in {"howe", "king-post", "fan", "fink", "queen-post"}:
        return False
    middle = sheet.plan.span / 2
    kept = []
    for entity in sheet.entities:
        if entity.what == "text":
            continue
        if len(entity.points) != 2:
            if max(x for x, _ in entity.points) <= middle:
                kept.append(entity)
            continue
        points = tuple(sorted(entity.points))
        if points[0][0] >= middle - 1e-6 and points[-1][0] > middle + 1e-6:
            continue
        if points[-1][0] > middle + 1e-6:
            (x, y), (u, v) = points[0], points[-1]
            points = ((x, y), (middle, y + (middle - x) / (u - x) * (v - y)))
        kept.append(replace(entity, points=points))
    sheet.entities = kept
    rows = frozenset(range(len(kept)))
    sheet.blocks.append(Copies(rows=rows, inserts=(((0.0, 0.0), 1.0, 0.0), ((sheet.plan.span, 0.0), -1.0, 0.0))))
    truth.sized = False
    return True


@fault("array of two trusses", 69, "report", SINGLE)
def array(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    rows = frozenset(row for row, e in enumerate(sheet.entities) if e.stick >= 0)
    sheet.blocks.append(
        Copies(rows=rows, inserts=(((0.0, 0.0), 1.0, 0.0),), columns=2, spacing=sheet.plan.span + 200.0)
    )
    return True
