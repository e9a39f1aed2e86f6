"""What a drawing holds once its file format is out of the way: strokes, marks, texts, dimensions and counts.

Terms: a *stroke* is a straight piece or a true arc; a *chain* is the run of strokes that one entity draws, so
that its inner points are vertices and not joints; a *mark* is a point, circle or block reference that draws no
line of its own; an entity is *set aside* when it can be no member, with the reason counted. The *plane* is the
one that the drawing was made in, x right and y up; all coordinates are drawing units in that plane, less the
origin of `Frame`. Angles in radians, counter-clockwise. Strokes are kept by columns: a drawing of a
hundred thousand lines is read in the time that as many records would take to be made.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.model.change import Change, Question

Point = tuple[float, float]
Spot = tuple[float, float, float]
"""A place or a direction in the drawing's own space."""

Hidden = Literal["", "layer off", "layer frozen", "invisible"]
HIDDEN: tuple[Hidden, ...] = ("", "layer off", "layer frozen", "invisible")


@dataclass(frozen=True, kw_only=True)
class Stroke:
    """One row of `Strokes`. `centre` is None for a straight piece, whose radius is infinite and sweep 0."""

    first: Point
    last: Point
    centre: Point | None
    radius: float
    sweep: float
    residual: float
    chain: int
    closed: bool
    handle: str
    kind: str
    layer: str
    linetype: str
    path: str
    hidden: Hidden


@dataclass(frozen=True, kw_only=True, eq=False)
class Strokes:
    """Straight pieces and true arcs, one row each, in the order of the drawing.

    `first` and `last` (n, 2) are the ends; `centre` (n, 2) is nan, `radius` inf and `sweep` 0 for a straight
    piece; `sweep` is the turn from first to last, positive counter-clockwise. `residual` is how far the drawn
    curve (spline, ellipse) stands off the stroke at most, 0 where the stroke is exact. `chain` numbers the
    entity copy that drew the stroke; rows of one chain stand together and in order, and `closed` tells that the
    chain is an outline. `handles` gives the DXF entity (inside a block, that of the block's entity). `kind`,
    `layer`, `linetype` and `path` are numbers into the tuple of the same name in the plural: DXF type; layer
    name; line type resolved through layer and block, upper case; block references on the way, empty in model
    space, as `TRUSS[2A]/WEB[3F]` (name and handle). `hidden` is a number into `HIDDEN`.
    """

    first: NDArray[np.float64]
    last: NDArray[np.float64]
    centre: NDArray[np.float64]
    radius: NDArray[np.float64]
    sweep: NDArray[np.float64]
    residual: NDArray[np.float64]
    chain: NDArray[np.int32]
    closed: NDArray[np.bool_]
    kind: NDArray[np.int32]
    layer: NDArray[np.int32]
    linetype: NDArray[np.int32]
    path: NDArray[np.int32]
    hidden: NDArray[np.int32]
    handles: tuple[str, ...]
    kinds: tuple[str, ...]
    layers: tuple[str, ...]
    linetypes: tuple[str, ...]
    paths: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.handles)

    @property
    def straight(self) -> NDArray[np.bool_]:
        """Which rows are straight pieces, (n,)."""
        turned: NDArray[np.bool_] = self.sweep != 0.0
        return ~turned

    @property
    def lengths(self) -> NDArray[np.float64]:
        """Length of each stroke along itself, (n,)."""
        lengths: NDArray[np.float64] = np.hypot(*(self.last - self.first).T)
        curved = ~self.straight
        lengths[curved] = self.radius[curved] * np.abs(self.sweep[curved])
        return lengths

    def row(self, index: int) -> Stroke:
        """One stroke as a record."""
        straight = self.sweep[index] == 0.0
        return Stroke(
            first=_point(self.first[index]),
            last=_point(self.last[index]),
            centre=None if straight else _point(self.centre[index]),
            radius=float(self.radius[index]),
            sweep=float(self.sweep[index]),
            residual=float(self.residual[index]),
            chain=int(self.chain[index]),
            closed=bool(self.closed[index]),
            handle=self.handles[index],
            kind=self.kinds[self.kind[index]],
            layer=self.layers[self.layer[index]],
            linetype=self.linetypes[self.linetype[index]],
            path=self.paths[self.path[index]],
            hidden=HIDDEN[self.hidden[index]],
        )

    def take(self, rows: NDArray[np.bool_] | NDArray[np.intp]) -> Strokes:
        """The rows that a mask or a list of numbers names, in that order; names and numbers stay."""
        chosen = np.flatnonzero(rows) if rows.dtype == np.bool_ else rows
        return Strokes(
            first=self.first[chosen],
            last=self.last[chosen],
            centre=self.centre[chosen],
            radius=self.radius[chosen],
            sweep=self.sweep[chosen],
            residual=self.residual[chosen],
            chain=self.chain[chosen],
            closed=self.closed[chosen],
            kind=self.kind[chosen],
            layer=self.layer[chosen],
            linetype=self.linetype[chosen],
            path=self.path[chosen],
            hidden=self.hidden[chosen],
            handles=tuple(self.handles[index] for index in chosen),
            kinds=self.kinds,
            layers=self.layers,
            linetypes=self.linetypes,
            paths=self.paths,
        )


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A point, a circle, a filled triangle (`solid` or `hatch`, with its `corners`), or a block reference.

    `radius` is that of a circle, 0 otherwise. A circle is a mark and no stroke. A block reference
    is a mark besides the strokes inside it: `block` is its name, `angle` and `scale` how it was placed, and
    `box` (left, bottom, right, top) what it draws, None where it draws nothing.
    """

    kind: Literal["circle", "point", "block", "solid", "hatch"]
    at: Point
    radius: float
    handle: str
    layer: str
    linetype: str
    path: str
    hidden: Hidden
    block: str | None = None
    angle: float = 0.0
    scale: tuple[float, float] = (1.0, 1.0)
    box: tuple[float, float, float, float] | None = None
    corners: tuple[Point, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Text:
    """A text as a person reads it: every code decoded, lines parted by a line feed, stacks as `2 1/2`.

    `at` is where it was placed, `centre` the middle of what it covers, `width` the length of its longest line
    (estimated from the height where the file does not say), `angle` that of its base line. `tips`
    are the arrow tips of a leader that carries it. `tag` is the name of an attribute. `kind` is the DXF type.
    """

    says: str
    at: Point
    centre: Point
    height: float
    width: float
    angle: float
    handle: str
    kind: str
    layer: str
    path: str
    hidden: Hidden
    tips: tuple[Point, ...] = ()
    tag: str | None = None


@dataclass(frozen=True, kw_only=True)
class Dimension:
    """A dimension: what it says, and what lies between its definition points.

    `says` is the text as shown, decoded, the measured value put in for `<>`; None where the text was
    suppressed or the file holds no text at all. `override` is the raw text that someone typed over the measured
    one, None where nobody did. `measured` is computed from the definition points, in drawing units (degrees for
    `angular`), never from the stored value. `factor` is the length factor of the style or of the dimension
    itself (DIMLFAC), 1 where none stands. `points` are the two points measured between.
    """

    kind: Literal["linear", "aligned", "radius", "diameter", "angular", "ordinate", "arc"]
    says: str | None
    override: str | None
    measured: float
    factor: float
    points: tuple[Point, Point]
    at: Point
    handle: str
    layer: str
    path: str
    hidden: Hidden


@dataclass(frozen=True, kw_only=True)
class Leader:
    """A leader line without a text of its own: `tip` is at the arrow, `tail` where a text would stand."""

    tip: Point
    tail: Point
    handle: str
    layer: str
    path: str = ""
    hidden: Hidden = ""


@dataclass(frozen=True, kw_only=True)
class SetAside:
    """How many entities of one DXF type were set aside for one reason."""

    reason: str
    kind: str
    count: int


@dataclass(frozen=True, kw_only=True)
class Header:
    """What the file says of itself, as it stands in the file: None where the variable is absent.

    `insunits` and `measurement` are $INSUNITS and $MEASUREMENT, `lunits` how lengths are shown ($LUNITS: 2
    decimal, 3 engineering, 4 architectural), `version` $ACADVER, `codepage` $DWGCODEPAGE. `recovered` tells that
    the file was damaged and read all the same.
    """

    insunits: int | None
    measurement: int | None
    lunits: int | None
    version: str
    codepage: str | None
    recovered: bool = False


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Where the plane of the linework lies in the drawing: `origin` plus u times `right` plus v times `up`."""

    origin: Spot = (0.0, 0.0, 0.0)
    right: Spot = (1.0, 0.0, 0.0)
    up: Spot = (0.0, 1.0, 0.0)

    def in_drawing(self, place: Point) -> Spot:
        """A place of the plane in the drawing's own coordinates, where a drafter finds it."""
        x, y, z = (
            start + place[0] * along + place[1] * upward
            for start, along, upward in zip(self.origin, self.right, self.up, strict=True)
        )
        return (x, y, z)


