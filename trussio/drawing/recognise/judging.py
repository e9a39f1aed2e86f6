"""Which connected parts of a sheet are trusses, and what the others are.

A truss has two chords that run from heel to heel without turning back, most joints on them, and some piece that
is neither level nor upright. Sizes of parts are compared with the largest truss found: a much smaller one is a
detail, not a second truss. Only parts with a loop and of a certain size are looked at closely, the widest first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import question
from trussio.drawing.heal.cells import distinct_numbers
from trussio.drawing.heal.ends import place
from trussio.drawing.heal.net import components
from trussio.drawing.recognise.frame import frame_of
from trussio.drawing.recognise.roles import recognised
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.heal.axes import Flags, Floats, Ints
    from trussio.drawing.heal.joining import Sticks
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.frame import Frame
    from trussio.drawing.recognise.roles import Recognised
    from trussio.model.change import Question

LEAST_SLENDERNESS: Final = 1.6
"""Span over height of a truss, at least."""
MISSING: Final = 2
MISSING_SHARE: Final = 0.1
"""So many segments may be missing of those that make a plane truss stiff, and for each joint this share more."""
MISSING_LEVEL: Final = 1
"""Of a truss with level chords no more may be missing: a gate or a shelf lacks most of its diagonals."""
FREE_SHARE: Final = 0.5
"""There are no more free ends than this share of the members."""
EQUAL: Final = 0.02
LEAST_RADIUS: Final = 0.3
"""The radius of a curved chord is at least this share of the span."""
TIGHT_SHARE: Final = 0.05
CHORD_SHARE: Final = 0.7
"""At least this share of its joints lies on the chords."""
RUNS_ON: Final = 1.3
"""Chords run on past joints: they have so many times as many segments as sticks, at least."""
LEAST_SPAN_INCHES: Final = 72.0
BACKWARD: Final = 0.02
"""A chord may run back by this share of the span (measured shapes)."""
DETAIL: Final = 0.5
"""A part whose span is smaller than this share of the widest truss is no truss of the same sheet."""
LARGER: Final = 1.3
"""A part so many times as wide as the widest truss, and no truss, is asked about."""
LEAST_MEMBERS: Final = 3
LEANING: Final = 0.05
MOST_JUDGED: Final = 48
"""Parts looked at closely; a sheet with more is a catalogue, and its further parts are only counted."""
MOST_TOLD: Final = 100
"""Parts that are no truss told one by one."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Judged:
    """Trusses, from above and from left to right; how many more parts look like one; and what the others are.

    `questions` ask about parts that are no truss and larger than those that are.
    """

    trusses: tuple[Recognised, ...]
    more: int
    others: tuple[Change, ...]
    questions: tuple[Question, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Sorts:
    """The part of each stick, and of each part its sticks, box and whether it can be a truss."""

    part: Ints
    low: Floats
    high: Floats
    likely: Flags

    @property
    def width(self) -> Floats:
        """Width of each part."""
        widths: Floats = self.high[:, 0] - self.low[:, 0]
        return widths


def judged(sticks: Sticks, reach: Reach, *, labelled: bool) -> Judged:
    """Every part judged; `labelled` tells that the drawing states sizes or speaks of trusses."""
    if not len(sticks):
        return Judged(trusses=(), more=0, others=())
    sorts = _sorts(sticks)
    rows_by_part = np.argsort(sorts.part, kind="stable")
    start = np.searchsorted(sorts.part[rows_by_part], np.arange(sorts.likely.size + 1))
    likely = np.flatnonzero(sorts.likely)
    likely = likely[np.argsort(-sorts.width[likely], kind="stable")]
    found: dict[int, Recognised] = {}
    for part in likely[:MOST_JUDGED].tolist():
        truss = recognised(frame_of(sticks.take(np.sort(rows_by_part[start[part] : start[part + 1]]))))
        if truss is not None and is_truss(truss, reach, labelled=labelled):
            found[part] = truss
    widest = max((truss.span for truss in found.values()), default=0.0)
    kept = {part: truss for part, truss in found.items() if truss.span >= DETAIL * widest}
    trusses = _in_rows(list(kept.values()))
    more = int((sorts.width[likely[MOST_JUDGED:]] >= DETAIL * widest).sum()) if kept else 0
    rest = [part for part in range(sorts.likely.size) if part not in kept]
    others = [
        _other(sticks, rows_by_part[start[part] : start[part + 1]], sorts.low[part], sorts.high[part])
        for part in rest[:MOST_TOLD]
    ]
    if len(rest) > MOST_TOLD:
        says = f"{len(rest) - MOST_TOLD} more parts that are no truss, or were not looked at, were set aside."
        others.append(Change(kind="set-aside", says=says))
    larger = (
        [part for part in likely[:MOST_JUDGED].tolist() if sorts.width[part] > LARGER * widest] if kept else []
    )
    return Judged(
        trusses=tuple(trusses),
        more=more,
        others=tuple(others),
        questions=tuple(_larger((sorts.low[part] + sorts.high[part]) / 2) for part in larger if part not in kept),
    )


def _in_rows(trusses: Sequence[Recognised]) -> list[Recognised]:
    """Trusses row by row from above, from left to right; one is in a row whose first it stands beside."""
    rows: list[list[Recognised]] = []
    for truss in sorted(trusses, key=lambda one: (-one.frame.box[3], one.frame.box[0])):
        middle = (truss.frame.box[1] + truss.frame.box[3]) / 2
        if rows and middle >= rows[-1][0].frame.box[1]:
            rows[-1].append(truss)
        else:
            rows.append([truss])
    return [truss for row in rows for truss in sorted(row, key=lambda one: one.frame.box[0])]


def _sorts(sticks: Sticks) -> Sorts:
    owner = sticks.owner
    count = len(sticks)
    label = components(count + len(sticks.nodes), owner, sticks.node + count)[:count]
    _, part = np.unique(label, return_inverse=True)
    part = part.reshape(-1)
    size = int(part.max()) + 1
    low, high = np.full((size, 2), np.inf), np.full((size, 2), -np.inf)
    spots = sticks.nodes[sticks.node]
    np.minimum.at(low, part[owner], spots)
    np.maximum.at(high, part[owner], spots)
    lines = np.bincount(part, minlength=size)
    edges = np.bincount(part[owner], minlength=size) - lines
    nodes = np.bincount(
        distinct_numbers(part[owner] * len(sticks.nodes) + sticks.node) // len(sticks.nodes), minlength=size
    )
    along = np.abs(sticks.nodes[sticks.node[sticks.start[1:] - 1]] - sticks.nodes[sticks.node[sticks.start[:-1]]])
    leaning = (along.min(axis=1) > LEANING * along.max(axis=1)) | (sticks.sweep != 0)
    leans = np.bincount(part, weights=leaning, minlength=size) > 0
    return Sorts(
        part=part,
        low=low,
        high=high,
        likely=(lines >= LEAST_MEMBERS) & (edges - nodes + 1 >= 1) & leans,
    )


def is_truss(truss: Recognised, reach: Reach, *, labelled: bool) -> bool:
    """Whether a part with an outline looks like a truss; a bare triangle does not, unless the drawing says so."""
    frame, outline = truss.frame, truss.outline
    core = distinct_numbers(np.concatenate((frame.one[frame.core], frame.other[frame.core])))
    height = float(np.ptp(frame.places[core, 1]))
    on_chords = distinct_numbers(np.concatenate((outline.upper, outline.lower))).size
    return (
        height > 0
        and truss.span >= LEAST_SPAN_INCHES * reach.inch
        and truss.span >= LEAST_SLENDERNESS * height
        and on_chords >= CHORD_SHARE * core.size
        and _forward(frame, outline.upper, truss.span)
        and _forward(frame, outline.lower, truss.span)
        and _bends_gently(truss)
        and truss.frame.free.size <= FREE_SHARE * len(truss.members)
        and not _shares_a_stick(truss)
        and ((_is_braced(truss, core.size) and _chords_run_on(truss)) or (labelled and _is_couple(truss)))
    )


def _is_braced(truss: Recognised, joints: int) -> bool:
    """Whether there are webs, and nearly as many segments as a plane truss needs: twice its joints, less three."""
    segments = int(truss.frame.core.sum())
    webs = sum(1 for part in truss.members.values() if part.role == "web")
    missing = MISSING_LEVEL if _is_level(truss) else MISSING + MISSING_SHARE * joints
    return webs > 0 and segments >= 2 * joints - 3 - missing


def _is_level(truss: Recognised) -> bool:
    """Whether both chords are level: then every panel is a rectangle that needs its diagonal."""
    ways = (truss.outline.upper, truss.outline.lower)
    return all(float(np.ptp(truss.frame.places[way, 1])) <= EQUAL * truss.span for way in ways)


def _shares_a_stick(truss: Recognised) -> bool:
    """Whether one stick is a piece of both chords, as the rim of a round shape is."""
    chords = [
        {row for part in truss.members.values() if part.role == role for row in part.sticks}
        for role in ("top-chord", "bottom-chord")
    ]
    return bool(chords[0] & chords[1])


def _chords_run_on(truss: Recognised) -> bool:
    """Whether the chords are sticks that run past joints, and no chance row of lines."""
    chords = [part for part in truss.members.values() if part.role in {"top-chord", "bottom-chord"}]
    segments = sum(len(part.through) - 1 for part in chords)
    return segments >= RUNS_ON * len(chords)


def _is_couple(truss: Recognised) -> bool:
    """Two equal rafters and a level tie, and nothing else."""
    if len(truss.members) != 3 or truss.outline.upper.size != 3 or truss.outline.lower.size != 2:
        return False
    left, apex, right = truss.frame.places[truss.outline.upper]
    sizes = np.hypot(*(apex - left)), np.hypot(*(apex - right))
    level = abs(right[1] - left[1]) <= EQUAL * truss.span
    return bool(level and abs(sizes[0] - sizes[1]) <= EQUAL * max(sizes))


def _bends_gently(truss: Recognised) -> bool:
    """Whether curved pieces are few, or of a radius that a chord can have."""
    sticks = truss.frame.sticks
    tight = (sticks.sweep != 0) & (sticks.radius < LEAST_RADIUS * truss.span)
    return bool(tight.sum() <= TIGHT_SHARE * len(sticks))


def _forward(frame: Frame, way: Ints, span: float) -> bool:
    """Whether a way runs from left to right without turning back."""
    x = frame.places[way, 0]
    return bool((np.maximum.accumulate(x) - x).max() <= BACKWARD * span)


def _larger(middle: Floats) -> Question:
    return question(
        "larger-part",
        "A part of the drawing is larger than the truss that was read, and was taken for no truss. Is it so?",
        taken="yes",
        options=("yes",),
        settle="Mend the larger part on the drawing if it is the truss, or leave it out.",
        where=place(middle),
    )


def _other(sticks: Sticks, rows: Ints, low: Floats, high: Floats) -> Change:
    """A part that is no truss, told with what it consists of."""
    x, y = ((low + high) / 2).tolist()
    count = rows.size
    return Change(
        kind="set-aside",
        says=f"A part of {count} {'line' if count == 1 else 'lines'} that is no truss was set aside.",
        where=(x, y),
        handles=tuple(dict.fromkeys(handle for row in rows.tolist() for handle in sticks.handles[row])),
    )
