"""Faults of curved chords: bulges, facets, splines, arcs of unequal radius."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import atan2, pi, sqrt
from typing import TYPE_CHECKING

from tests.faulty.plans import length
from tests.faulty.truth import (
    SINGLE,
    Truth,
    bow,
    fault,
    on_arc,
)

if TYPE_CHECKING:
    from random import Random

    from tests.faulty.sheets import Sheet


@fault("chord in several bulges", 20, "silent", SINGLE)
def bulges(sheet: Sheet, _: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    count = rng.randint(3, 9)
    points = on_arc(sheet, row, count)
    entity = sheet.entities[row]
    circle = sheet.plan.sticks[entity.stick].circle
    assert circle is not None
    half = length(points[0], points[1]) / 2
    bulge = -(circle[2] - sqrt(circle[2] ** 2 - half**2)) / half
    sheet.put(row, what="polyline", points=tuple(points), bulge=(bulge,) * count + (0.0,))
    return True


@fault("chord in several arcs", 20, "silent", SINGLE)
def arcs(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None or not bulges(sheet, truth, rng):
        return False
    entity = sheet.entities.pop(row)
    for one, other in pairwise(entity.points):
        sheet.entities.append(replace(entity, what="arc", points=(one, other), bulge=entity.bulge[:1]))
    return True


@fault("chord as a polyline of facets", 21, "report", SINGLE)
def facets(sheet: Sheet, _: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    points = on_arc(sheet, row, rng.randint(20, 60))
    sheet.put(row, what="polyline", points=tuple(points), bulge=())
    return True


@fault("chord as lines of facets", 21, "report", SINGLE)
def facet_lines(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None or not facets(sheet, truth, rng):
        return False
    entity = sheet.entities.pop(row)
    for one, other in pairwise(entity.points):
        sheet.entities.append(replace(entity, what="line", points=(one, other)))
    return True


@fault("chord as a spline", 22, "report", SINGLE)
def spline(sheet: Sheet, _: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    sheet.put(row, what="spline", points=tuple(on_arc(sheet, row, rng.randint(8, 14))), bulge=())
    return True


@fault("chord straight between panel points", 13, "report", SINGLE)
def straight_between(sheet: Sheet, truth: Truth, rng: Random) -> bool:
    row = bow(sheet)
    if row is None:
        return False
    entity = sheet.entities[row]
    spots = [truth.joints[j] for j in sheet.plan.sticks[entity.stick].through]
    if rng.random() < 0.5:
        sheet.put(row, what="polyline", points=tuple(spots), bulge=())
        return True
    sheet.entities.pop(row)
    for one, other in pairwise(spots):
        sheet.entities.append(replace(entity, what="line", points=(one, other), bulge=()))
    return True


@fault("chord as part of an ellipse", 23, "report", SINGLE)
def ellipse(sheet: Sheet, _: Truth, _rng: Random) -> bool:
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
    for one, other in pairwise(spots):
        own = radius * rng.uniform(0.75, 1.4)
        half = length(one, other) / 2
        bulge = -(own - sqrt(own * own - half * half)) / half
        sheet.entities.append(replace(entity, what="arc", points=(one, other), bulge=(bulge,)))
    return True