@dataclass(frozen=True, kw_only=True, eq=False)
class Linework:
    """A drawing as strokes, marks, texts and dimensions, with everything accounted for.

    `strokes` are what the next step reads. `hidden` are strokes of layers switched off or frozen and of invisible
    entities: not among `strokes` unless they were so many that a question stands, with `hidden` set in their rows
    (`hidden` is empty then). `seen` counts the entities of model space and of every block copy opened,
    `used` those that became strokes, marks, texts, dimensions, leaders or opened block references; `seen` is
    `used` plus the counts in `set_aside`. Changes and questions give places in this plane.
    """

    name: str
    header: Header
    frame: Frame
    strokes: Strokes
    hidden: Strokes
    marks: tuple[Mark, ...]
    texts: tuple[Text, ...]
    dimensions: tuple[Dimension, ...]
    leaders: tuple[Leader, ...]
    set_aside: tuple[SetAside, ...]
    seen: int
    used: int
    changes: tuple[Change, ...]
    questions: tuple[Question, ...]


@dataclass(frozen=True, kw_only=True)
class Scale:
    """What length one drawing unit is.

    `inches` and `mm` are real lengths of one drawing unit, `unit` its name (`inch`, `mm`), at a plot scale
    (`inch at 1:24`) or in inches (`unit of 1.55 inches`). `rests_on` says what decided, `says` the whole reason in
    words.
    """

    inches: float
    unit: str
    rests_on: Literal["the user", "the header", "dimensions", "plausibility"]
    says: str
    changes: tuple[Change, ...] = ()
    questions: tuple[Question, ...] = ()

    @property
    def mm(self) -> float:
        """Real millimetres of one drawing unit."""
        return self.inches * MM_PER_INCH


def _point(pair: NDArray[np.float64]) -> Point:
    return (float(pair[0]), float(pair[1]))
