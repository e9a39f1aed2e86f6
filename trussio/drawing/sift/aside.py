"""Lines set aside: which, and as what. Every group is told, so that nothing is dropped in silence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from trussio.drawing.heal.ends import place
from trussio.drawing.heal.net import merged
from trussio.model.change import Change

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.drawing.heal.axes import Axes
    from trussio.drawing.records import Point

Reason = Literal[
    "block or plate",
    "border or table",
    "break line",
    "centre line",
    "cloud",
    "dimension line",
    "end cap",
    "hatch",
    "layer without members",
    "leader",
    "lettering",
    "lone line",
    "other part",
    "other status",
    "support symbol",
    "user's map",
]


@dataclass(frozen=True, kw_only=True)
class Aside:
    """Axes, by row, that are no members, and as what; `where` is their place, where that is not their middle."""

    reason: Reason
    rows: tuple[int, ...]
    where: Point | None = None


def told(axes: Axes, groups: Iterable[Aside]) -> list[Change]:
    """One change for each group."""
    return [
        Change(
            kind="set-aside",
            says=f"{len(group.rows)} {'line' if len(group.rows) == 1 else 'lines'} set aside: {group.reason}.",
            where=group.where
            or place((axes.first[list(group.rows)] + axes.last[list(group.rows)]).mean(axis=0) / 2),
            handles=merged(*(axes.handles[row] for row in group.rows)),
        )
        for group in groups
    ]


def rows_of(groups: Iterable[Aside]) -> set[int]:
    """Every row that a group names."""
    return {row for group in groups for row in group.rows}


def angles(axes: Axes) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Direction of each axis from end to end, from 0 up to pi."""
    along = axes.last - axes.first
    turned: np.ndarray[tuple[int], np.dtype[np.float64]] = np.mod(np.arctan2(along[:, 1], along[:, 0]), np.pi)
    return turned
