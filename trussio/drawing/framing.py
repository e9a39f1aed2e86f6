"""What stands around the truss on a sheet: title above, panel lengths, legend and notes below."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.drawing.panels import panel_strip
from trussio.drawing.paper import Label, PenStroke, Sheet, corners, label_box, path, text_width

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.drawing.paper import Box
    from trussio.drawing.sheet_content import Content, Sample

LEAST_WIDE = 60.0
"""Modules that a sheet is wide at least, so that its title and legend can be read."""
TITLE, SAMPLE, MARGIN = 1.35, 3.4, 1.5
"""Letter height of the title, length of a sample line and the margin, in modules."""


class Extent(NamedTuple):
    """The upright rectangle around what is drawn."""

    left: float
    bottom: float
    right: float
    top: float


def framed(
    *,
    title: str,
    subtitle: Sequence[str],
    content: Content,
    strokes: Sequence[PenStroke],
    labels: Sequence[Label],
    left_out: tuple[str, ...],
    module: float,
) -> Sheet:
    """The finished sheet: the drawing in the middle, words above and below within its width."""
    inner = extent(strokes, labels, content.lines, module)
    if content.strip is not None:
        strip = panel_strip(content.strip, y=inner.bottom - 2.0 * module, module=module)
        strokes, labels = [*strokes, *strip.strokes], [*labels, *strip.labels]
        inner = extent(strokes, labels, content.lines, module)
    inner = _widened(inner, LEAST_WIDE * module)
    wide = (inner.right - inner.left) / module
    head, top = _lines_above(title, subtitle, inner, module, wide)
    samples, marks, y = _legend(content.samples, inner, module)
    notes = [*content.notes, *([f"No room on the sheet for: {', '.join(left_out)}."] if left_out else [])]
    words, bottom = _lines_below(notes, inner.left, y, module, wide)
    margin = MARGIN * module
    return Sheet(
        title=" · ".join((title, *subtitle[:1])),
        says=content.says,
        module=module,
        left=inner.left - margin,
        bottom=bottom - margin,
        right=inner.right + margin,
        top=top + margin,
        strokes=(*strokes, *samples),
        labels=(*head, *labels, *marks, *words),
        left_out=left_out,
    )


def extent(strokes: Iterable[PenStroke], labels: Iterable[Label], lines: Iterable[Box], module: float) -> Extent:
    """What strokes, labels and the pieces of curved sticks cover together."""
    xs, ys = [], []
    for stroke in strokes:
        xs += [vertex.x for vertex in stroke.vertices]
        ys += [vertex.y for vertex in stroke.vertices]
    for box in (*(label_box(label, module) for label in labels), *lines):
        for x, y in corners(box):
            xs.append(x)
            ys.append(y)
    return Extent(min(xs, default=0.0), min(ys, default=0.0), max(xs, default=0.0), max(ys, default=0.0))


def _widened(inner: Extent, least: float) -> Extent:
    lacking = max(0.0, least - (inner.right - inner.left)) / 2
    return inner._replace(left=inner.left - lacking, right=inner.right + lacking)


def _lines_above(
    title: str, subtitle: Sequence[str], inner: Extent, module: float, wide: float
) -> tuple[list[Label], float]:
    """Title and subtitle over the drawing, the last line nearest to it; and the top of them."""
    lines = [(line, TITLE, True) for line in wrapped(title, wide / TITLE, most=2)]
    lines += [(line, 1.0, False) for text in subtitle for line in wrapped(text, wide, most=2)]
    labels, y = [], inner.top + 1.6 * module
    for text, height, bold in reversed(lines):
        y += 0.75 * height * module
        labels.append(Label(text=text, x=inner.left, y=y, holds="note", height=height, anchor="start", bold=bold))
        y += 0.75 * height * module
    return labels[::-1], y


def _legend(samples: Sequence[Sample], inner: Extent, module: float) -> tuple[list[PenStroke], list[Label], float]:
    """Sample lines with their words, in as many rows as they need; and the height below them."""
    strokes, labels = [], []
    x, y = inner.left, inner.bottom - 2.0 * module
    for sample in samples:
        long = (SAMPLE + 0.8 + text_width(sample.text) + 2.0) * module
        if x > inner.left and x + long - 2.0 * module > inner.right:
            x, y = inner.left, y - 1.7 * module
        ends = ((x, y), (x + SAMPLE * module, y))
        strokes.append(PenStroke(vertices=path(ends), holds="note", pen=sample.pen, width=sample.width))
        start = x + (SAMPLE + 0.8) * module
        labels.append(Label(text=sample.text, x=start, y=y, holds="note", anchor="start"))
        x += long
    return strokes, labels, y - (1.7 * module if samples else 0.0)


def _lines_below(
    notes: Sequence[str], left: float, y: float, module: float, wide: float
) -> tuple[list[Label], float]:
    """Notes under the drawing, and the bottom of them."""
    labels = []
    for text in (line for note in notes for line in wrapped(note, wide / 0.95, most=4)):
        labels.append(Label(text=text, x=left, y=y, holds="note", height=0.95, anchor="start"))
        y -= 1.45 * module
    return labels, y + 0.7 * module


def wrapped(text: str, wide: float, *, most: int) -> list[str]:
    """A text in lines of `wide` letter heights, at most so many, the last cut with an ellipsis if it must be."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer) > wide:
            lines.append(word)
        else:
            lines[-1] = longer
    kept = [line for line in lines if line][:most]
    if len(lines) > most:
        kept[-1] += "…"
    return [_cut(line, wide) for line in kept]


def _cut(line: str, wide: float) -> str:
    """A line short enough, its end replaced by an ellipsis where it was too long."""
    if text_width(line) <= wide:
        return line
    while line and text_width(f"{line}…") > wide:
        line = line[:-1]
    return f"{line}…"
