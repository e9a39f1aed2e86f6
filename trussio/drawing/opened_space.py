"""One space of a drawing with all its blocks opened: rows in space, and what is needed to place the signs."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from trussio.drawing.blocks import open_blocks, place_copies
from trussio.drawing.content import Damaged, Names
from trussio.drawing.coordinates import check_content, check_copies, check_rows
from trussio.drawing.entities import read_content
from trussio.drawing.layer_states import LayerStates, read_layers
from trussio.drawing.placed_signs import Spelling
from trussio.drawing.rows import Copies, Rows, all_copies, all_rows
from trussio.drawing.text import decoded

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from ezdxf.document import Drawing
    from ezdxf.entities.dxfentity import DXFEntity

    from trussio.drawing.content import Content


@dataclass(frozen=True, kw_only=True, eq=False)
class OpenedSpace:
    """A space and the blocks that it leads to.

    `seen` counts the entities of the space and of every copy of a block, `aside` those set aside so far by reason
    and type; `damaged` and `missing` say what could not be read and which blocks the file lacks.
    """

    contents: Mapping[str, Content]
    copies: list[Copies]
    rows: Rows
    states: LayerStates
    spelling: Spelling
    seen: int
    aside: Counter[tuple[str, str]]
    damaged: tuple[Damaged, ...]
    missing: tuple[Damaged, ...]
    raw_layers: tuple[str, ...]

    @property
    def lines(self) -> int:
        """How many rows and curves it draws."""
        return len(self.rows.handles) + sum(block.count * len(block.content.smooth) for block in self.copies)


def open_space(space: Iterable[DXFEntity], drawing: Drawing) -> OpenedSpace:
    """Read a space and all that it leads to.

    Raises UnreadableError `bad-number`, and what `open_blocks` raises.
    """
    names = Names()
    opened = open_blocks(read_content(space, names), drawing, names)
    check_content(opened.contents, names)
    states = read_layers(drawing, names)
    placed = place_copies(opened, states)
    check_copies(placed, names, opened.contents)
    copies = all_copies(opened.contents, placed)
    rows = all_rows(copies, states)
    if len(copies) > 1:
        check_rows(rows, names)
    return OpenedSpace(
        contents=opened.contents,
        copies=copies,
        rows=rows,
        states=states,
        spelling=Spelling(
            kinds=tuple(names.kinds),
            layers=tuple(decoded(name) for name in names.layers),
            linetypes=tuple(decoded(name).upper() for name in names.linetypes),
            paths=tuple(decoded(path) for block in copies for path in block.placements.paths),
        ),
        seen=sum(block.count * block.content.seen for block in copies),
        aside=_set_aside(copies),
        damaged=tuple(fault for content in opened.contents.values() for fault in content.damaged),
        missing=opened.missing,
        raw_layers=tuple(names.layers),
    )


def _set_aside(copies: list[Copies]) -> Counter[tuple[str, str]]:
    aside: Counter[tuple[str, str]] = Counter()
    for block in copies:
        for what, count in block.content.aside.items():
            aside[what] += count * block.count
    return aside
