"""Feet and inches as text, read exactly and written exactly.

Reading takes the whole string or refuses it: a reader that takes the part it understands turns 10'-6" into ten
inches. A length needs a unit mark somewhere; a bare `12` or `24-0` says nothing. An improper fraction is
refused, since `21/2"` is how `2 1/2"` looks once a stacked fraction has lost its blank. Written form: feet and
inches from one foot on, inches alone below, fractions reduced. Common practice of American building drawings.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from trussio.errors import UnreadableError

INCHES_PER_FOOT: Final = 12
LONGEST_LENGTH: Final = 80
"""Characters; no length is longer, and a text without end is not read at all."""

ACCEPTED: Final = 'Write it like 12\'-6 1/2", 12\' 6-1/2", 12.5\', 6 1/2", 3/4" or 12 ft 6 in.'

_PLAIN: Final = {
    **dict.fromkeys("\u2019\u2018\u2032\u02b9\u00b4`", "'"),
    **dict.fromkeys("\u201d\u201c\u2033\u02ba\u301e", '"'),
    **dict.fromkeys("\u2013\u2014\u2212\u2010\u2011\u2012", "-"),
    **dict.fromkeys("\u00a0\u2007\u2009\u202f\t", " "),
    "\u2044": "/",
    "\u2215": "/",
}
_VULGAR: Final = {
    "\u00bc": "1/4", "\u00bd": "1/2", "\u00be": "3/4", "\u2153": "1/3", "\u2154": "2/3", "\u215b": "1/8",
    "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8", "\u2155": "1/5", "\u2156": "2/5", "\u2157": "3/5",
    "\u2158": "4/5", "\u2159": "1/6", "\u215a": "5/6",
}  # fmt: skip
_PLAIN_TABLE: Final = str.maketrans(_PLAIN | {sign: f" {fraction}" for sign, fraction in _VULGAR.items()})

_NUMBER = r"(?:\d+\.\d*|\.\d+|\d+)"
_FRACTION = r"\d+/\d+"
_MIXED = rf"(?:(?P<whole>\d+)(?:\s+|\s*-\s*)(?P<part>{_FRACTION})|(?P<alone>{_FRACTION})|(?P<plain>{_NUMBER}))"
_FOOT = r"(?:'|ft\.?|feet|foot)"
_INCH = r"(?:\"|''|in\.?|inch(?:es)?)"
_WITH_FEET: Final = re.compile(
    rf"(?P<sign>-)?\s*(?P<feet>{_NUMBER})\s*{_FOOT}(?:\s*-?\s*{_MIXED}\s*{_INCH}?)?", re.IGNORECASE
)
_IN_INCHES: Final = re.compile(rf"(?P<sign>-)?\s*{_MIXED}\s*{_INCH}", re.IGNORECASE)


def read_feet_inches(text: str) -> Fraction:
    """The length that a text states, in inches, exact.

    Raises UnreadableError `not-a-length` unless the whole text is one length with a unit mark.
    """
    inches = feet_inches(text)
    if inches is None:
        raise UnreadableError(
            "not-a-length", where=text, what="This is not one length in feet and inches.", do=ACCEPTED
        )
    return inches


def feet_inches(text: str) -> Fraction | None:
    """As `read_feet_inches`, or None where the text is not one length."""
    if len(text) > LONGEST_LENGTH:
        return None
    plain = plain_signs(text)
    found = _WITH_FEET.fullmatch(plain)
    if found is not None:
        inches = _with_feet(found.groupdict())
    else:
        found = _IN_INCHES.fullmatch(plain)
        inches = None if found is None else _inches(found.groupdict())
    if inches is None or found is None:
        return None
    return -inches if found["sign"] else inches


def plain_signs(text: str) -> str:
    """A text with primes, curly quotes, dashes, hard blanks and vulgar fractions as plain characters."""
    return text.translate(_PLAIN_TABLE).strip()


def write_feet_inches(inches: Fraction | float, denominator: int = 16) -> str:
    """A length to the nearest fraction of an inch: `12'-6 1/2"`, `10'-0"`, `3/4"`, `-1'-0 1/16"`.

    `denominator` is a power of two from 1 to 64. A half rounds to the even numerator.
    """
    if denominator not in {1, 2, 4, 8, 16, 32, 64}:
        raise ValueError(f"a denominator of {denominator} is on no tape")
    units = round(Fraction(inches) * denominator)
    sign = "-" if units < 0 else ""
    whole, rest = divmod(abs(units), denominator)
    feet, over = divmod(whole, INCHES_PER_FOOT)
    fraction = str(Fraction(rest, denominator)) if rest else ""
    in_inches = f"{over} {fraction}" if over and fraction else fraction or str(over)
    if feet and fraction and not over:
        in_inches = f"0 {fraction}"
    return f"{sign}{feet}'-{in_inches}\"" if feet else f'{sign}{in_inches}"'


def _with_feet(part: dict[str, str | None]) -> Fraction | None:
    feet = Fraction(part["feet"] or "0")
    if not (part["part"] or part["alone"] or part["plain"]):
        return feet * INCHES_PER_FOOT
    inches = _inches(part)
    if inches is None or inches >= INCHES_PER_FOOT or feet.denominator != 1:
        return None
    return feet * INCHES_PER_FOOT + inches


def _inches(part: dict[str, str | None]) -> Fraction | None:
    if part["plain"] is not None:
        return Fraction(part["plain"])
    top, bottom = (part["part"] or part["alone"] or "0/1").split("/")
    if int(top) >= int(bottom):
        return None
    return Fraction(int(part["whole"] or 0)) + Fraction(int(top), int(bottom))
