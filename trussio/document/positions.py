"""Where each value of a JSON text stands: JSON Pointer (RFC 6901) to offset, line and column.

Used only to explain a refusal or to place a finding, so it may be slower than parsing. It holds no recursion:
any depth can be walked. The text must be JSON already, except for `first_too_deep`, which takes anything.
"""

from __future__ import annotations

import re
from json import loads
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

PIECE = r'"(?:[^"\\]|\\.)*"|[{}\[\],:]|[^\s{}\[\],:"]+'
SURROGATE = r"[\ud800-\udfff]"


class Spot:
    """One key or value: its pointer, its offset, and what is odd about it.

    `on_key` tells a key from its value. `repeated` is a key that its object has had before; `torn` a text that
    holds half of a surrogate pair, which UTF-8 cannot write.
    """

    __slots__ = ("offset", "on_key", "pointer", "repeated", "torn")

    def __init__(self, pointer: str, offset: int, *, on_key: bool, repeated: bool, torn: bool) -> None:
        self.pointer = pointer
        self.offset = offset
        self.on_key = on_key
        self.repeated = repeated
        self.torn = torn


class _Open:
    """An object or array that the walk is inside of; `keys` is None for an array."""

    __slots__ = ("at", "index", "keys", "pointer")

    def __init__(self, pointer: str, keys: set[str] | None) -> None:
        self.pointer = pointer
        self.keys = keys
        self.index = 0
        self.at: str | None = None if keys is not None else f"{pointer}/0"


def escaped(key: str) -> str:
    """A key as one part of a JSON Pointer."""
    if "~" in key or "/" in key:
        return key.replace("~", "~0").replace("/", "~1")
    return key


def walk(text: str) -> Iterator[Spot]:
    """Every key and value of a JSON text, in the order of the text."""
    inside: list[_Open] = []
    for token in re.finditer(PIECE, text):
        mark = token[0]
        if mark in "}]":
            inside.pop()
        elif mark == ",":
            _step(inside[-1])
        elif mark != ":":
            yield _spot(inside, mark, token.start())
            if mark in "{[":
                inside.append(_Open(_here(inside), set() if mark == "{" else None))


def line_and_column(text: str, offsets: Iterable[int]) -> dict[int, tuple[int, int]]:
    """Line and column, both from 1, of each offset."""
    found: dict[int, tuple[int, int]] = {}
    line, start, newline = 1, 0, -1
    for offset in sorted(offsets):
        line += text.count("\n", start, offset)
        newline = max(newline, text.rfind("\n", start, offset))
        start = offset
        found[offset] = (line, offset - newline)
    return found


def places(text: str) -> dict[str, tuple[int, int]]:
    """Line and column of every field by its JSON Pointer: of its key, of the value itself in a list."""
    offsets: dict[str, int] = {}
    for spot in walk(text):
        offsets.setdefault(spot.pointer, spot.offset)
    found = line_and_column(text, set(offsets.values()))
    return {pointer: found[offset] for pointer, offset in offsets.items()}


def first_too_deep(text: str, depth: int) -> int | None:
    """The offset of the first bracket that opens more than `depth` objects and arrays, or None."""
    level = 0
    for token in re.finditer(r'"(?:[^"\\]|\\.)*"|[{}\[\]]', text):
        if token[0] in "{[":
            level += 1
            if level > depth:
                return token.start()
        elif token[0] in "}]":
            level -= 1
    return None


def _here(inside: list[_Open]) -> str:
    if not inside:
        return ""
    return inside[-1].at or inside[-1].pointer


def _step(top: _Open) -> None:
    if top.keys is None:
        top.index += 1
        top.at = f"{top.pointer}/{top.index}"
    else:
        top.at = None


def _spot(inside: list[_Open], mark: str, offset: int) -> Spot:
    torn = mark[0] == '"' and "\\u" in mark and re.search(SURROGATE, loads(mark)) is not None
    top = inside[-1] if inside else None
    if top is None or top.keys is None or top.at is not None:
        return Spot(_here(inside), offset, on_key=False, repeated=False, torn=torn)
    top.at = f"{top.pointer}/{escaped(loads(mark))}"
    repeated = top.at in top.keys
    top.keys.add(top.at)
    return Spot(top.at, offset, on_key=True, repeated=repeated, torn=torn)
