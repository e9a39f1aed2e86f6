"""Which member a size label belongs to, by leader, by lying along the member, or by nearness.

Ranks: the tip of the text's leader lies on a member; the text runs along a member (within 3 degrees, no further
off than 2 1/2 text heights); the member is the nearest. A text that names a chord or a web keeps to those. Within
one rank two members whose distances differ by less than a fifth are a question.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import Axes, headings, stations
from trussio.drawing.sizes import read_sizes
from trussio.model.change import Change, Question

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.heal.axes import Flags, Floats
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Point, Text
    from trussio.drawing.sizes import SizeLabel
    from trussio.model.truss import MemberId, Role

ALONG: Final = 3 * pi / 180
ALONG_ARC: Final = 6 * pi / 180
OFFSET_HEIGHTS: Final = 2.5
FAR_HEIGHTS: Final = 12.0
RIVAL: Final = 1.2


@dataclass(frozen=True, kw_only=True)
class Label:
    """A text that states a size, in base lengths: the sizes it can mean, and where it stands.

    `spots` are points along its middle; `tips` those of its leader.
    """

    text: Text
    sizes: tuple[SizeLabel, ...]
    spots: tuple[Point, ...]
    tips: tuple[Point, ...]
    height: float
    angle: float
    role: Role | None

    @property
    def size(self) -> SizeLabel:
        """The size that the label is taken to mean."""
        return self.sizes[0]


@dataclass(frozen=True, kw_only=True)
class Labelled:
    """Labels by member, each member's in the order of the drawing, and those that found no member."""

    by_member: dict[MemberId, tuple[Label, ...]]
    unplaced: tuple[Label, ...]


def size_labels(texts: Iterable[Text], factor: float) -> list[Label]:
    """The texts that state a size of a stick; one with a spacing names joists or purlins and is none."""
    found = []
    for text in texts:
        sizes = read_sizes(text.says)
        if sizes and not any(size.spaced for size in sizes):
            found.append(_label(text, sizes, factor))
    return found


def _label(text: Text, sizes: tuple[SizeLabel, ...], factor: float) -> Label:
    half = max(text.width - text.height, 0.0) / 2
    along = (cos(text.angle) * half, sin(text.angle) * half)
    spots = tuple(
        ((text.centre[0] + share * along[0]) * factor, (text.centre[1] + share * along[1]) * factor)
        for share in (-1.0, -0.5, 0.0, 0.5, 1.0)
    )
    return Label(
        text=text,
        sizes=sizes,
        spots=spots,
        tips=tuple((x * factor, y * factor) for x, y in text.tips),
        height=text.height * factor,
        angle=text.angle,
        role=_role(text.says),
    )


def _role(says: str) -> Role | None:
    words = says.upper()
    if "CHORD" in words and "TOP" in words:
        return "top-chord"
    if "CHORD" in words and ("BOTTOM" in words or "BOT." in words):
        return "bottom-chord"
    return "web" if "WEB" in words else None


def placed_labels(
    truss: Recognised, labels: Sequence[Label], reach: Reach
) -> tuple[Labelled, list[Change], list[Question]]:
    """Every label on its member."""
    axes, owner = _member_axes(truss)
    found: dict[MemberId, list[Label]] = {}
    unplaced, questions = [], []
    for label in labels:
        ranked = _ranked(truss, axes, owner, label, reach)
        if not ranked:
            unplaced.append(label)
            continue
        best = ranked[0][1]
        found.setdefault(best, []).append(label)
        rivals = [member for distance, member in ranked[1:] if distance <= RIVAL * ranked[0][0] + reach.silent]
        if rivals:
            questions.append(_which(label, best, rivals))
        if len(label.sizes) > 1:
            questions.append(_reading(label))
    changes = [_unplaced(label) for label in unplaced]
    placed = {member: tuple(found[member]) for member in truss.members if member in found}
    questions += [_conflict(member, mine) for member, mine in placed.items() if _disagree(mine)]
    return Labelled(by_member=placed, unplaced=tuple(unplaced)), changes, questions


def _member_axes(truss: Recognised) -> tuple[Axes, list[MemberId]]:
    sticks = [(member, stick) for member, part in truss.members.items() for stick in part.sticks]
    frame = truss.frame
    first = np.array([frame.places[stick.through[0]] for _, stick in sticks])
    last = np.array([frame.places[stick.through[-1]] for _, stick in sticks])
    centre = np.array([stick.centre if stick.turn else (np.nan, np.nan) for _, stick in sticks])
    one, other = first - centre, last - centre
    turn = np.array([stick.turn for _, stick in sticks], dtype=float)
    angle = np.arctan2(
        one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0], one[:, 0] * other[:, 0] + one[:, 1] * other[:, 1]
    )
    count = len(sticks)
    axes = Axes(
        first=first,
        last=last,
        centre=centre,
        radius=np.array([stick.radius if stick.turn else np.inf for _, stick in sticks]),
        sweep=np.where(turn == 0, 0.0, turn * np.mod(np.nan_to_num(angle) * turn, 2 * np.pi)),
        depth=np.full(count, np.nan),
        residual=np.zeros(count),
        row=np.arange(count),
        handles=((),) * count,
    )
    return axes, [member for member, _ in sticks]


