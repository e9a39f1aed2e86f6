"""Faults of labels: spelling, place, conflict, one for many."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi, sin
from typing import TYPE_CHECKING

from tests.faulty.truth import (
    DOUBLE,
    SINGLE,
    Truth,
    fault,
    web_ways,
)

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.sheets import Sheet


@fault("sizes spelled in many ways", 92, "silent")
def spellings(sheet: Sheet, _truth: Truth, rng: Random) -> bool:
    for row, entity in enumerate(sheet.entities):
        if entity.what == "text" and "x" in entity.text:
            plies, _, size = entity.text.rpartition("-")
            width, depth = size.split("x")
            forms = [f"{width} X {depth}", f"{width} x {depth}", f"{width}X{depth} DF", f'{width}"x{depth}"']
            chosen = rng.choice(forms)
            sheet.put(row, text=f"({plies}) {chosen}" if plies else chosen)
    return True


@fault("label halfway between members", 94, "ask", SINGLE)
def between(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """A label across the bisector of two webs that meet."""
    node = next((n for n in range(len(truth.joints)) if len(web_ways(truth, n)) == 2), None)
    if node is None:
        return False
    (x, y), (one, other) = truth.joints[node], web_ways(truth, node)
    turn = (other - one) % (2 * pi)
    if not 0.3 < min(turn, 2 * pi - turn) < 1.8:
        return False
    middle = one + turn / 2 if turn < pi else one + turn / 2 + pi
    at = (x + 60 * cos(middle), y + 60 * sin(middle))
    across = (middle + pi / 2 + pi / 2) % pi - pi / 2
    width = 0.8 * 5.0 * 4
    row = next((row for row, e in enumerate(sheet.entities) if e.what == "text" and "x" in e.text), None)
    if row is None:
        return False
    corner = (
        at[0] - width / 2 * cos(across) + 2.5 * sin(across),
        at[1] - width / 2 * sin(across) - 2.5 * cos(across),
    )
    sheet.entities.append(replace(sheet.entities[row], text="2x12", angle=across, points=(corner,)))
    truth.sized = False
    return True


@fault("two sizes on one member", 98, "ask", SINGLE)
def conflicting(sheet: Sheet, truth: Truth, _: Random) -> bool:
    row = next((row for row, e in enumerate(sheet.entities) if e.what == "text" and "x" in e.text), None)
    if row is None:
        return False
    entity = sheet.entities[row]
    x, y = entity.points[0]
    along = 60.0
    sheet.entities.append(
        replace(entity, text="3x14", points=((x + along * cos(entity.angle), y + along * sin(entity.angle)),))
    )
    truth.sized = False
    return True


@fault("field notes", 100, "silent")
def notes(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    for says in ("VERIFY", "SPLIT", "SEE PHOTO 12"):
        x, y = rng.choice(truth.joints)
        sheet.add("text", (x + 10, y + 14), text=says, height=4.0, layer="NOTES")
    return True


@fault("one size for all webs", 97, "ask", SINGLE)
def typical(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """Of the labels on webs one stays, with TYP. after it."""
    first = True
    kept = []
    sizes = {s.size for s in sheet.plan.sticks if s.role == "web"}
    for entity in sheet.entities:
        if (
            entity.what == "text"
            and entity.text in sizes
            and entity.text not in {s.size for s in sheet.plan.sticks if s.role != "web"}
        ):
            if first:
                kept.append(replace(entity, text=f"{entity.text} TYP."))
            first = False
            continue
        kept.append(entity)
    sheet.entities = kept
    truth.sized = False
    return not first


@fault("sizes as paragraphs", 96, "silent")
def paragraphs(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    for row, entity in enumerate(sheet.entities):
        if entity.what == "text":
            sheet.put(row, what="mtext", text="{\\fArial|b0|i0;" + entity.text + "}")
    return True


@fault("joists at a spacing", 92, "silent")
def joists(sheet: Sheet, _truth: Truth, _: Random) -> bool:
    x = sheet.plan.span / 2
    sheet.add("text", (x - 30, -30.0), text='2x6 @ 24" O.C.', height=5.0, layer="NOTES")
    return True


@fault("size between web marks", 97, "ask", SINGLE)
def marks(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """Marks on the webs, and a table of sizes far off."""
    number = 0
    web_sizes = {s.size for s in sheet.plan.sticks if s.role == "web"}
    chord_sizes = {s.size for s in sheet.plan.sticks if s.role != "web"}
    if web_sizes & chord_sizes:
        return False
    for row, entity in enumerate(sheet.entities):
        if entity.what == "text" and entity.text in web_sizes:
            number += 1
            sheet.put(row, text=f"W{number}")
    size = next(iter(web_sizes))
    for line in range(min(number, 4)):
        at = (sheet.plan.span + 120.0, 60.0 - 10.0 * line)
        sheet.add("text", at, text=f"W{line + 1}  {size}", height=5.0, layer="SCHEDULE")
    truth.sized = False
    return number > 0


@fault("label against the drawn depth", 98, "ask", DOUBLE)
def against_depth(sheet: Sheet, truth: Truth, _: Random) -> bool:
    stick = sheet.plan.sticks[0]
    for row, entity in enumerate(sheet.entities):
        if entity.what == "text" and entity.text == stick.size:
            sheet.put(row, text="2-3x14" if not stick.size.endswith("12") else "3x8")
            truth.sized = False
            return True
    return False
