"""Elements of the page: every string goes in as text, so that nothing in a model can become markup."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from lxml import etree

from trussio.drawing.svg import printable

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Element = etree._Element  # noqa: SLF001 - the library has no other name for the type of its elements
Content = str | Element


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column of a table: its heading, and whether it holds numbers, words, or the names of the rows."""

    head: str
    kind: Literal["number", "words", "name"] = "number"


def el(tag: str, *content: Content | list[Element] | list[str], **attributes: str) -> Element:
    """An element with its content; `class_` stands for `class`, other underscores for hyphens."""
    made = etree.Element(tag)
    for key, value in attributes.items():
        made.set(key.rstrip("_").replace("_", "-"), printable(value))
    for piece in content:
        for inner in piece if isinstance(piece, list) else (piece,):
            _add(made, inner)
    return made


def _add(parent: Element, piece: Content) -> None:
    if not isinstance(piece, str):
        parent.append(piece)
    elif len(parent):
        parent[-1].tail = (parent[-1].tail or "") + printable(piece)
    else:
        parent.text = (parent.text or "") + printable(piece)


def section(key: str, heading: str, *content: Element | list[Element]) -> Element:
    """A section under a heading of the second order, which names it."""
    return el("section", el("h2", heading, id=key), *content, aria_labelledby=key)


def words(lines: Iterable[str]) -> list[Element]:
    """Paragraphs."""
    return [el("p", line) for line in lines]


def listed(items: Sequence[str]) -> Element:
    """A list, or a paragraph where there is one item only."""
    return el("p", items[0]) if len(items) == 1 else el("ul", [el("li", item) for item in items])


def table(caption: str, columns: Sequence[Column], rows: Iterable[Sequence[Content]], *, key: str = "") -> Element:
    """A table with its caption, in a frame that scrolls sideways; a column of kind `name` heads the rows."""
    heads = [el("th", column.head, scope="col", class_=column.kind) for column in columns]
    body = [el("tr", [_cell(column, cell) for column, cell in zip(columns, row, strict=True)]) for row in rows]
    name = key or caption
    made = el("table", el("caption", caption), el("thead", el("tr", heads)), el("tbody", body))
    return el("div", made, class_="frame", role="region", aria_label=name, tabindex="0")


def _cell(column: Column, cell: Content) -> Element:
    if column.kind == "name":
        return el("th", cell, scope="row")
    return el("td", cell, class_=column.kind)


def serialised(root: Element) -> str:
    """The page as text."""
    return etree.tostring(root, method="html", encoding="unicode", doctype="<!doctype html>") + "\n"
