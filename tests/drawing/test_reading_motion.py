"""The same drawing moved, mirrored, turned, re-ordered, on other layers or of another version: one truss."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.faulty.double import double_lines
from tests.faulty.files import written
from tests.faulty.plans import PLANS, plan
from tests.faulty.sheets import single_lines
from trussio.drawing.reading import read_drawing

if TYPE_CHECKING:
    from tests.faulty.plans import Kind
    from tests.faulty.sheets import Sheet, Style
    from trussio.model.truss import Truss

KINDS = sorted(PLANS)
CASES = [(kind, style) for kind in KINDS for style in ("single", "double")]


def sheet_of(kind: Kind, style: Style) -> Sheet:
    rng = Random(f"motion-{kind}")  # noqa: S311  # not for secrets
    return (single_lines if style == "single" else double_lines)(plan(rng, kind), rng)


def read(sheet: Sheet) -> Truss:
    (truss,) = read_drawing(written(sheet)).trusses
    return truss


def picture(truss: Truss) -> tuple[object, ...]:
    """A truss without names: places to a thousandth, members as places with role, size and radius."""
    at = {name: (round(joint.x, 3) + 0.0, round(joint.y, 3) + 0.0) for name, joint in truss.joints.items()}
    members = sorted(
        (
            tuple(sorted(at[joint] for joint in member.through)),
            str(member.role),
            str(member.label),
            "" if member.curve is None else f"{member.curve.radius:.3f} {member.curve.bows}",
        )
        for member in truss.members.values()
    )
    return tuple(sorted(at.values())), tuple(members), tuple(sorted(at[joint] for joint in truss.supports))


def named(truss: Truss) -> dict[str, tuple[str, ...]]:
    return {name: tuple(member.through) for name, member in truss.members.items()}


@pytest.mark.parametrize(("kind", "style"), CASES)
def test_moved_far_away(kind: Kind, style: Style) -> None:
    sheet = sheet_of(kind, style)
    here = read(sheet)
    for row, entity in enumerate(sheet.entities):
        sheet.put(row, points=tuple((x + 912345.25, y - 34567.5) for x, y in entity.points))
    there = read(sheet)
    assert picture(there) == picture(here)
    assert named(there) == named(here)


@pytest.mark.parametrize(("kind", "style"), CASES)
def test_drawn_in_another_order_and_from_other_ends(kind: Kind, style: Style) -> None:
    sheet = sheet_of(kind, style)
    here = read(sheet)
    Random(3).shuffle(sheet.entities)  # noqa: S311  # not for secrets
    for row, entity in enumerate(sheet.entities):
        if entity.what == "line":
            sheet.put(row, points=entity.points[::-1])
    there = read(sheet)
    assert picture(there) == picture(here)
    assert named(there) == named(here)


@pytest.mark.parametrize(("kind", "style"), CASES)
def test_on_other_layers_and_of_another_version(kind: Kind, style: Style) -> None:
    sheet = sheet_of(kind, style)
    here = read(sheet)
    for row in range(len(sheet.entities)):
        sheet.put(row, layer=f"L{row % 3}")
    sheet.version = "R2018"
    assert picture(read(sheet)) == picture(here)


@pytest.mark.parametrize(("kind", "style"), CASES)
@pytest.mark.parametrize("angle", [0.4, -1.1, pi / 2])
def test_turned_on_the_sheet(kind: Kind, style: Style, angle: float) -> None:
    sheet = sheet_of(kind, style)
    here = read(sheet)
    sheet.turned = angle
    reading = read_drawing(written(sheet))
    assert picture(reading.trusses[0]) == picture(here)
    assert [asked.code for asked in reading.questions] == ["which-way-up-on-sheet"]


@pytest.mark.parametrize(("kind", "style"), CASES)
def test_mirrored_left_to_right(kind: Kind, style: Style) -> None:
    sheet = sheet_of(kind, style)
    sheet.entities = [entity for entity in sheet.entities if entity.what != "text"]
    here = read(sheet)
    for row, entity in enumerate(sheet.entities):
        points = tuple((-x, y) for x, y in entity.points)
        bulge = tuple(-bend for bend in entity.bulge)
        if entity.what == "arc":
            # An arc's file form runs counter-clockwise: from the other end it bends as before.
            sheet.entities[row] = replace(entity, points=points[::-1], bulge=entity.bulge)
        else:
            sheet.put(row, points=points, bulge=bulge)
    there = read(sheet)
    width = max(joint.x for joint in here.joints.values())
    flipped = replace(
        here, joints={name: replace(joint, x=width - joint.x) for name, joint in here.joints.items()}
    )
    assert picture(there) == picture(flipped)


def test_the_same_bytes_give_the_same_truss_twice() -> None:
    data = written(sheet_of("bowstring", "double"))
    assert read_drawing(data).trusses == read_drawing(data).trusses
