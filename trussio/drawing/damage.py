"""What is wrong with a drawing in text form that the strict loader refuses, by a look at its bare tags.

A damaged drawing may be mended only where nothing is lost by it. So the tags are counted before: sections
left open, points without their y, numbers that are none, and how many entities of each type there must be after.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

_NUMBER: Final = re.compile(rb"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
_GROUPED: Final = re.compile(rb"_(?=\d)")
_SUBORDINATE: Final = frozenset({b"VERTEX", b"SEQEND", b"ATTRIB"})
_READ: Final = frozenset({b"TABLES", b"ENTITIES", b"BLOCKS"})
POINT_CODES: Final = frozenset({10, 11, 12, 13, 14, 15, 16, 17})


@dataclass(frozen=True, kw_only=True)
class Damage:
    """What the tags of a drawing show.

    `bad_code` gives line and text where a group code must stand and none does. `open_section` is the section that
    never ends, `ended` whether the end mark stands; `odd_numbers` and
    `lone_points` give line and value of what is no number and of an x without its y in drawn entities; `drawn`
    counts the entities of each type in the ENTITIES section.
    """

    bad_code: tuple[int, str] | None
    open_section: str | None
    ended: bool
    odd_numbers: tuple[tuple[int, str], ...]
    lone_points: tuple[tuple[int, str], ...]
    drawn: Mapping[str, int]


def find_damage(data: bytes) -> Damage:
    """Look through the tags of a drawing in text form."""
    section, ended, opening = None, False, False
    drawn: Counter[str] = Counter()
    odd: list[tuple[int, str]] = []
    points, bad_code = _Points(), None
    for line, code, value in _pairs(data):
        if code is None:
            bad_code = (line, _shown(value))
            break
        points.take(line, code, value, wanted=section in _READ)
        if code == 0:
            opening = value == b"SECTION"
            ended = ended or value == b"EOF"
            section = None if value == b"ENDSEC" else section
            if section == b"ENTITIES" and value not in _SUBORDINATE and not opening:
                drawn[_shown(value)] += 1
        elif code == 2 and opening:
            section, opening = value, False
        elif section in _READ and is_number_code(code) and not _NUMBER.fullmatch(value):
            odd.append((line, _shown(value)))
    return Damage(
        bad_code=bad_code,
        open_section=None if section is None else _shown(section),
        ended=ended,
        odd_numbers=tuple(odd),
        lone_points=tuple(points.lone),
        drawn=drawn,
    )


class _Points:
    """Finds each x without its y. A LINE may hold them in any order, other entities only one after the other."""

    def __init__(self) -> None:
        self.lone: list[tuple[int, str]] = []
        self._in_line = False
        self._waiting: dict[int, tuple[int, str]] = {}

    def take(self, line: int, code: int, value: bytes, *, wanted: bool) -> None:
        """Look at the next tag."""
        self._waiting.pop(code - 10, None)
        if code == 0 or not self._in_line:
            self.lone += self._waiting.values()
            self._waiting = {}
        if code == 0:
            self._in_line = value == b"LINE"
        elif wanted and code in POINT_CODES:
            self._waiting[code] = (line, _shown(value))


def is_number_code(code: int) -> bool:
    """Whether a group code carries a real number."""
    return 10 <= code <= 59 or 140 <= code <= 149 or 210 <= code <= 239 or 110 <= code <= 139


def grouped_number(data: bytes) -> tuple[int, str] | None:
    """Line and value of the first number written with underscores between its digits, or None.

    The loader takes `1_000` for a thousand; no drawing program writes that, so something mangled the file.
    """
    for found in _GROUPED.finditer(data):
        start = data.rfind(b"\n", 0, found.start()) + 1
        end = data.find(b"\n", found.start())
        value = data[start : len(data) if end < 0 else end].strip()
        before = data[data.rfind(b"\n", 0, max(start - 1, 0)) + 1 : start].strip()
        is_number = re.fullmatch(rb"[+-]?[\d_]*\.?[\d_]*(?:[eE][+-]?[\d_]+)?", value)
        if is_number and before.isdigit() and len(before) <= 4 and is_number_code(int(before)):
            return data.count(b"\n", 0, start) + 1, _shown(value)
    return None


def _pairs(data: bytes) -> Iterator[tuple[int, int | None, bytes]]:
    """Line, group code and value of each tag up to the end mark; code None and its text where one is no number."""
    lines = iter(data.replace(b"\r\n", b"\n").replace(b"\r", b"\n").split(b"\n"))
    line = 1
    for code, value in zip(lines, lines, strict=False):
        try:
            number = int(code)
        except ValueError:
            yield line, None, code.strip()
            return
        if number != 999:
            yield line + 1, number, value.strip()
        if number == 0 and value.strip() == b"EOF":
            return
        line += 2


def _shown(value: bytes) -> str:
    return value[:40].decode("ascii", "replace")
