"""Texts, marks, dimensions and leaders put into the plane of the drawing, one for each copy of their block."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2
from typing import TYPE_CHECKING, Generic, Literal, cast

import numpy as np

from trussio.drawing.annotations import LINE_SPACING
from trussio.drawing.blocks import key_of
from trussio.drawing.boxes import Boxes, carried, steps_of
from trussio.drawing.content import Sign, What
from trussio.drawing.plane import along_plane, in_plane
from trussio.drawing.records import HIDDEN, Dimension, Leader, Mark, Text

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from numpy.typing import NDArray

    from trussio.drawing.content import Content, Filled, Lettering, Measured, Pointer, Reference, Spotted
    from trussio.drawing.layer_states import LayerStates
    from trussio.drawing.records import Frame, Hidden, Point
    from trussio.drawing.rows import Copies

Kind = Literal["linear", "aligned", "radius", "diameter", "angular", "ordinate", "arc"]


@dataclass(frozen=True, kw_only=True)
class Spelling:
    """The names behind the numbers, as people read them."""

    kinds: tuple[str, ...]
    layers: tuple[str, ...]
    linetypes: tuple[str, ...]
    paths: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Signs:
    """All signs of a drawing; `lost_bytes` are the handles of texts that the code page could not hold."""

    marks: tuple[Mark, ...]
    texts: tuple[Text, ...]
    dimensions: tuple[Dimension, ...]
    leaders: tuple[Leader, ...]
    lost_bytes: tuple[str, ...]


def place_signs(
    contents: Mapping[str, Content],
    copies: list[Copies],
    states: LayerStates,
    frame: Frame,
    spelling: Spelling,
) -> Signs:
    """Every sign of every copy; a leader that carries a text gives it its tip and is no leader of its own."""
    placing = _Placing(copies, states, frame, spelling)
    marks = [_mark(put) for put in placing.every(lambda content: content.spots)]
    marks += [_fill(put) for put in placing.every(lambda content: content.fills)]
    marks += placing.references(Boxes(contents))
    texts = [_text(put) for put in placing.every(lambda content: content.texts)]
    dimensions = [_dimension(put) for put in placing.every(lambda content: content.dimensions)]
    texts, leaders = _led(texts, list(placing.every(lambda content: content.pointers)))
    lost = {
        sign.origin.handle: None for content in contents.values() for sign in content.texts if sign.what.lost_bytes
    }
    return Signs(
        marks=tuple(marks),
        texts=tuple(texts),
        dimensions=tuple(dimensions),
        leaders=tuple(leaders),
        lost_bytes=tuple(lost),
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class _Put(Generic[What]):
    """A sign of one copy: its points and vectors in the plane, and the names of what it lies on."""

    what: What
    points: NDArray[np.float64]
    vectors: NDArray[np.float64]
    handle: str
    kind: str
    layer: str
    linetype: str
    path: str
    hidden: Hidden

    def at(self, index: int) -> Point:
        """One of its points."""
        return _pair(self.points[index])


class _Placing:
    """Puts signs into the plane, block by block and copy by copy."""

    def __init__(self, copies: list[Copies], states: LayerStates, frame: Frame, spelling: Spelling) -> None:
        self._copies, self._states, self._frame, self._spelling = copies, states, frame, spelling

    def every(self, pick: Callable[[Content], Sequence[Sign[What]]]) -> Iterator[_Put[What]]:
        """Each sign of one sort, in each copy of its block."""
        for block in self._copies:
            for sign in pick(block.content):
                yield from self._put(block, sign)

    def references(self, boxes: Boxes) -> Iterator[Mark]:
        """A mark for each copy that a block reference makes."""
        for block in self._copies:
            for reference in block.content.references:
                corners = carried(boxes.of(key_of(reference.block)), reference)
                at_first = np.vstack([np.array(reference.at), corners])
                each = at_first + steps_of(reference)[:, None]
                sign = Sign(
                    what=reference,
                    origin=reference.origin,
                    points=each.reshape(-1, 3),
                    vectors=reference.matrix[:1, :3],
                )
                for put in self._put(block, sign):
                    for points in put.points.reshape(len(each), -1, 2):
                        yield _reference(put, points)

    def _put(self, block: Copies, sign: Sign[What]) -> Iterator[_Put[What]]:
        lent, names = block.lent(sign.origin, self._states), self._spelling
        points = in_plane(block.moved(sign.points), self._frame)
        vectors = along_plane(block.turned(sign.vectors), self._frame)
        for copy in range(block.count):
            yield _Put(
                what=sign.what,
                points=points[copy],
                vectors=vectors[copy],
                handle=sign.origin.handle,
                kind=names.kinds[sign.origin.kind],
                layer=names.layers[lent.layer[copy]],
                linetype=names.linetypes[lent.linetype[copy]],
                path=names.paths[lent.path[copy]],
                hidden=HIDDEN[lent.hidden[copy]],
            )


def _fill(put: _Put[Filled]) -> Mark:
    corners = tuple(_pair(corner) for corner in put.points)
    return Mark(
        kind=put.what.kind,
        at=_pair(put.points.mean(axis=0)),
        radius=0.0,
        handle=put.handle,
        layer=put.layer,
        linetype=put.linetype,
        path=put.path,
        hidden=put.hidden,
        corners=corners,
    )


def _mark(put: _Put[Spotted]) -> Mark:
    arms = np.hypot(*put.vectors.T) if put.what.circle else np.zeros(1)
    return Mark(
        kind="circle" if put.what.circle else "point",
        at=put.at(0),
        radius=float(arms.mean()),
        handle=put.handle,
        layer=put.layer,
        linetype=put.linetype,
        path=put.path,
        hidden=put.hidden,
    )


def _reference(put: _Put[Reference], points: NDArray[np.float64]) -> Mark:
    box = points[1:]
    low, high = (box.min(axis=0), box.max(axis=0)) if len(box) else (None, None)
    return Mark(
        kind="block",
        at=_pair(points[0]),
        radius=0.0,
        handle=put.handle,
        layer=put.layer,
        linetype=put.linetype,
        path=put.path,
        hidden=put.hidden,
        block=put.what.block,
        angle=_angle(put.vectors[0]),
        scale=put.what.scale,
        box=None if low is None or high is None else (*_pair(low), *_pair(high)),
    )


def _text(put: _Put[Lettering]) -> Text:
    along, up = put.vectors
    # A mirrored text reads from its other end: its base line runs as if it were written anew in its place.
    reads = -along if along[0] * up[1] - along[1] * up[0] < 0 else along
    tall = float(np.hypot(*up))
    lines = put.what.says.count("\n")
    return Text(
        says=put.what.says,
        at=put.at(0),
        centre=_pair(put.points[1] + (along + up) / 2),
        height=tall / (1 + LINE_SPACING * lines),
        width=float(np.hypot(*along)),
        angle=_angle(reads),
        handle=put.handle,
        kind=put.kind,
        layer=put.layer,
        path=put.path,
        hidden=put.hidden,
        tips=tuple(_pair(tip) for tip in put.points[2:]),
        tag=put.what.tag,
    )


def _dimension(put: _Put[Measured]) -> Dimension:
    what = put.what
    measured = what.degrees if what.degrees is not None else float(np.hypot(*put.vectors[0]))
    return Dimension(
        kind=cast("Kind", what.kind),
        says=what.says,
        override=what.override,
        measured=measured,
        factor=what.factor,
        points=(put.at(0), put.at(1)),
        at=put.at(2),
        handle=put.handle,
        layer=put.layer,
        path=put.path,
        hidden=put.hidden,
    )


def _led(texts: list[Text], pointers: list[_Put[Pointer]]) -> tuple[list[Text], list[Leader]]:
    carried = {(text.handle, text.path): index for index, text in enumerate(texts)}
    leaders = []
    for put in pointers:
        index = carried.get((put.what.carries or "", put.path))
        if index is None:
            leader = Leader(
                tip=put.at(0),
                tail=put.at(1),
                handle=put.handle,
                layer=put.layer,
                path=put.path,
                hidden=put.hidden,
            )
            leaders.append(leader)
        else:
            texts[index] = replace(texts[index], tips=(*texts[index].tips, put.at(0)))
    return texts, leaders


def _angle(vector: NDArray[np.float64]) -> float:
    return atan2(float(vector[1]), float(vector[0]))


def _pair(vector: NDArray[np.float64]) -> Point:
    return (float(vector[0]), float(vector[1]))
