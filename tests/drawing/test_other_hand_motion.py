"""Drawings by another hand, placed by a block: moved, mirrored, turned, binary, of another version give one truss.

The block carries every kind of curve that the hand draws: arcs, bulges, splines, ellipses, facets, multilines.
"""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.otherhand.hand import draw, pen, saved, write_sizes
from tests.otherhand.roofs import ROOFS
from trussio.drawing.reading import read_drawing

if TYPE_CHECKING:
    from tests.otherhand.hand import Style
    from trussio.drawing.reading import Reading

DOUBTFUL = frozenset({"label-between-members", "sizes-disagree"})
SEEDS = (0, 1, 4, 8, 9)
STYLES: tuple[Style, ...] = ("single", "double")
CASES = [(style, seed) for style in STYLES for seed in SEEDS]
Picture = tuple[tuple[tuple[float, float], ...], tuple[tuple[tuple[tuple[float, float], ...], str, str], ...]]


def placed(
    style: Style, seed: int, *, binary: bool = False, version: str | None = None, **insert: float
) -> Reading:
    """The reading of one drawing, drawn in model space, or in a block that is inserted so."""
    rng = Random(f"placed-{style}-{seed}")  # noqa: S311  # not for secrets
    plan = ROOFS[sorted(ROOFS)[(3 * seed + 5) % len(ROOFS)]](rng)
    held = pen(plan, rng, style, version=version or "R2010")
    if insert:
        held.space = held.document.blocks.new("ALL")
    draw(held)
    write_sizes(held)
    if insert:
        at = (insert.pop("x", 0.0) * held.factor, insert.pop("y", 0.0) * held.factor)
        held.document.modelspace().add_blockref("ALL", at, dxfattribs=insert)
    return read_drawing(saved(held, binary=binary))


def picture(reading: Reading, *, flipped: bool = False, digits: int = 2) -> Picture:
    """A truss without names, in inches: places of its joints, members with role and size.

    Sizes are left out where a label stands as near to one member as to another, which is asked.
    """
    (truss,) = reading.trusses
    labels = "" if any(asked.code in DOUBTFUL for asked in reading.questions) else "sizes "
    inch = 25.4 if truss.units == "si" else 1.0
    width = max(joint.x for joint in truss.joints.values())
    at = {
        name: (
            round((width - joint.x if flipped else joint.x) / inch, digits) + 0.0,
            round(joint.y / inch, digits) + 0.0,
        )
        for name, joint in truss.joints.items()
    }
    members = sorted(
        (
            tuple(sorted(at[joint] for joint in member.through)),
            str(member.role),
            labels and labels + str(member.label),
        )
        for member in truss.members.values()
    )
    return tuple(sorted(at.values())), tuple(members)


def same(one: Picture, other: Picture) -> bool:
    """Whether two pictures agree, places to a few hundredths of an inch."""
    places = zip(one[0], other[0], strict=True)
    members = zip(one[1], other[1], strict=True)
    return all(abs(a - c) + abs(b - d) < 0.1 for (a, b), (c, d) in places) and all(
        mine[1] == theirs[1] and (not mine[2] or not theirs[2] or mine[2] == theirs[2]) for mine, theirs in members
    )


@pytest.mark.parametrize(("style", "seed"), CASES)
def test_in_a_block_far_away(style: Style, seed: int) -> None:
    assert same(picture(placed(style, seed)), picture(placed(style, seed, x=812345.25, y=-45678.5)))


@pytest.mark.parametrize(("style", "seed"), CASES)
def test_in_a_block_mirrored(style: Style, seed: int) -> None:
    assert same(picture(placed(style, seed), flipped=True), picture(placed(style, seed, xscale=-1.0)))


@pytest.mark.parametrize(("style", "seed"), CASES)
def test_in_a_block_turned(style: Style, seed: int) -> None:
    assert same(picture(placed(style, seed)), picture(placed(style, seed, rotation=21.0)))


@pytest.mark.parametrize(("style", "seed"), CASES)
def test_binary_and_of_another_version(style: Style, seed: int) -> None:
    plain = picture(placed(style, seed))
    assert same(plain, picture(placed(style, seed, binary=True)))
    assert same(plain, picture(placed(style, seed, version="R2000")))
    assert same(plain, picture(placed(style, seed, version="R2018")))
