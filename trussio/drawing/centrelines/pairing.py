"""Which edges belong to one member: parallels a plausible depth apart that run beside each other.

Best pairs first, each edge once. Three and more parallels within one member's depth are a built-up member: its
envelope is taken, and the surveyor is asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import headings, stations

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.drawing.heal.axes import Axes, Floats
    from trussio.drawing.heal.reach import Reach

LEAST_SPACING_INCHES: Final = 1.4
WIDEST_SPACING_INCHES: Final = 16.0
PARALLEL: Final = 0.5 * np.pi / 180
TAPERED: Final = 3.05 * np.pi / 180
LEAST_OVERLAP: Final = 0.5
SLENDER: Final = 1.3
"""A pair is at least so much longer than wide."""
DOUBLE_SHARE: Final = 0.3
"""A drawing may be by edges when this share of its line length has a partner."""
SURELY_EDGES: Final = 0.8
"""It is by edges when this share has one."""


@dataclass(frozen=True, kw_only=True)
class Bundle:
    """Edges of one member, across it; `spacing` between the outer ones, `turn` by which they taper."""

    rows: tuple[int, ...]
    spacing: float
    turn: float


@dataclass(frozen=True, kw_only=True)
class Pair:
    """Two edges that may be those of one member."""

    one: int
    other: int
    spacing: float
    turn: float
    overlap: float
    score: float


def pairs(axes: Axes, reach: Reach) -> list[Pair]:
    """Every plausible pair, best first."""
    found = [*_straight_pairs(axes, reach), *_arc_pairs(axes, reach)]
    return sorted(found, key=lambda pair: (-pair.score, pair.spacing, pair.one, pair.other))


def bundles(axes: Axes, found: list[Pair], reach: Reach) -> list[Bundle]:
    """Edges joined to members: each edge once, third and fourth parallels added to their pair."""
    taken: dict[int, int] = {}
    groups: list[list[int]] = []
    ends: list[Pair] = []
    for pair in found:
        if pair.one in taken or pair.other in taken:
            continue
        taken[pair.one] = taken[pair.other] = len(groups)
        groups.append([pair.one, pair.other])
        ends.append(pair)
    made = []
    for number, group in enumerate(groups):
        made.append(_bundle(axes, group, ends[number]))
    return _grown(axes, made, found, taken, reach)


def _grown(axes: Axes, made: list[Bundle], found: list[Pair], taken: dict[int, int], reach: Reach) -> list[Bundle]:
    """Bundles with the loose edges and the other bundles that lie beside them within one depth."""
    joined = list(range(len(made)))
    extra: dict[int, int] = {}
    for pair in found:
        if pair.turn > PARALLEL or pair.overlap < 0.8:
            continue
        one, other = taken.get(pair.one), taken.get(pair.other)
        if one is not None and other is not None and joined[one] != joined[other]:
            wide = _envelope(axes, [*made[one].rows, *made[other].rows])
            if wide <= WIDEST_SPACING_INCHES * reach.inch:
                keep, drop = sorted((joined[one], joined[other]))
                joined = [keep if group == drop else group for group in joined]
            continue
        for group, loose in ((one, pair.other), (other, pair.one)):
            if group is None or loose in taken:
                continue
            if _envelope(axes, [*made[group].rows, loose]) <= WIDEST_SPACING_INCHES * reach.inch:
                extra.setdefault(loose, group)
    groups: dict[int, list[int]] = {}
    for number, root in enumerate(joined):
        groups.setdefault(root, []).extend(made[number].rows)
    for loose, group in extra.items():
        groups[joined[group]].append(loose)
    return [
        made[root]
        if len(rows) == len(made[root].rows)
        else Bundle(rows=_across(axes, rows), spacing=_envelope(axes, rows), turn=made[root].turn)
        for root, rows in groups.items()
    ]


def _bundle(axes: Axes, rows: list[int], pair: Pair) -> Bundle:
    return Bundle(rows=_across(axes, rows), spacing=pair.spacing, turn=pair.turn)


def _offsets(axes: Axes, rows: list[int]) -> Floats:
    """Signed distance of edges from the first of them."""
    if axes.sweep[rows[0]]:
        radii: Floats = axes.radius[rows] - axes.radius[rows[0]]
        return radii
    middle = (axes.first[rows] + axes.last[rows]) / 2
    _, off = stations(axes, np.full(len(rows), rows[0]), middle)
    return off


def _across(axes: Axes, rows: list[int]) -> tuple[int, ...]:
    return tuple(rows[place] for place in np.argsort(_offsets(axes, rows), kind="stable").tolist())


def _envelope(axes: Axes, rows: list[int]) -> float:
    return float(np.ptp(_offsets(axes, rows)))


def _straight_pairs(axes: Axes, reach: Reach) -> Iterator[Pair]:
    rows = np.flatnonzero(axes.straight)
    ahead = headings(axes, rows, np.ones(rows.size, dtype=bool))
    lengths = axes.lengths[rows]
    for number, row in enumerate(rows.tolist()):
        later = np.arange(number + 1, rows.size)
        cross = ahead[number, 0] * ahead[later, 1] - ahead[number, 1] * ahead[later, 0]
        later = later[np.abs(cross) <= np.sin(TAPERED)]
        if not later.size:
            continue
        host = np.full(later.size, row)
        at_first, off_first = stations(axes, host, axes.first[rows[later]])
        at_last, off_last = stations(axes, host, axes.last[rows[later]])
        low, high = np.minimum(at_first, at_last), np.maximum(at_first, at_last)
        shared = np.minimum(high, lengths[number]) - np.maximum(low, 0.0)
        shorter, longer = np.minimum(lengths[later], lengths[number]), np.maximum(lengths[later], lengths[number])
        spacing = np.abs(_between(at_first, off_first, at_last, off_last, lengths[number]))
        fits = (
            (shared >= LEAST_OVERLAP * shorter)
            & (spacing >= LEAST_SPACING_INCHES * reach.inch)
            & (spacing <= WIDEST_SPACING_INCHES * reach.inch)
            & (shared >= SLENDER * spacing)
        )
        for place in np.flatnonzero(fits).tolist():
            sine = abs(ahead[number, 0] * ahead[later[place], 1] - ahead[number, 1] * ahead[later[place], 0])
            turn = float(np.arcsin(min(1.0, sine)))
            overlap = float(shared[place] / longer[place])
            yield Pair(
                one=row,
                other=int(rows[later[place]]),
                spacing=float(spacing[place]),
                turn=turn,
                overlap=overlap,
                score=overlap - 8 * turn - float(spacing[place]) / (200 * reach.inch),
            )


def _between(at_first: Floats, off_first: Floats, at_last: Floats, off_last: Floats, length: float) -> Floats:
    """Offset of the other edge halfway along the stretch that both share."""
    low, high = np.minimum(at_first, at_last), np.maximum(at_first, at_last)
    middle = (np.maximum(low, 0.0) + np.minimum(high, length)) / 2
    run = np.where(at_last == at_first, 1.0, at_last - at_first)
    found: Floats = off_first + (middle - at_first) / run * (off_last - off_first)
    return found


def _arc_pairs(axes: Axes, reach: Reach) -> Iterator[Pair]:
    rows = np.flatnonzero(~axes.straight)
    for number, row in enumerate(rows.tolist()):
        for other in rows[number + 1 :].tolist():
            apart = float(np.hypot(*(axes.centre[row] - axes.centre[other])))
            spacing = abs(float(axes.radius[row] - axes.radius[other]))
            low, high = LEAST_SPACING_INCHES * reach.inch, WIDEST_SPACING_INCHES * reach.inch
            if not low <= spacing <= high or apart > spacing / 2:
                continue
            at, _ = stations(axes, np.array([row, row]), np.stack((axes.first[other], axes.last[other])))
            length = float(axes.lengths[row])
            shared = min(float(at.max()), length) - max(float(at.min()), 0.0)
            overlap = shared / max(length, float(np.ptp(at)))
            if overlap >= LEAST_OVERLAP / 2:
                yield Pair(
                    one=row,
                    other=other,
                    spacing=spacing,
                    turn=0.0,
                    overlap=overlap,
                    score=overlap - apart / spacing / 10 - spacing / (200 * reach.inch),
                )
