"""More faults of as-built drawings: places and planes, blocks, labels, marks at crossings, edges out of sight.

They enter the same table as those of `tests.faults`, which says what a fault is.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, degrees, hypot, pi, sin, sqrt
from typing import TYPE_CHECKING

from tests.faults import DOUBLE, SINGLE, Truth, at_heel, bow, crossed, fault, node_of, on_arc, retarget, shortened, webs
from tests.plans import length
from tests.sheets import Copies, Measured, Sheet, offset

if TYPE_CHECKING:
    from random import Random

    from tests.plans import Point


# ---- Ends


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
    end = min((0, 1), key=lambda side: min(length(entity.points[side], h) for h in ((0.0, 0.0), (sheet.plan.span, 0.0))))
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


# ---- Crossings


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
    sheet.add("polyline", (x - 1, y - 1), (x + 1, y - 1), (x + 1, y + 1), (x - 1, y + 1), closed=True, layer="BOLTS")
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


# ---- Curves


@fault("chord as part of an ellipse", 23, "report", SINGLE)
def ellipse(sheet: Sheet, _: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    x, y, radius = sheet.plan.sticks[sheet.entities[row].stick].circle or (0.0, 0.0, 0.0)
    half = sheet.plan.span / 2
    turn = atan2(-y, half)
    sheet.put(row, what="ellipse", points=((x, y), (x + radius, y)), radius=1.0, bulge=(turn, pi - turn))
    return True


@fault("arcs of unequal radius", 25, "report", SINGLE)
def unequal_arcs(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    """Every panel of the chord is an arc of its own through its panel points."""
    row = bow(sheet)
    if row is None:
        return False
    entity = sheet.entities.pop(row)
    stick = sheet.plan.sticks[entity.stick]
    radius = (stick.circle or (0.0, 0.0, 0.0))[2]
    spots = [truth.joints[j] for j in stick.through]
    for one, other in zip(spots, spots[1:], strict=False):
        own = radius * rng.uniform(0.75, 1.4)
        half = length(one, other) / 2
        bulge = -(own - sqrt(own * own - half * half)) / half
        sheet.entities.append(replace(entity, what="arc", points=(one, other), bulge=(bulge,)))
    return True


# ---- Things that are not structure


@fault("columns under the heels", 45, "ask", SINGLE)
def columns(sheet: Sheet, _: Truth, rng: Random) -> bool:
    double = rng.random() < 0.5
    for x in (0.0, sheet.plan.span):
        for step in (-5.0, 5.0) if double else (0.0,):
            sheet.add("line", (x + step, -0.0 if not double else -1.0), (x + step, -96.0), layer="WALL")
    return True


@fault("hidden rear members", 48, "report", SINGLE)
def hidden_line(sheet: Sheet, _: Truth, rng: Random) -> bool:
    for row in rng.sample(webs(sheet), 2):
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
def match_line(sheet: Sheet, _: Truth, rng: Random) -> bool:
    x = -80.0
    sheet.add("line", (x, -100.0), (x, 300.0), layer="MATCH")
    return True


@fault("leader without an arrow", 41, "silent", SINGLE)
def bare_leader(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    one, other = truth.joints[chord.through[0]], truth.joints[chord.through[1]]
    tip = (one[0] + 0.5 * (other[0] - one[0]), 0.0)
    tail = (tip[0] - 25, -40.0)
    sheet.add("line", tail, tip, layer="NOTES")
    sheet.add("text", (tail[0] - 50, tail[1] - 8), text="SEE PHOTO 7", height=5.0, layer="NOTES")
    return True


# ---- Place and plane


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


# ---- Blocks


@fault("truss inside a block", 65, "silent")
def in_block(sheet: Sheet, _: Truth, rng: Random) -> bool:
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


# ---- Dimensions


@fault("dimension entities", 39, "silent")
def dimensions(sheet: Sheet, truth: Truth, _: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    spots = [truth.joints[j] for j in chord.through]
    sheet.dimensions.append(Measured(first=spots[0], last=spots[-1], level=-60.0))
    sheet.dimensions += [
        Measured(first=one, last=other, level=-40.0) for one, other in zip(spots, spots[1:], strict=False)
    ]
    return True


@fault("dimension that disagrees", 60, "ask")
def disagreeing(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    chord = next(s for s in sheet.plan.sticks if s.role == "bottom-chord")
    spots = [truth.joints[j] for j in chord.through]
    feet = round(length(spots[0], spots[1]) / 12) + rng.choice((-2, 2))
    sheet.dimensions.append(Measured(first=spots[0], last=spots[1], level=-40.0, text=f"{feet}'-0\""))
    return True


# ---- Labels


@fault("one size for all webs", 97, "ask", SINGLE)
def typical(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """Of the labels on webs one stays, with TYP. after it."""
    first = True
    kept = []
    sizes = {s.size for s in sheet.plan.sticks if s.role == "web"}
    for entity in sheet.entities:
        if entity.what == "text" and entity.text in sizes and entity.text not in {
            s.size for s in sheet.plan.sticks if s.role != "web"
        }:
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
def joists(sheet: Sheet, truth: Truth, _: Random) -> bool:
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


# ---- Members drawn by both edges


@fault("braces that cross, by edges", 32, "silent", DOUBLE)
def occluded(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """The rear brace's edges break where the front brace passes."""
    found = crossed(sheet, truth)
    if found is None:
        return False
    _at, a, b, c, d = found
    kept = []
    for entity in sheet.entities:
        ends = {node_of(truth, p) for p in entity.points} if entity.what == "line" else set()
        if entity.stick < 0 and ends in ({a, c}, {b, d}):
            continue
        near = {a, c}, {b, d}
        stick = sheet.plan.sticks[entity.stick] if entity.stick >= 0 else None
        if stick is not None and {*stick.through} in near:
            continue
        kept.append(entity)
    sheet.entities = kept
    size = next(s.depth for s in sheet.plan.sticks if s.role == "web")
    front = (truth.joints[a], truth.joints[c])
    rear = (truth.joints[b], truth.joints[d])
    for by in (size / 2, -size / 2):
        one, other = _inset(offset(front, by))
        sheet.add("line", one, other, layer="WEBS")
        one, other = _inset(offset(rear, by))
        cuts = sorted(_share(one, other, offset(front, side)) for side in (size / 2, -size / 2))
        spots = [(one[0] + t * (other[0] - one[0]), one[1] + t * (other[1] - one[1])) for t in cuts]
        sheet.add("line", one, spots[0], layer="WEBS")
        sheet.add("line", spots[1], other, layer="WEBS")
    truth.sized = False
    return True


