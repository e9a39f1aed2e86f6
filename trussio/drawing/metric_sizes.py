"""Sizes as metric drawings write them: `16/20`, `2x 4/20`, `7,5x15`, `8x16 cm`: width and depth in centimetres.

Larger numbers are millimetres (`60/160`). What a slash parts may be no size at all: a tape's fraction, a roof's
pitch, a page. So in a drawing in inches such a text is *doubtful*, and only asked about. A plain `8x16` in a
metric drawing may count centimetres or inches; the other labels of the drawing tell, or the depth drawn, or it is
asked. Spellings: common practice of German and French timber drawings, no source.
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Final, Literal

from trussio.drawing.feet_inches import plain_signs
from trussio.drawing.sizes import LARGEST_MM, LONGEST_LABEL, SizeLabel, read_sizes

if TYPE_CHECKING:
    from collections.abc import Sequence

_NUMBER = r"\d{1,3}(?:[.,]\d{1,2})?"
_TIMES = "[x\u00d7*]"
_METRIC: Final = re.compile(
    rf"(?<![\w./#,\"'-])(?<!\d\s)(?:(?P<plies>[1-9])\s*{_TIMES}\s*|\((?P<bracket>[1-9])\)\s*)?"
    rf"(?P<width>{_NUMBER})\s*(?P<by>/|{_TIMES})\s*(?P<depth>{_NUMBER})\s*(?P<unit>cm\b|mm\b)?"
    rf"(?![\w/,.\"']|\s*(?:/|{_TIMES})\s*\d)",
    re.IGNORECASE,
)
_NO_TIMBER: Final = re.compile(
    r"bolt|screw|nail|plate|lag\b|rod\b|dia|\bm\d|\bno\.?\s|sheet|page|pitch|scale|slope|photo|date|\u00d8|\u2300",
    re.IGNORECASE,
)
LARGEST_CM: Final = 60
"""Larger numbers are millimetres, in metric drawings."""
LEAST_MM: Final = 15
LEAST_DEPTH_MM: Final = 100
"""Where nothing but a slash says that it is a size."""
SLENDEREST: Final = 12
ROOF_RUN: Final = 12
"""What a roof's pitch is written over, in inches of rise to a foot of run."""
LEAST_CM: Final = (4, 8)
"""A timber has these smaller and larger sides in centimetres at least, where it might as well count inches."""


def stated_sizes(text: str, *, metric: bool) -> tuple[SizeLabel, ...]:
    """Every size that a text can mean in a drawing that is metric or not, however it is written."""
    return metric_sizes(text, metric=metric) or read_sizes(text)


def metric_sizes(text: str, *, metric: bool) -> tuple[SizeLabel, ...]:
    """The sizes that a text states with a slash, a decimal comma or `cm`; none where it states none so.

    `metric` tells that the drawing is; in one that is not, a size without `cm` or `mm` is doubtful.
    """
    if len(text) > LONGEST_LABEL or _NO_TIMBER.search(text):
        return ()
    plain = plain_signs(text)
    found = [_label(match, text, plain, metric=metric) for match in _METRIC.finditer(plain)]
    return tuple(label for label in found if label is not None)


def either(sizes: Sequence[Sequence[SizeLabel]]) -> list[tuple[SizeLabel, ...]]:
    """The readings of all labels of a metric drawing, plain ones in the unit that the others settle or in both."""
    ways = [[(size, _in_centimetres(size)) for size in label] for label in sizes]
    in_inches = any(size.unit == "in" and other is None for label in ways for size, other in label)
    in_mm = any(size.unit == "mm" and not size.round for label in sizes for size in label)
    found = []
    for label in ways:
        metric = [other or size for size, other in label]
        plain = [size for size, _ in label]
        if in_mm == in_inches:
            found.append(tuple(dict.fromkeys([*metric, *plain])))
        else:
            found.append(tuple(metric if in_mm else plain))
    return found


def _label(match: re.Match[str], raw: str, plain: str, *, metric: bool) -> SizeLabel | None:
    unit = (match["unit"] or "").lower()
    comma = "," in f"{match['width']}{match['depth']}"
    slash = match["by"] == "/"
    counted = match["plies"] is not None
    if not (slash or unit == "cm" or (comma and not counted)):
        return None
    width, depth = (Fraction(match[side].replace(",", ".")) for side in ("width", "depth"))
    if not (metric or unit) and slash and _is_of_inches(width, depth):
        return None
    factor = 1 if unit == "mm" or (not unit and max(width, depth) > LARGEST_CM) else 10
    small, large = sorted((width * factor, depth * factor))
    sure = bool(unit or comma or counted or match["bracket"])
    if not LEAST_MM <= small <= large <= LARGEST_MM or large > SLENDEREST * small:
        return None
    if large < LEAST_DEPTH_MM and not sure:
        return None
    return SizeLabel(
        raw=raw,
        plies=int(match["plies"] or match["bracket"] or 1),
        width=width * factor,
        depth=depth * factor,
        unit="mm",
        nominal=False,
        typical=re.search(r"\btyp", plain, re.IGNORECASE) is not None,
        spaced=re.search(r"@|\be\s*=|\bc/c\b", plain, re.IGNORECASE) is not None,
        words=" ".join(f"{plain[: match.start()]} {plain[match.end() :]}".split()),
        metric="doubtful" if not (metric or unit) else "cm" if factor == 10 else "",
    )


def _is_of_inches(top: Fraction, bottom: Fraction) -> bool:
    """Whether a text is a fraction on a tape (9/16) or the pitch of a roof (6/12)."""
    tape = top < bottom and bottom in {2, 4, 8, 16, 32, 64} and top.numerator % 2 == 1
    return tape or bottom == ROOF_RUN


def _in_centimetres(size: SizeLabel) -> SizeLabel | None:
    """A plain label such as `8x16` as centimetres; None where it can only be inches, or is metric anyway."""
    small, large = sorted((size.width, size.depth))
    if not size.nominal or size.by_hyphen or small < LEAST_CM[0] or large < LEAST_CM[1]:
        return None
    if re.search('["\u201d\u2033#]|\\bin\\b', size.raw):
        return None
    unit: Literal["mm"] = "mm"
    return replace(size, width=size.width * 10, depth=size.depth * 10, unit=unit, nominal=False, metric="cm")
