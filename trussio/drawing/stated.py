"""Lengths that texts of a drawing state: feet and inches, a metric length with its unit, or a bare number.

A dimension's text may carry words besides its length (`24'-0" TYP.`, `R 723`, `(V.I.F.)`) and a second length in
brackets; what holds no digit is left out, and the rest must be one length and nothing else. Terms: the *half* of a
stated length is half a unit of its last digit or fraction, what its own rounding can hide.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from trussio.drawing.feet_inches import LONGEST_LENGTH, feet_inches, plain_signs
from trussio.units import MM_PER_INCH

_BRACKETS: Final = re.compile(r"\[[^\]]*\]|(?<=[^\s(])\s*\([^)]*\d[^)]*\)$")
_METRIC: Final = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+))\s*(mm|cm|m)\b\.?", re.IGNORECASE)
_NUMBER: Final = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)")
_BARE: Final = re.compile(r"(\d+)\s*-\s*(\d+(?:[ -]\d+/\d+)?|\d+/\d+)")
_WORD: Final = re.compile(r"(?<![\w.])[A-Za-z][A-Za-z./]*(?!\w)")
_RADIUS: Final = re.compile(r"^[RD]\s*(?=[\d.])", re.IGNORECASE)
_MARKS: Final = frozenset(["typ", "ref", "vif", "oa", "clr", "cl", "max", "min", "meas", "dia", "r", "d"])
"""Words that may stand beside a bare number; others may count spaces, and make of it no length."""
_UNIT_WORDS: Final = frozenset({"ft", "ft.", "feet", "foot", "in", "in.", "inch", "inches", "mm", "cm", "m", "m."})
_SIGNS: Final = re.compile("[\u00b1\u2300\u00d8\u03c6~+()=:]")
_IN_INCHES: Final = {"mm": 1 / MM_PER_INCH, "cm": 10 / MM_PER_INCH, "m": 1000 / MM_PER_INCH}


@dataclass(frozen=True, kw_only=True)
class Stated:
    """A length that a text states.

    `inches` is None for a bare number, which stands in `number`; `half` is in inches, or in the number's own
    unit. `metric` tells a metric text, `bare` one like `24-0` that lacks its marks.
    """

    inches: float | None
    number: float
    half: float
    metric: bool = False
    bare: bool = False


def stated_length(text: str) -> Stated | None:
    """The one length that a text states, words set aside; None where it states none or more than one."""
    if len(text) > LONGEST_LENGTH:
        return None
    lengths = [found for line in text.split("\n") if (found := _length(line)) is not None]
    return lengths[0] if lengths else None


def _length(line: str) -> Stated | None:
    signs = _RADIUS.sub("", _SIGNS.sub(" ", _BRACKETS.sub("", plain_signs(line))).strip())
    plain = " ".join(_WORD.sub(_kept, signs).split()).strip(" -.,;")
    inches = feet_inches(plain)
    if inches is not None:
        return Stated(inches=float(inches), number=float(inches), half=_half_inches(plain))
    metric = _METRIC.fullmatch(plain)
    if metric is not None:
        unit = _IN_INCHES[metric[2].lower()]
        number = float(metric[1])
        return Stated(inches=number * unit, number=number, half=_half(metric[1]) * unit, metric=True)
    if _NUMBER.fullmatch(plain) and all(
        re.sub(r"\W", "", word).lower() in _MARKS for word in _WORD.findall(signs)
    ):
        return Stated(inches=None, number=float(plain), half=_half(plain))
    bare = _BARE.fullmatch(plain)
    inches = feet_inches(f"{bare[1]}'-{bare[2]}\"") if bare is not None else None
    if inches is None:
        return None
    return Stated(inches=float(inches), number=float(inches), half=_half_inches(plain), bare=True)


def _kept(found: re.Match[str]) -> str:
    return found[0] if found[0].lower() in _UNIT_WORDS else " "


def _half_inches(plain: str) -> float:
    fraction = re.search(r"/(\d+)", plain)
    if fraction is not None:
        return float(Fraction(1, 2 * int(fraction[1])))
    decimals = re.search(r"\.(\d+)", plain)
    if decimals is None:
        return 0.5
    in_feet = re.search(r"\.\d+\s*(?:'|ft|feet|foot)", plain, re.IGNORECASE) is not None
    return (12.0 if in_feet else 1.0) * 0.5 * 10.0 ** -len(decimals[1])


def _half(number: str) -> float:
    return 0.5 * 10.0 ** -len(number.partition(".")[2])
