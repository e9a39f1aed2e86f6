"""Size labels: `3-2x10` as plies, width and depth, and the dressed size that a nominal one stands for.

Terms: *nominal* is the size that the yard called a stick (2x8), *dressed* what the planer left of it. A label in
whole inches is nominal, one with fractions was measured, one in millimetres is taken as written. The first
number is the width out of the truss plane, the second the depth in it. A label keeps its raw text; what is no
size in it stays as words (`DF #1`, `TOP CHORD`). `TYP.` and a spacing are noticed and never acted on here.

Sources: current sizes as in the American softwood standard, before-1970 sizes as commonly stated; both tables
from memory, unverified. Sizes changed several times between 1924 and 1970: measure.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import pi
from typing import TYPE_CHECKING, Final, Literal

from trussio.drawing.feet_inches import plain_signs
from trussio.model.material import Section
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from trussio.model.material import Sizing
    from trussio.units import UnitSystem

_NUMBER = r"(?:\d+(?:\s+|\s*-\s*)\d+/\d+|\d+/\d+|\d+\.\d+|\d+)"
_UNIT = r"(?:\"|''|mm\b|in\b\.?)?"
_TIMES = r"\s*(?:x|\u00d7|\*|by)\s*"
_PLIES = r"(?:\((?P<bracket>\d)\)\s*-?\s*|(?P<slash>\d)\s*/\s*(?=\d)|(?P<hyphen>\d)\s*-\s*(?=\d))"
_SIZE: Final = re.compile(
    rf"(?<![\w.#])(?<!\d/){_PLIES}?(?P<width>{_NUMBER})\s*(?P<unit1>{_UNIT}){_TIMES}(?P<depth>{_NUMBER})"
    rf"\s*(?P<unit2>{_UNIT})(?:'?s\b)?(?:{_TIMES}\d+\s*(?:'|ft\b)[-\d\s/\"]*)?(?![\w./'])(?!{_TIMES}\d)",
    re.IGNORECASE,
)
_PARTED: Final = re.compile(r"(x\s*\d+)\s*/\s*(\d+\s*x)", re.IGNORECASE)
_COUNTED: Final = re.compile(
    r"(?<![\d/])(?P<count>\d)\s*-?\s*(?:pcs|pieces|ply|plies)\b|\b(?P<word>double|dbl|twin|triple|trpl)\b",
    re.IGNORECASE,
)
_DIAMETER = r"(?:\"|mm\b|in\b\.?)?\s*(?:\u2300|\u00d8|\u03c6|dia\b\.?|diam\b\.?|round\b|rd\b)?"
_ROD: Final = re.compile(
    rf"(?<![\w./#])(?:\u2300|\u00d8|\u03c6)?\s*(?P<first>{_NUMBER})\s*(?P<unit1>{_DIAMETER})\s*"
    rf"(?:steel\s+|iron\s+|tie\s+|wrought\s+)*rods?\b"
    rf"|\brods?\s*:?\s*(?:\u2300|\u00d8|\u03c6)?\s*(?P<last>{_NUMBER})\s*(?P<unit2>{_DIAMETER})(?![\w/])",
    re.IGNORECASE,
)
_SPACED: Final = re.compile(r"@|\bo\.?\s?c\b|\bc\.?/c\b|\bspac", re.IGNORECASE)
_TYPICAL: Final = re.compile(r"\btyp(?:ical)?\b", re.IGNORECASE)
_COUNTS: Final = {"double": 2, "dbl": 2, "twin": 2, "triple": 3, "trpl": 3}
_BINARY: Final = frozenset({2, 4, 8, 16, 32, 64})

LONGEST_LABEL: Final = 500
"""A longer text is a specification and no label."""

LARGEST_INCHES: Final = 30
LEAST_DEPTH_INCHES: Final = 1
LEAST_MM: Final = (15, 38)
"""A rectangle is in millimetres from these smaller and larger sides on; inches stop short of them."""
LARGEST_MM: Final = 800

_CURRENT: Final = {"1": "3/4", "2": "3/2", "3": "5/2", "4": "7/2", "6": "11/2", "8": "29/4", "10": "37/4",
                   "12": "45/4", "14": "53/4"}  # fmt: skip
_BEFORE_1970: Final = {"2": "13/8", "3": "21/8", "4": "29/8", "6": "11/2", "8": "15/2", "10": "19/2",
                       "12": "23/2"}  # fmt: skip
_DRESSED: Final[dict[str, dict[int, Fraction]]] = {
    sizing: {int(nominal): Fraction(dressed) for nominal, dressed in table.items()}
    for sizing, table in (("current", _CURRENT), ("before-1970", _BEFORE_1970))
}
LEAST_TIMBER: Final = 5
"""From this nominal width on, in inches, both sides of a timber lose half an inch."""


@dataclass(frozen=True, kw_only=True)
class SizeLabel:
    """One size that a text states.

    `width` and `depth` are in `unit`; a rod has its diameter in both. `by_hyphen` tells that the plies were
    written `3-2x10`, which can also be a mark and a size: report it. `metric` tells that centimetres were made
    millimetres, or that the whole is doubtful in a drawing in inches. `words` is the rest of the text.
    """

    raw: str
    plies: int
    width: Fraction
    depth: Fraction
    unit: Literal["in", "mm"]
    nominal: bool
    round: bool = False
    by_hyphen: bool = False
    typical: bool = False
    spaced: bool = False
    metric: Literal["", "cm", "doubtful"] = ""
    words: str = ""

    @property
    def name(self) -> str:
        """The size in one spelling for all: `3-2x10`, `1 5/8x7 1/2`, `2/50x150`, `rod 3/4`."""
        if self.round:
            return f"rod {_mixed(self.width)}"
        size = f"{_mixed(self.width)}x{_mixed(self.depth)}"
        return size if self.plies == 1 else f"{self.plies}{'-' if self.unit == 'in' else '/'}{size}"


def read_sizes(text: str) -> tuple[SizeLabel, ...]:
    """Every size that a text can mean: none, one, or several where it names several or can be read two ways."""
    if len(text) > LONGEST_LABEL:
        return ()
    plain = _PARTED.sub(r"\1 / \2", plain_signs(text))
    rods = tuple(label for found in _ROD.finditer(plain) if (label := _rod(found, text, plain)))
    sizes = [label for found in _SIZE.finditer(plain) for label in _rectangles(found, text, plain)]
    return (*sizes, *rods)


def dressed(label: SizeLabel, sizing: Sizing) -> tuple[Fraction, Fraction] | None:
    """Width and depth that a label stands for, in its own unit; None where the table has no such size.

    A label that is not nominal stands for itself.
    """
    if not label.nominal or sizing in {"full-sawn", "measured"}:
        return label.width, label.depth
    if min(label.width, label.depth) >= LEAST_TIMBER:
        return label.width - Fraction(1, 2), label.depth - Fraction(1, 2)
    table = _DRESSED[sizing]
    width, depth = table.get(int(label.width)), table.get(int(label.depth))
    return None if width is None or depth is None else (width, depth)


def section_of(label: SizeLabel, sizing: Sizing, units: UnitSystem) -> Section | None:
    """The section that a label stands for, in base lengths; plies lie beside each other, close and unjoined.

    None where the table of `sizing` has no such size.
    """
    size = dressed(label, sizing)
    if size is None:
        return None
    width, depth = (float(side) * _factor(label.unit, units) for side in size)
    if label.round:
        area, inertia = pi * width**2 / 4, pi * width**4 / 64
        return Section(area=area, inertia=inertia, label=label.name, sizing=sizing)
    return Section(width=width, depth=depth, plies=label.plies, label=label.name, sizing=sizing)


def _factor(unit: Literal["in", "mm"], units: UnitSystem) -> float:
    if unit == "in":
        return 1.0 if units == "us" else MM_PER_INCH
    return 1.0 / MM_PER_INCH if units == "us" else 1.0


def _rectangles(found: re.Match[str], raw: str, plain: str) -> list[SizeLabel]:
    """One label, two where `1/2x8` can be a ply or half an inch, none where a number makes no sense."""
    width, depth = _value(found["width"]), _value(found["depth"])
    plies = int(found["bracket"] or found["slash"] or found["hyphen"] or 1)
    if found["hyphen"] and "/" in found["width"] and " " not in found["width"].strip():
        width, plies = _value(f"{found['hyphen']} {found['width']}"), 1
    ways = [(plies, width)]
    if found["slash"] and found["width"].isdigit() and int(found["width"]) in _BINARY:
        ways.append((1, _value(f"{found['slash']}/{found['width']}")))
    labels = [_rectangle(found, raw, plain, (count, side, depth)) for count, side in ways if side and depth]
    return [label for label in labels if label is not None]


def _rectangle(
    found: re.Match[str], raw: str, plain: str, way: tuple[int, Fraction, Fraction]
) -> SizeLabel | None:
    plies, width, depth = way
    words = _words(plain, found)
    counted = _COUNTED.search(words)
    if counted is not None and plies == 1:
        plies = int(counted["count"] or _COUNTS[(counted["word"] or "").lower()])
    unit = _unit_of(f"{found['unit1']} {found['unit2']}".lower(), width, depth)
    if unit is None or not 0 < plies <= 9:
        return None
    return SizeLabel(
        raw=raw,
        plies=plies,
        width=width,
        depth=depth,
        unit=unit,
        nominal=unit == "in" and width.denominator == depth.denominator == 1,
        by_hyphen=found["hyphen"] is not None and plies > 1,
        typical=_TYPICAL.search(plain) is not None,
        spaced=_SPACED.search(plain) is not None,
        words=words,
    )


def _rod(found: re.Match[str], raw: str, plain: str) -> SizeLabel | None:
    diameter = _value(found["first"] or found["last"])
    written = (found["unit1"] or found["unit2"] or "").lower()
    if diameter is None or not diameter:
        return None
    unit: Literal["in", "mm"] = "mm" if "mm" in written or (diameter > 4 and '"' not in written) else "in"
    return SizeLabel(
        raw=raw,
        plies=1,
        width=diameter,
        depth=diameter,
        unit=unit,
        nominal=False,
        round=True,
        typical=_TYPICAL.search(plain) is not None,
        spaced=_SPACED.search(plain) is not None,
        words=_words(plain, found),
    )


def _unit_of(written: str, width: Fraction, depth: Fraction) -> Literal["in", "mm"] | None:
    small, large = sorted((width, depth))
    if small <= 0 or depth < LEAST_DEPTH_INCHES:
        return None
    in_mm = "mm" in written or (small >= LEAST_MM[0] and large >= LEAST_MM[1] and '"' not in written)
    if in_mm:
        return "mm" if large <= LARGEST_MM else None
    return "in" if large <= LARGEST_INCHES else None


def _value(text: str) -> Fraction | None:
    if "/" not in text:
        return Fraction(text)
    whole, _, part = text.replace("-", " ").rpartition(" ")
    top, bottom = (int(side) for side in part.split("/"))
    if not 0 < top < bottom:
        return None
    return Fraction(int(whole.strip() or 0)) + Fraction(top, bottom)


def _words(plain: str, found: re.Match[str]) -> str:
    return " ".join(f"{plain[: found.start()]} {plain[found.end() :]}".split()).strip(" -:;,=()[]")


def _mixed(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if rest and rest.denominator not in _BINARY:
        return f"{float(value):g}"
    return f"{whole} {rest}" if whole and rest else str(rest or whole)