def _inset(line: tuple[Point, Point]) -> tuple[Point, Point]:
    (x, y), (u, v) = line
    size = hypot(u - x, v - y)
    dx, dy = (u - x) / size * 8.0, (v - y) / size * 8.0
    return (x + dx, y + dy), (u - dx, v - dy)


def _share(one: Point, other: Point, line: tuple[Point, Point]) -> float:
    (x, y), (u, v) = line
    dx, dy = other[0] - one[0], other[1] - one[1]
    cross = dx * (v - y) - dy * (u - x)
    return ((x - one[0]) * (v - y) - (y - one[1]) * (u - x)) / cross


@fault("chords cut off at the heel", 29, "silent", DOUBLE)
def cut_heel(sheet: Sheet, truth: Truth, _: Random) -> bool:
    """The bottom chord ends at the lower edge of the top chord."""
    if sheet.plan.kind not in {"howe", "king-post", "queen-post", "fink", "fan"}:
        return False
    top = next(s for s in sheet.plan.sticks if s.role == "top-chord" and 0 in s.through)
    base = (truth.joints[top.through[0]], truth.joints[top.through[-1]])
    slope = atan2(base[1][1] - base[0][1], base[1][0] - base[0][0])
    shift = top.depth / 2 / sin(slope)
    span = sheet.plan.span
    for row in sheet.rows("bottom-chord", "line"):
        entity = sheet.entities[row]
        level = entity.points[0][1]
        inset = shift + level / (sin(slope) / cos(slope))
        points = tuple(sorted(entity.points))
        sheet.put(row, points=((points[0][0] + inset, level), (points[1][0] - (span - (span - inset)), level)))
    return degrees(slope) > 15


@fault("webs drawn over the chords", 29, "report", DOUBLE)
def over_chords(sheet: Sheet, _: Truth, _rng: Random) -> bool:
    """Webs lie on the face of the chords and run to their far edges."""
    for row in webs(sheet, 30.0):
        for end in (0, 1):
            sheet.entities[row] = shortened(sheet.entities[row], -5.0, end)
    return True
