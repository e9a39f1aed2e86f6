"""Opens the blocks that a drawing refers to: counts every copy before one is made, then says where each stands.

A file of thirty kilobytes can ask for ten thousand million lines, a block can hold itself, and two thousand
blocks can be nested in each other. So what a block weighs is found by multiplication, once for each block.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.content import Damaged
from trussio.drawing.entities import read_content
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.blocklayout import BlockLayout
    from numpy.typing import NDArray

    from trussio.drawing.content import Content, Names, Reference
    from trussio.drawing.layer_states import LayerStates

MOST_COPIES: Final = 200_000
"""Entities and pieces that block references may stand for, all together."""
DEEPEST: Final = 16
"""Block references inside one another."""
TOP: Final = ""
"""Key of the model space among the contents."""

_ASIDE: Final = (("*X", "hatch"), ("*D", "dimension"), ("*T", "table"))
"""Blocks without a name of their own that old drawings keep such things in."""


@dataclass(frozen=True, kw_only=True)
class Opened:
    """The model space and every block that it leads to, each once, in an order in which none precedes its users.

    `missing` lists references to blocks that the file does not hold.
    """

    contents: dict[str, Content]
    missing: tuple[Damaged, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class Placements:
    """Where the copies of one block stand: maps (n, 4, 4) with row vectors from the left, and what they lend.

    `layer`, `linetype` and `hidden` (of everything inside) are resolved, numbers as in `Names` and HIDDEN; `paths`
    are the references on the way.
    """

    matrices: NDArray[np.float64]
    layer: NDArray[np.int32]
    linetype: NDArray[np.int32]
    hidden: NDArray[np.int32]
    paths: list[str]


def open_blocks(top: Content, drawing: Drawing, names: Names) -> Opened:
    """Read every block that the model space leads to.

    Raises UnreadableError `cyclic-block`, `blocks-too-deep`, `too-many-copies` or `external-reference`.
    """
    opening = _Opening(drawing, names)
    opening.contents[TOP] = top
    opening.open(TOP, top, ())
    heaviest = max(top.references, key=opening.weight_of, default=None)
    if heaviest is not None and sum(map(opening.weight_of, top.references)) > MOST_COPIES:
        raise UnreadableError(
            "too-many-copies",
            where=_named(heaviest),
            what=f"The block references stand for {_about(sum(map(opening.weight_of, top.references)))} entities; "
            f"this one alone for {_about(opening.weight_of(heaviest))}. The limit is {MOST_COPIES:,}.",
            do="Delete what is no part of the truss, and save again.",
        )
    return Opened(contents=_users_first(opening), missing=tuple(opening.missing))


class _Opening:
    """What is known of the blocks while they are being opened."""

    def __init__(self, drawing: Drawing, names: Names) -> None:
        self.contents: dict[str, Content] = {}
        self.missing: list[Damaged] = []
        self.closed: list[str] = []
        self._drawing, self._names = drawing, names
        self._weights: dict[str, int] = {}
        self._heights: dict[str, int] = {}

    def weight_of(self, reference: Reference) -> int:
        """How many entities or pieces a reference stands for."""
        return reference.count * self._weights.get(key_of(reference.block), 0)

    def open(self, key: str, content: Content, path: tuple[str, ...]) -> None:
        """Open what a block refers to, depth first; `path` holds the blocks that lead here."""
        kept, height, weight = [], 0, content.size
        for reference in content.references:
            inner = key_of(reference.block)
            if not self._usable(reference, content):
                continue
            if inner in path or inner == key:
                raise _refusal("cyclic-block", reference, "holds itself")
            if len(path) + 1 + self._heights.get(inner, 0) > DEEPEST:
                raise _refusal("blocks-too-deep", reference, f"is nested more than {DEEPEST} deep")
            if inner not in self._weights:
                layout: BlockLayout | None = self._drawing.blocks.get(reference.block)
                self.contents[inner] = read_content(layout or (), self._names)
                self.open(inner, self.contents[inner], (*path, key))
            height = max(height, 1 + self._heights[inner])
            weight += self.weight_of(reference)
            kept.append(reference)
        content.references[:] = kept
        self._weights[key], self._heights[key] = weight, height
        self.closed.append(key)

    def _usable(self, reference: Reference, content: Content) -> bool:
        """Whether a reference leads to a block that draws; what does not is set aside and counted."""
        for start, reason in _ASIDE:
            if reference.block.upper().startswith(start):
                content.aside[reason, "INSERT"] += 1
                return False
        layout: BlockLayout | None = self._drawing.blocks.get(reference.block)
        if layout is None:
            content.aside["missing block", "INSERT"] += 1
            reason = f"its block {reference.block!r} is missing"
            self.missing.append(Damaged(kind="INSERT", handle=reference.origin.handle, layer="", reason=reason))
            return False
        head = layout.block
        if head is not None and (head.is_xref or head.is_xref_overlay):
            path = str(head.dxf.get("xref_path", "")).replace("\\", "/").rpartition("/")[2]
            raise UnreadableError(
                "external-reference",
                where=_named(reference),
                what=f"Part of the drawing is in another file, {path or reference.block!r}, which is not read.",
                do="Bind that file into the drawing, or detach it where it holds nothing of the truss.",
            )
        return True


def key_of(block: str) -> str:
    """The key of a block among the contents: names mean the same in capitals and small letters."""
    return block.casefold()


def place_copies(opened: Opened, states: LayerStates) -> dict[str, Placements]:
    """Where every copy of every block stands; the model space stands once, where it is."""
    waiting: dict[str, list[Placements]] = {TOP: [_unmoved(states)]}
    placed: dict[str, Placements] = {}
    for key, content in opened.contents.items():
        placed[key] = _joined(waiting[key])
        for reference in content.references:
            copies = _copies(placed[key], reference, states, inside=key != TOP)
            waiting.setdefault(key_of(reference.block), []).append(copies)
    return placed


def _copies(users: Placements, reference: Reference, states: LayerStates, *, inside: bool) -> Placements:
    """The copies that one reference makes in each copy of the block that holds it."""
    rows, columns = reference.repeats
    grid = np.indices((rows, columns)).reshape(2, -1).T
    own = np.broadcast_to(reference.matrix, (len(grid), 4, 4)).copy()
    own[:, 3, :3] += grid @ reference.steps
    matrices = np.einsum("nij,mjk->mnik", own, users.matrices).reshape(-1, 4, 4)
    origin, count = reference.origin, len(grid)
    written = np.full(len(users.paths), origin.layer, dtype=np.int32)
    layer = np.where(inside & states.lent[written], users.layer, states.same[written]).astype(np.int32)
    linetype = states.linetypes(np.full_like(written, origin.linetype), layer, users.linetype)
    hidden = states.hidden_inside(layer, users.hidden, invisible=origin.invisible)
    step = f"{reference.block}[{origin.handle}]"
    return Placements(
        matrices=matrices,
        layer=np.repeat(layer, count),
        linetype=np.repeat(linetype, count),
        hidden=np.repeat(hidden, count),
        paths=[f"{path}/{step}" if path else step for path in users.paths for _ in range(count)],
    )


def _unmoved(states: LayerStates) -> Placements:
    return Placements(
        matrices=np.eye(4)[None],
        layer=np.zeros(1, dtype=np.int32),
        linetype=np.full(1, states.plain, dtype=np.int32),
        hidden=np.zeros(1, dtype=np.int32),
        paths=[""],
    )


def _joined(parts: list[Placements]) -> Placements:
    return Placements(
        matrices=np.concatenate([part.matrices for part in parts]),
        layer=np.concatenate([part.layer for part in parts]),
        linetype=np.concatenate([part.linetype for part in parts]),
        hidden=np.concatenate([part.hidden for part in parts]),
        paths=[path for part in parts for path in part.paths],
    )


def _users_first(opening: _Opening) -> dict[str, Content]:
    return {key: opening.contents[key] for key in reversed(opening.closed)}


def _refusal(code: str, reference: Reference, why: str) -> UnreadableError:
    return UnreadableError(
        code,
        where=_named(reference),
        what=f"The block {reference.block!r} {why}.",
        do="Explode it in the program that made it, or delete it, and save again.",
    )


def _named(reference: Reference) -> str:
    return f"INSERT {reference.origin.handle}"


def _about(count: int) -> str:
    return f"{count:,}" if count < 10**9 else f"{float(count):.1e}" if count < 10**300 else "more than 1e+300"
