"""What one block, or the model space, draws: collected entity by entity, in its own coordinates and in space.

Terms: a *row* is a straight piece or an arc; a *sign* is anything else that is kept (text, mark, dimension,
leader); a *reference* puts a copy of another block here. Layers and line types are kept as written, since a copy
of a block may lend its own to what lies on layer 0 or asks for it.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Generic, Literal, TypeVar

import numpy as np

from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from trussio.drawing.records import Spot

What = TypeVar("What")

DEGENERATE: Final = "no extent"
SURFACE: Final = "surface or solid"
"""Reasons for which more than one reader sets things aside."""
MOST_CURVES: Final = 10_000
"""Splines and ellipses in one block or layout."""


class Numbering(dict[str, int]):
    """Numbers for names, given in the order in which they are first asked for."""

    def __missing__(self, name: str) -> int:
        number = self[name] = len(self)
        return number


@dataclass(frozen=True, kw_only=True)
class Names:
    """The names of layers, line types and entity types met so far, in all blocks of a drawing."""

    layers: Numbering = field(default_factory=Numbering)
    linetypes: Numbering = field(default_factory=Numbering)
    kinds: Numbering = field(default_factory=Numbering)


@dataclass(frozen=True, kw_only=True)
class Origin:
    """Where a sign comes from; the numbers are those of `Names`."""

    handle: str
    kind: int
    layer: int
    linetype: int
    invisible: bool


@dataclass(frozen=True, kw_only=True, eq=False)
class Sign(Generic[What]):
    """Something kept that is no row. `points` (n, 3) move with a copy, `vectors` (m, 3) only turn and stretch."""

    what: What
    origin: Origin
    points: NDArray[np.float64]
    vectors: NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Lettering:
    """A text. Points: insertion, lower left corner, tips. Vectors: along its width, up its whole height."""

    says: str
    height: float
    tag: str | None = None
    lost_bytes: bool = False


@dataclass(frozen=True, kw_only=True)
class Spotted:
    """A circle or point. Points: centre. Vectors of a circle: two radii at right angles."""

    circle: bool


@dataclass(frozen=True, kw_only=True)
class Filled:
    """A filled triangle, as a `solid` or a `hatch`. Points: its corners."""

    kind: Literal["solid", "hatch"]


@dataclass(frozen=True, kw_only=True)
class Measured:
    """A dimension. Points: the two measured between, the place of its text. Vectors: what lies between.

    `degrees` is the angle of an angular one.
    """

    kind: str
    says: str | None
    override: str | None
    factor: float
    degrees: float | None = None


@dataclass(frozen=True, kw_only=True)
class Pointer:
    """A leader. Points: tip, tail. `carries` is the handle of the text that it leads to."""

    carries: str | None


@dataclass(frozen=True, kw_only=True, eq=False)
class Reference:
    """A block put here. `matrix` (4, 4) maps its coordinates to these, row vectors from the left.

    `repeats` counts rows and columns of an array, `steps` (2, 3) leads from row to row and column to column.
    """

    block: str
    origin: Origin
    matrix: NDArray[np.float64]
    steps: NDArray[np.float64]
    repeats: tuple[int, int]
    at: Spot
    scale: tuple[float, float]

    @property
    def count(self) -> int:
        """How many copies it stands for."""
        return self.repeats[0] * self.repeats[1]


@dataclass(frozen=True, kw_only=True, eq=False)
class Smooth:
    """A curve that is no conic, as points (n, 3) along it; it becomes an arc where it is one.

    `anchors` (m, 3) are the points that someone drew it through, none where the file does not say.
    """

    points: NDArray[np.float64]
    anchors: NDArray[np.float64]
    origin: Origin
    entity: int
    chain: int
    closed: bool


@dataclass(frozen=True, kw_only=True)
class Damaged:
    """An entity that could not be read, and why."""

    kind: str
    handle: str
    layer: str
    reason: str


@dataclass(kw_only=True)
class Content:
    """Rows and signs of one block or layout; lists are filled by the readers of `entities`.

    `ends` holds six numbers for each row, `conics` eleven for each arc (centre, u, v, t0, t1) and `conic_rows` its
    row. `seen` counts entities, `extended` those with data of other programs, `aside` those set aside, by reason
    and type; `tables` are tables by handle, with how many texts were read in each; `chains` numbers what draws
    rows.
    """

    ends: list[float] = field(default_factory=list)
    entity: list[int] = field(default_factory=list)
    chain: list[int] = field(default_factory=list)
    kind: list[int] = field(default_factory=list)
    layer: list[int] = field(default_factory=list)
    linetype: list[int] = field(default_factory=list)
    invisible: list[bool] = field(default_factory=list)
    closed: list[bool] = field(default_factory=list)
    handles: list[str] = field(default_factory=list)
    conic_rows: list[int] = field(default_factory=list)
    conics: list[Sequence[float]] = field(default_factory=list)
    smooth: list[Smooth] = field(default_factory=list)
    texts: list[Sign[Lettering]] = field(default_factory=list)
    spots: list[Sign[Spotted]] = field(default_factory=list)
    fills: list[Sign[Filled]] = field(default_factory=list)
    dimensions: list[Sign[Measured]] = field(default_factory=list)
    pointers: list[Sign[Pointer]] = field(default_factory=list)
    tables: list[tuple[str, int]] = field(default_factory=list)
    references: list[Reference] = field(default_factory=list)
    damaged: list[Damaged] = field(default_factory=list)
    aside: Counter[tuple[str, str]] = field(default_factory=Counter)
    seen: int = 0
    extended: int = 0
    chains: int = 0

    @property
    def size(self) -> int:
        """How much a copy of this alone weighs: its entities or its rows, whichever are more."""
        points = sum(len(curve.points) for curve in self.smooth)
        return max(self.seen, len(self.handles) + points, 1)

    def add_row(self, origin: Origin, ends: Sequence[float], *, closed: bool = False) -> int:
        """Add a straight piece, or an arc whose conic follows; gives its row."""
        self.ends += ends
        self.entity.append(self.seen)
        self.chain.append(self.chains)
        self.kind.append(origin.kind)
        self.layer.append(origin.layer)
        self.linetype.append(origin.linetype)
        self.invisible.append(origin.invisible)
        self.closed.append(closed)
        self.handles.append(origin.handle)
        return len(self.handles) - 1

    def add_rows(self, origin: Origin, ends: NDArray[np.float64], *, closed: bool) -> int:
        """Add the pieces (n, 2, 3) of one chain; gives the first of their rows."""
        first, count = len(self.handles), len(ends)
        self.ends += ends.reshape(-1).tolist()
        self.entity += [self.seen] * count
        self.chain += [self.chains] * count
        self.kind += [origin.kind] * count
        self.layer += [origin.layer] * count
        self.linetype += [origin.linetype] * count
        self.invisible += [origin.invisible] * count
        self.closed += [closed] * count
        self.handles += [origin.handle] * count
        return first

    def add_conics(self, rows: NDArray[np.intp], conics: NDArray[np.float64]) -> None:
        """Say that rows are arcs, with their conics (n, 11)."""
        self.conic_rows += rows.tolist()
        self.conics += conics.tolist()

    def add_smooth(
        self,
        origin: Origin,
        points: NDArray[np.float64],
        *,
        closed: bool,
        anchors: NDArray[np.float64] | None = None,
    ) -> None:
        """Add a curve as points along it.

        Raises UnreadableError `too-many-curves`.
        """
        if len(self.smooth) == MOST_CURVES:
            raise too_many_curves(origin.handle)
        through = np.empty((0, 3)) if anchors is None else anchors
        self.smooth.append(
            Smooth(
                points=points,
                anchors=through,
                origin=origin,
                entity=self.seen,
                chain=self.chains,
                closed=closed,
            )
        )

    def add_conic(self, row: int, conic: Sequence[float]) -> None:
        """Say that a row is an arc."""
        self.conic_rows.append(row)
        self.conics.append(conic)


def too_many_curves(handle: str) -> UnreadableError:
    """The refusal of a drawing with more splines and elliptical arcs than can be read in good time."""
    return UnreadableError(
        "too-many-curves",
        where=handle,
        what=f"The drawing holds more than {MOST_CURVES:,} splines and parts of ellipses.",
        do="Delete what is no part of the truss, and save again.",
    )


def origin_of(kind: str, attributes: Mapping[str, object], names: Names) -> Origin:
    """Where an entity comes from, by the attributes that stand in the file."""
    return Origin(
        handle=str(attributes.get("handle") or ""),
        kind=names.kinds[kind],
        layer=names.layers[str(attributes.get("layer", "0"))],
        linetype=names.linetypes[str(attributes.get("linetype", "BYLAYER")).upper()],
        invisible=bool(attributes.get("invisible", 0)),
    )


def spots(*places: Sequence[float]) -> NDArray[np.float64]:
    """Places or directions as an array (n, 3)."""
    return np.array([tuple(place) for place in places], dtype=np.float64).reshape(-1, 3)