def _ranked(
    truss: Recognised, axes: Axes, owner: list[MemberId], label: Label, reach: Reach
) -> list[tuple[float, MemberId]]:
    """Members of the best rank that has any, nearest first, each once."""
    allowed = np.array([label.role is None or truss.members[member].role == label.role for member in owner])
    if not allowed.any():
        allowed[:] = True
    if label.tips:
        away = _distances(axes, label.tips)
        at_tip = allowed & (away <= max(label.height, reach.report))
        if at_tip.any():
            return _by_distance(away, at_tip, owner)
    away = _distances(axes, label.spots)
    middle = np.array(label.spots[2])
    along = allowed & _runs_along(axes, middle, label)
    if along.any():
        return _by_distance(_distances(axes, label.spots[2:3]), along, owner)
    near = allowed & (away <= FAR_HEIGHTS * label.height)
    return _by_distance(away, near, owner)


def _by_distance(away: Floats, chosen: Flags, owner: list[MemberId]) -> list[tuple[float, MemberId]]:
    best: dict[MemberId, float] = {}
    for row in np.flatnonzero(chosen).tolist():
        best[owner[row]] = min(best.get(owner[row], np.inf), float(away[row]))
    return sorted((distance, member) for member, distance in best.items())


def _distances(axes: Axes, spots: Sequence[Point]) -> Floats:
    """The least distance of any spot from each axis, ends included."""
    rows = np.arange(len(axes))
    best = np.full(len(axes), np.inf)
    for spot in spots:
        points = np.repeat(np.array([spot]), len(axes), axis=0)
        at, off = stations(axes, rows, points)
        inside = (at >= 0) & (at <= axes.lengths)
        to_end = np.minimum(np.hypot(*(axes.first - points).T), np.hypot(*(axes.last - points).T))
        best = np.minimum(best, np.where(inside, np.abs(off), to_end))
    return best


def _runs_along(axes: Axes, middle: Floats, label: Label) -> Flags:
    rows = np.arange(len(axes))
    at, off = stations(axes, rows, np.repeat(middle[None], len(axes), axis=0))
    ahead = -headings(axes, rows, np.zeros(len(axes), dtype=bool))
    turn = np.where(axes.sweep == 0, 0.0, at / axes.radius * np.sign(axes.sweep))
    angle = np.arctan2(ahead[:, 1], ahead[:, 0]) + turn
    apart = np.abs((angle - label.angle + np.pi / 2) % np.pi - np.pi / 2)
    close = apart <= np.where(axes.straight, ALONG, ALONG_ARC)
    inside = (at >= 0) & (at <= axes.lengths)
    chosen: Flags = close & inside & (np.abs(off) <= OFFSET_HEIGHTS * label.height)
    return chosen


def _disagree(labels: Sequence[Label]) -> bool:
    return len({label.size.name for label in labels}) > 1


def _place(label: Label) -> Point:
    return label.spots[2]


def _which(label: Label, best: MemberId, rivals: Sequence[MemberId]) -> Question:
    others = " or ".join(rivals)
    return Question(
        code="label-between-members",
        asks=f"Does the size '{label.text.says}' belong to {best} or to {others}?",
        taken=best,
        settle="Answer with the name of the member.",
        where=_place(label),
        handles=(label.text.handle,),
    )


def _reading(label: Label) -> Question:
    ways = " or ".join(size.name for size in label.sizes)
    return Question(
        code="size-reads-two-ways",
        asks=f"Does '{label.text.says}' mean {ways}?",
        taken=label.size.name,
        settle="Answer with the size.",
        where=_place(label),
        handles=(label.text.handle,),
    )


def _conflict(member: MemberId, labels: Sequence[Label]) -> Question:
    names = list(dict.fromkeys(label.size.name for label in labels))
    return Question(
        code="sizes-disagree",
        asks=f"The drawing writes {' and '.join(names)} on {member}. Which is it?",
        taken=names[0],
        settle="Answer with the size.",
        where=_place(labels[0]),
        handles=tuple(label.text.handle for label in labels),
    )


def _unplaced(label: Label) -> Change:
    return Change(
        kind="label-without-member",
        says=f"The size '{label.text.says}' stands near no member and was left out.",
        where=_place(label),
        handles=(label.text.handle,),
    )
