"""The mirror of a truss that is nearly its own image about one upright line.

Terms: a *stretch* is the piece of a member between two joints where members meet or end, there or at the mirror
image (purlin points between do not count); the *twin* of a joint is the joint at its mirror image, within the snap
distance; a joint is *moved* when no joint is there but one nearby is without a twin too.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.audit.graph import graph_of, parts_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from trussio.audit.subject import Subject
    from trussio.model.truss import JointId, MemberId, Truss

    Array = NDArray[np.float64]

UNLIKE: Final = 0.2
"""A truss is taken as meant to be symmetric when no more than this share of joints lack twins, or 2 of five."""
MOVED: Final = 0.5
"""A joint counts as moved, not missing, when its twin is within this share of the mean segment length."""
LEANS: Final = 0.25
"""A truss whose highest joint is further from any image than this share of the mean segment length leans."""


class Stretch(NamedTuple):
    """A piece of a member between joints where it meets others or ends."""

    member: MemberId
    first: JointId
    last: JointId


@dataclass(frozen=True, kw_only=True)
class Mirror:
    """The axis x = `axis`, every stretch, the twin of each joint that has one, and the pairs that are moved."""

    axis: float
    stretches: tuple[Stretch, ...]
    twins: Mapping[JointId, JointId]
    moved: tuple[tuple[JointId, JointId, float], ...]


def mirror(subject: Subject) -> Mirror | None:
    """The mirror of a truss that is nearly its own image, else None."""
    largest: set[JointId] = max(parts_of(graph_of(subject.truss)), key=len, default=set())
    names = [name for name in subject.names if name in largest]
    meeting = _meeting(subject.truss) & largest
    if len(meeting) < 4:
        return None
    xy = np.array([(subject.truss.joints[name].x, subject.truss.joints[name].y) for name in names])
    counts = np.array([name in meeting for name in names])
    axis, away = max(
        ((axis, _mirrored(xy, axis)) for axis in _axes(xy[counts])),
        key=lambda tried: _alike(subject, tried[1][counts]),
    )
    unlike = int((away[counts].min(axis=1) >= subject.snap).sum())
    if unlike > max(min(2.0, 0.4 * len(meeting)), UNLIKE * len(meeting)) or _leans(subject, names, away):
        return None
    twins = {names[k]: names[int(away[k].argmin())] for k in range(len(names)) if away[k].min() < subject.snap}
    moved: list[tuple[JointId, JointId, float]] = []
    alone = [k for k in range(len(names)) if names[k] not in twins]
    for k in alone:
        near = min((float(away[k, other]), other) for other in alone)
        if near[1] > k and near[0] < MOVED * subject.panel:
            moved.append((names[k], names[near[1]], near[0]))
            twins |= {names[k]: names[near[1]], names[near[1]]: names[k]}
        elif near[1] == k and near[0] < MOVED * subject.panel:
            moved.append((names[k], names[k], near[0] / 2))
            twins[names[k]] = names[k]
    breaks = meeting | {twins[name] for name in meeting if name in twins}
    return Mirror(axis=axis, stretches=_stretches(subject.truss, breaks), twins=twins, moved=tuple(moved))


def _alike(subject: Subject, away: Array) -> float:
    """How well joints fall on each other: one for each with its image at a joint, half for one nearby."""
    nearest = away.min(axis=1)
    return float((nearest < subject.snap).sum() + (nearest < MOVED * subject.panel).sum()) / 2


def _leans(subject: Subject, names: list[JointId], away: Array) -> bool:
    """Whether the highest joint of the top chord has no counterpart: a lean-to, or a ridge off the middle."""
    chords = [member.through for member in subject.truss.members.values() if member.role == "top-chord"]
    top = {name for through in chords for name in through}
    heights = [subject.truss.joints[name].y if name in top or not top else -np.inf for name in names]
    return bool(away[int(np.argmax(heights))].min() > LEANS * subject.panel)


def _meeting(truss: Truss) -> set[JointId]:
    """Joints where members meet or end; purlin points on a stick are none."""
    members: dict[JointId, set[MemberId]] = {}
    for segment in truss.segments:
        members.setdefault(segment.first, set()).add(segment.member)
        members.setdefault(segment.last, set()).add(segment.member)
    ends = {joint for member in truss.members.values() for joint in (member.through[0], member.through[-1])}
    return ends | {joint for joint, meeting in members.items() if len(meeting) > 1}


def _stretches(truss: Truss, breaks: set[JointId]) -> tuple[Stretch, ...]:
    """Every stretch of every member, in document order."""
    return tuple(
        Stretch(name, first, last)
        for name, member in truss.members.items()
        for first, last in pairwise(joint for joint in member.through if joint in breaks)
    )


def _axes(xy: Array) -> list[float]:
    """Places where the axis may be: the middle of the truss and the commonest middles of joints of one height."""
    middles = (xy[:, None, 0] + xy[None, :, 0])[np.triu_indices(len(xy), k=1)] / 2
    size = float(np.ptp(xy, axis=0).max())
    binned = (middles / (size / 1000)).round()
    values, counts = np.unique(binned, return_counts=True)
    likely = values[np.argsort(-counts, kind="stable")[:3]]
    return [
        float((xy[:, 0].min() + xy[:, 0].max()) / 2),
        *(float(np.median(middles[binned == value])) for value in likely),
    ]


def _mirrored(xy: Array, axis: float) -> Array:
    """Distance from the mirror image of each joint to each joint."""
    image = np.column_stack((2 * axis - xy[:, 0], xy[:, 1]))
    gap = image[:, None, :] - xy[None, :, :]
    away: Array = np.hypot(gap[:, :, 0], gap[:, :, 1])
    return away
