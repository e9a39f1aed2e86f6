"""Which member a size label belongs to, by leader, by lying along the member, or by nearness.

Ranks: the tip of the text's leader lies on a member; the text runs along a member (within 3 degrees, no further
off than 2 1/2 text heights), or nearly so; the member is the nearest. A text that names a chord or a web keeps
to those. Within one rank two members whose distances differ by less than a fifth are a question.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from math import nan, pi
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.heal.axes import stations, tangents
from trussio.drawing.metric_sizes import either, stated_sizes
from trussio.drawing.sift.evidence import led, middle_line
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.heal.axes import Axes, Flags, Floats
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.records import Point, Text
    from trussio.drawing.sizes import SizeLabel
    from trussio.model.truss import Role

ALONG: Final = 3 * pi / 180
ALONG_ARC: Final = 6 * pi / 180
NEARLY_ALONG: Final = 9 * pi / 180
OFFSET_HEIGHTS: Final = 2.5
FAR_HEIGHTS: Final = 12.0
TRADE: Final = re.compile(r"\b(?:truss\w*|rafters?|chords?|tie[- ]?beam|king|queen|purlins?)\b", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class Label:
    """A text that states a size: the sizes it can mean, its depth, and the role that its words name.

    Text and depth are in base lengths.
    """

    text: Text
    sizes: tuple[SizeLabel, ...]
    depth: float
    role: Role | None

    @property
    def size(self) -> SizeLabel:
        """The size that the label is taken to mean."""
        return self.sizes[0]


def size_labels(texts: Iterable[Text], inch: float) -> list[Label]:
    """The texts, in base lengths, that state a size of a stick; one with a spacing names joists and is none.

    The depth of a doubtful one is not known.
    """
    metric = inch != 1.0
    read = [(text, stated_sizes(text.says, metric=metric)) for text in texts]
    found = [(text, sizes) for text, sizes in read if sizes and not any(size.spaced for size in sizes)]
    readings = [sizes for _, sizes in found]
    return [
        Label(
            text=text,
            sizes=sizes,
            depth=nan if sizes[0].metric == "doubtful" else depth_of(sizes[0], inch),
            role=_role(text.says),
        )
        for (text, _), sizes in zip(found, either(readings) if metric else readings, strict=True)
    ]


def speaks_of_trusses(texts: Iterable[Text]) -> bool:
    """Whether a text names a truss or the timbers of a roof, in English."""
    return any(TRADE.search(text.says) for text in texts)


def carried(labels: Sequence[Label], leaders: Sequence[tuple[Point, Point]]) -> list[Label]:
    """The labels, each with the tips of the leaders that end beside it."""
    if not labels or not leaders:
        return list(labels)
    texts = led([label.text for label in labels], leaders)
    return [replace(label, text=text) for label, text in zip(labels, texts, strict=True)]


def depth_of(size: SizeLabel, inch: float) -> float:
    """The depth that a size states, in base lengths."""
    return float(size.depth) * inch / (MM_PER_INCH if size.unit == "mm" else 1.0)


def mirrored(label: Label, x: float) -> Label:
    """The label as it would stand on the other half of a truss, about an upright line at x."""
    return replace(label, text=mirrored_text(label.text, x))


def mirrored_text(text: Text, x: float) -> Text:
    """A text as it would stand on the other side of an upright line at x."""
    return replace(
        text,
        at=(2 * x - text.at[0], text.at[1]),
        centre=(2 * x - text.centre[0], text.centre[1]),
        angle=pi - text.angle,
        tips=tuple((2 * x - tip[0], tip[1]) for tip in text.tips),
    )


def _role(says: str) -> Role | None:
    words = says.upper()
    if "CHORD" in words and "TOP" in words:
        return "top-chord"
    if "CHORD" in words and ("BOTTOM" in words or "BOT." in words):
        return "bottom-chord"
    return "web" if "WEB" in words else None


def stated_depths(axes: Axes, labels: Sequence[Label], reach: Reach) -> Floats:
    """The depth that a label states for each axis, nan where none does."""
    depths = np.full(len(axes), np.nan)
    for label in labels:
        for _, row in ranked_axes(axes, label.text, reach, np.ones(len(axes), dtype=bool))[:1]:
            depths[row] = np.fmax(depths[row], label.depth)
    return depths


def ranked_axes(axes: Axes, text: Text, reach: Reach, allowed: Flags) -> list[tuple[float, int]]:
    """Axes of the best rank that has any for a text, as distance and row, nearest first."""
    spots = middle_line(text)
    if text.tips:
        away = _distances(axes, text.tips)
        at_tip = allowed & (away <= max(text.height, reach.report))
        if at_tip.any():
            return _by_distance(away, at_tip)
    for within in (ALONG, NEARLY_ALONG):
        along = allowed & _runs_along(axes, text, within)
        if along.any():
            return _by_distance(_distances(axes, spots[2:3]), along)
    away = _distances(axes, spots)
    return _by_distance(away, allowed & (away <= FAR_HEIGHTS * text.height))


def _by_distance(away: Floats, chosen_rows: Flags) -> list[tuple[float, int]]:
    return sorted((float(away[row]), row) for row in np.flatnonzero(chosen_rows).tolist())


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


def _runs_along(axes: Axes, text: Text, within: float) -> Flags:
    rows = np.arange(len(axes))
    at, off = stations(axes, rows, np.repeat(np.array([text.centre]), len(axes), axis=0))
    ahead = tangents(axes, rows, at)
    angle = np.arctan2(ahead[:, 1], ahead[:, 0])
    apart = np.abs((angle - text.angle + np.pi / 2) % np.pi - np.pi / 2)
    close = apart <= np.where(axes.straight, within, max(within, ALONG_ARC))
    inside = (at >= 0) & (at <= axes.lengths)
    half = np.nan_to_num(axes.depth, nan=0.0) / 2
    found: Flags = close & inside & (np.abs(off) <= OFFSET_HEIGHTS * text.height + half)
    return found
