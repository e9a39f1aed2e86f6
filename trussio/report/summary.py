"""The summary on a terminal: what must be known first, in the page's order, on one screen.

An entry that takes too many rows loses its last lines, the longest entry first, and its heading then says how many
(`Loads +2`). Urgent lines go after all others; where that is not enough, lines are cut with an ellipsis.
"""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.report.front import front
from trussio.report.page import refuse_strangers

if TYPE_CHECKING:
    from trussio.model.assessment import Assessment

MARGIN: Final = 17
"""Columns of the headings."""
MORE: Final = "+n: n more lines on the page"
LEAST_WIDTH, LEAST_HEIGHT = 40, 12


class Block(NamedTuple):
    """An entry as rows: its heading, the rows of each of its lines, how many are urgent and how many went."""

    heading: str
    lines: tuple[tuple[str, ...], ...]
    urgent: int = 0
    left_out: int = 0

    @property
    def rows(self) -> int:
        """Rows on the terminal."""
        return sum(map(len, self.lines))


def summary(assessment: Assessment, *, width: int = 80, height: int = 24) -> str:
    """The summary of one truss in fewer than `height` rows of at most `width` columns.

    One row stays free for the prompt. Raises UsageError `other-model` where results, findings or check record
    belong to another document.
    """
    refuse_strangers(assessment)
    width, height = max(width, LEAST_WIDTH), max(height, LEAST_HEIGHT)
    blocks = []
    for entry in front(assessment):
        lines = tuple(tuple(wrap(_plain(line), width - MARGIN)) for line in entry.brief or entry.lines)
        blocks.append(Block(heading=entry.heading, lines=lines, urgent=entry.urgent))
    shown = fitted(blocks, height - 2)
    more = MORE if any(block.left_out for block in shown) else ""
    title = wrap(_plain(assessment.truss.title), width - len(more) - 2, max_lines=1, placeholder="…")[:1] or [""]
    rows = [row for block in shown for row in _rows(block)]
    return "\n".join([f"{title[0]:{width - len(more)}}{more}".rstrip(), *rows]) + "\n"


def fitted(blocks: list[Block], room: int) -> list[Block]:
    """Blocks that take no more rows than there is room for, as long as every one may keep a row."""
    shown = list(blocks)
    while sum(block.rows for block in shown) > room:
        at = max(range(len(shown)), key=lambda i: _spare(shown[i]))
        if shown[at].rows == 1:
            break
        shown[at] = _shorter(shown[at])
    return shown


def _spare(block: Block) -> tuple[bool, bool, int]:
    """How readily a block gives up a row: one with lines that are not urgent first, then the longest."""
    lines = len(block.lines)
    return lines > max(1, block.urgent), lines > 1 or block.rows > 1, block.rows


def _shorter(block: Block) -> Block:
    """A block without its last line, or with its one line cut by a row."""
    if len(block.lines) > 1:
        return block._replace(lines=block.lines[:-1], left_out=block.left_out + 1)
    *kept, cut, _ = block.lines[0]
    return block._replace(lines=((*kept, f"{cut[:-1].rstrip()}…"),))


def _rows(block: Block) -> list[str]:
    """The rows of a block, its heading before the first."""
    heading = f"{block.heading} +{block.left_out}" if block.left_out else block.heading
    rows = [row for line in block.lines for row in line]
    return [f"{heading if at == 0 else '':{MARGIN}}{row}".rstrip() for at, row in enumerate(rows)]


def _plain(text: str) -> str:
    """A text without control characters, which a terminal would obey."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())
