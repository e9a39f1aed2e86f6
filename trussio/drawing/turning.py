"""Which way is up on a sheet, and linework turned upright.

A sheet stands upright when its texts do and the truss found on it lies level within a few degrees. Otherwise the
direction of most line length that lies nearest to the length of the whole is taken for level, and asked about:
gravity decides the forces.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, cos, degrees, hypot, pi, sin
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import question

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from trussio.drawing.recognise.placing import Told
    from trussio.drawing.records import Linework, Point, Strokes, Text
    from trussio.model.change import Question

LEVEL: Final = 5 * pi / 180
"""A truss that leans by less was surveyed so."""
MOST_ANGLES: Final = 6
SAME_ANGLE: Final = 0.03
NEAR_LENGTH: Final = 25 * pi / 180
CLASSES: Final = 720


def turned(linework: Linework, angle: float) -> Linework:
    """The linework turned clockwise by an angle about the origin of its plane."""
    if not angle:
        return linework
    return replace(
        linework,
        strokes=_turned_strokes(linework.strokes, angle),
        marks=tuple(
            replace(
                mark,
                at=_turned(mark.at, angle),
                box=None,
                corners=tuple(_turned(corner, angle) for corner in mark.corners),
            )
            for mark in linework.marks
        ),
        texts=tuple(_turned_text(text, angle) for text in linework.texts),
        dimensions=tuple(
            replace(
                one,
                at=_turned(one.at, angle),
                points=(_turned(one.points[0], angle), _turned(one.points[1], angle)),
            )
            for one in linework.dimensions
        ),
        leaders=tuple(
            replace(one, tip=_turned(one.tip, angle), tail=_turned(one.tail, angle)) for one in linework.leaders
        ),
        changes=tuple(
            one if one.where is None else replace(one, where=_turned(one.where, angle)) for one in linework.changes
        ),
        questions=tuple(
            one if one.where is None else replace(one, where=_turned(one.where, angle))
            for one in linework.questions
        ),
    )


def turned_places(things: Iterable[Told], angle: float) -> list[Told]:
    """Changes or questions of linework with their places turned as the linework was."""
    return [one if one.where is None else replace(one, where=_turned(one.where, angle)) for one in things]


def level_angles(linework: Linework, *, leaning: bool) -> tuple[float, ...]:
    """By how much the sheet may be turned counter-clockwise, by its lines and texts, the likeliest first.

    Directions that many or long lines share; the one nearest to the length of the whole comes first. None where
    the sheet seems upright, unless what was read from it is `leaning`.
    """
    strokes = linework.strokes
    straight = np.flatnonzero(strokes.straight)
    if not straight.size:
        return ()
    along = strokes.last[straight] - strokes.first[straight]
    length = np.hypot(*along.T)
    angle = np.mod(np.arctan2(along[:, 1], along[:, 0]), pi)
    number = np.floor(angle / pi * CLASSES).astype(np.intp) % CLASSES
    weight = np.bincount(number, weights=length, minlength=CLASSES)
    weight = weight + np.roll(weight, 1) + np.roll(weight, -1)
    centre = (np.arange(CLASSES) + 0.5) * pi / CLASSES
    near = _between(centre, _main_direction(strokes)) <= NEAR_LENGTH
    found: list[float] = []
    first = int(np.argmax(np.where(near, weight, -1.0)))
    heaviest = np.argsort(-weight, kind="stable")
    for best in (first, *heaviest[weight[heaviest] > 0].tolist()):
        if len(found) == MOST_ANGLES:
            break
        mine = _between(angle, centre[best]) <= 1.5 * pi / CLASSES
        if mine.any():
            level = _headed(float(angle[mine][np.argmax(length[mine])]), linework.texts)
            if all(abs(cos(level - other)) < cos(SAME_ANGLE) for other in found):
                found.append(level)
    if not leaning and found and abs(found[0]) <= LEVEL:
        return ()
    return tuple(one for one in found if abs(one) > LEVEL)


def upright_share(linework: Linework, angle: float) -> float:
    """How much of the length of the lines stands upright where the sheet is turned by an angle."""
    strokes = linework.strokes
    straight = np.flatnonzero(strokes.straight)
    along = strokes.last[straight] - strokes.first[straight]
    length = np.hypot(*along.T)
    square = _between(np.arctan2(along[:, 1], along[:, 0]), angle + pi / 2) <= SAME_ANGLE / 3
    return float(length[square].sum() / max(float(length.sum()), 1e-300))


def _between(angles: NDArray[np.float64], angle: float) -> NDArray[np.float64]:
    """Angles between directions, from 0 to pi / 2."""
    apart: NDArray[np.float64] = np.abs(np.mod(angles - angle + pi / 2, pi) - pi / 2)
    return apart


def _headed(base: float, texts: tuple[Text, ...]) -> float:
    """A direction from -pi to pi, so that most texts stand upright along it."""
    found = base if base <= pi / 2 else base - pi
    if sum(cos(text.angle - found) for text in texts) < 0:
        found += pi
    return float(np.mod(found + pi, 2 * pi) - pi)


def _main_direction(strokes: Strokes) -> float:
    """Direction in which the lines lie most spread out, from 0 to pi."""
    spots = np.concatenate((strokes.first, strokes.last))
    spots = spots - spots.mean(axis=0)
    (a, b), (_, d) = spots.T @ spots
    return float(np.mod(atan2(2 * b, a - d) / 2, pi))


def upside_down(texts: tuple[Text, ...]) -> bool:
    """Whether most texts stand on their heads."""
    return sum(1 if cos(text.angle) < -0.17 else -1 for text in texts) > 0


def turned_question(angle: float) -> Question:
    """The question to ask when linework was turned."""
    return question(
        "which-way-up-on-sheet",
        f"The truss lies turned by {degrees(angle):.1f} degrees on the sheet. Is its longest direction level, and "
        "its upper side the one that is read as upper?"
        if angle
        else "The heels of the truss are not level on the sheet. Is its upper side the one that is read as upper?",
        taken="yes",
        options=("yes",),
        settle="If not, turn the drawing until the truss stands as it does in the building, and save it again.",
    )


def _turned(at: Point, angle: float) -> Point:
    c, s = cos(angle), sin(angle)
    return (c * at[0] + s * at[1], c * at[1] - s * at[0])


def _turned_strokes(strokes: Strokes, angle: float) -> Strokes:
    c, s = cos(angle), sin(angle)
    back = np.array(((c, -s), (s, c)))
    return replace(strokes, first=strokes.first @ back, last=strokes.last @ back, centre=strokes.centre @ back)


def _turned_text(text: Text, angle: float) -> Text:
    return replace(
        text,
        at=_turned(text.at, angle),
        centre=_turned(text.centre, angle),
        angle=text.angle - angle,
        tips=tuple(_turned(tip, angle) for tip in text.tips),
    )


def leans(heel: Point, other: Point) -> bool:
    """Whether the line between two heels is further from level than a survey explains."""
    rise, run = abs(other[1] - heel[1]), abs(other[0] - heel[0])
    return hypot(rise, run) > 0 and atan2(rise, run) > LEVEL
