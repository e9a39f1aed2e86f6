"""All rows of a drawing in space: those of the model space, then those of every copy of a block, as one table.

Copies are made by whole blocks at a time, so that two hundred thousand of them cost no more than as many lines.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from trussio.drawing.blocks import TOP

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from trussio.drawing.blocks import Placements
    from trussio.drawing.content import Content, Origin
    from trussio.drawing.layer_states import LayerStates


@dataclass(frozen=True, kw_only=True, eq=False)
class Rows:
    """Rows in space. `ends` (n, 2, 3); `conics` (m, 11) are centre, u, v, t0, t1 of the rows `conic_rows`.

    Numbers are those of `Names`, `path` those of `paths`; `entity` and `chain` are unlike for unlike copies.
    """

    ends: NDArray[np.float64]
    conics: NDArray[np.float64]
    conic_rows: NDArray[np.intp]
    entity: NDArray[np.int32]
    chain: NDArray[np.int32]
    closed: NDArray[np.bool_]
    kind: NDArray[np.int32]
    layer: NDArray[np.int32]
    linetype: NDArray[np.int32]
    path: NDArray[np.int32]
    hidden: NDArray[np.int32]
    handles: list[str]


@dataclass(frozen=True, kw_only=True, eq=False)
class Lent:
    """What the copies of a block lend to a thing inside it, resolved, one number for each copy."""

    layer: NDArray[np.int32]
    linetype: NDArray[np.int32]
    hidden: NDArray[np.int32]
    path: NDArray[np.int32]


@dataclass(frozen=True, kw_only=True, eq=False)
class Copies:
    """One block with all its copies. `paths` is where its paths begin; `entities` and `chains` where those do."""

    content: Content
    placements: Placements
    inside: bool
    paths: int
    entities: int
    chains: int

    @property
    def count(self) -> int:
        """How many copies there are."""
        return len(self.placements.paths)

    def lent(self, origin: Origin, states: LayerStates) -> Lent:
        """What each copy lends to a thing in the block."""
        held, count = self.placements, self.count
        lends = self.inside and bool(states.lent[origin.layer])
        layer = held.layer if lends else np.full(count, states.same[origin.layer], dtype=np.int32)
        return Lent(
            layer=layer,
            linetype=states.linetypes(np.full(count, origin.linetype, dtype=np.int32), layer, held.linetype),
            hidden=states.hidden(layer, np.full(count, origin.invisible), held.hidden),
            path=np.arange(self.paths, self.paths + count, dtype=np.int32),
        )

    def moved(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Points (m, 3) of the block where each copy has them, (copies, m, 3)."""
        if not self.inside:
            return points[None]
        matrices = self.placements.matrices
        moved: NDArray[np.float64] = self.turned(points) + matrices[:, None, 3, :3]
        return moved

    def turned(self, vectors: NDArray[np.float64]) -> NDArray[np.float64]:
        """Vectors (m, 3) of the block as each copy turns and stretches them, (copies, m, 3)."""
        if not self.inside:
            return vectors[None]
        turned: NDArray[np.float64] = np.einsum("mj,kji->kmi", vectors, self.placements.matrices[:, :3, :3])
        return turned


def all_copies(contents: dict[str, Content], placed: dict[str, Placements]) -> list[Copies]:
    """Every block with its copies, the model space first, each knowing where its numbers begin."""
    copies: list[Copies] = []
    paths = entities = chains = 0
    for key, content in contents.items():
        placements = placed[key]
        copies.append(
            Copies(
                content=content,
                placements=placements,
                inside=key != TOP,
                paths=paths,
                entities=entities,
                chains=chains,
            )
        )
        count = len(placements.paths)
        paths, entities = paths + count, entities + count * (content.seen + 1)
        chains += count * (content.chains + 1)
    return copies


def all_rows(copies: list[Copies], states: LayerStates) -> Rows:
    """One table of the rows of all copies."""
    parts = [_rows(block, states) for block in copies]
    starts = np.cumsum([0, *(len(part.handles) for part in parts)])
    conic_rows = [part.conic_rows + start for part, start in zip(parts, starts[:-1], strict=True)]
    return Rows(
        ends=np.concatenate([part.ends for part in parts]),
        conics=np.concatenate([part.conics for part in parts]),
        conic_rows=np.concatenate(conic_rows).astype(np.intp),
        entity=np.concatenate([part.entity for part in parts]),
        chain=np.concatenate([part.chain for part in parts]),
        closed=np.concatenate([part.closed for part in parts]),
        kind=np.concatenate([part.kind for part in parts]),
        layer=np.concatenate([part.layer for part in parts]),
        linetype=np.concatenate([part.linetype for part in parts]),
        path=np.concatenate([part.path for part in parts]),
        hidden=np.concatenate([part.hidden for part in parts]),
        handles=parts[0].handles if len(parts) == 1 else [handle for part in parts for handle in part.handles],
    )


def _rows(block: Copies, states: LayerStates) -> Rows:
    content, held, count = block.content, block.placements, block.count
    rows = len(content.handles)
    ends = np.array(content.ends, dtype=np.float64).reshape(-1, 2, 3)
    conics = np.array(content.conics, dtype=np.float64).reshape(-1, 11)
    conic_rows = np.array(content.conic_rows, dtype=np.intp)
    written = np.array(content.layer, dtype=np.int32)
    lent = states.lent[written] & block.inside

    def spread(column: list[int]) -> NDArray[np.int32]:
        return np.tile(np.array(column, dtype=np.int32), count)

    def by_copy(values: NDArray[np.int32]) -> NDArray[np.int32]:
        return np.repeat(values, rows)

    layer = np.where(np.tile(lent, count), by_copy(held.layer), np.tile(states.same[written], count))
    layer = layer.astype(np.int32)
    number = np.arange(count, dtype=np.int32)
    return Rows(
        ends=block.moved(ends.reshape(-1, 3)).reshape(-1, 2, 3),
        conics=_moved_conics(conics, held) if block.inside else conics,
        conic_rows=(np.arange(count)[:, None] * rows + conic_rows).reshape(-1),
        entity=spread(content.entity) + by_copy(block.entities + number * (content.seen + 1)),
        chain=spread(content.chain) + by_copy(block.chains + number * (content.chains + 1)),
        closed=np.tile(np.array(content.closed, dtype=bool), count),
        kind=spread(content.kind),
        layer=layer,
        linetype=states.linetypes(spread(content.linetype), layer, by_copy(held.linetype)),
        path=by_copy(block.paths + number),
        hidden=states.hidden(layer, np.tile(np.array(content.invisible, dtype=bool), count), by_copy(held.hidden)),
        handles=content.handles * count,
    )


def _moved_conics(conics: NDArray[np.float64], held: Placements) -> NDArray[np.float64]:
    turn, shift = held.matrices[:, :3, :3], held.matrices[:, 3, :3]
    arms = np.einsum("naj,kji->knai", conics[:, :9].reshape(-1, 3, 3), turn)
    arms[:, :, 0, :] += shift[:, None, :]
    angles = np.broadcast_to(conics[:, 9:], (len(turn), len(conics), 2))
    moved: NDArray[np.float64] = np.concatenate([arms.reshape(len(turn), len(conics), 9), angles], axis=2)
    return moved.reshape(-1, 11)
