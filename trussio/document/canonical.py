"""RFC 8785: the one way to spell a JSON value, and the digest that ties documents together.

A number is spelled as ECMAScript spells a double (`1`, `0.000001`, `1e-7`, `1e+21`, never `-0`); keys stand in
the order of their UTF-16 code units; no space. The digest is SHA-256 over those bytes, written `sha256:` and
64 hexadecimal digits. Source: RFC 8785, sections 3.2.2.2 (texts), 3.2.2.3 (numbers), 3.2.3 (order of keys).
"""

from __future__ import annotations

from hashlib import sha256
from json import JSONEncoder
from typing import TYPE_CHECKING

from trussio.errors import CannotWriteError

if TYPE_CHECKING:
    from trussio.model.truss import Json

EXACT = 2**53
"""Up to here a double holds every integer."""

FIRST_WITH_EXPONENT = 21
"""ECMAScript writes a number out in digits below ten to this power."""

text_of = JSONEncoder(ensure_ascii=False).encode
"""A text in quotes, escaped as RFC 8785 has it."""


def number_text(number: float) -> str:
    """A number as RFC 8785 spells it. Raises CannotWriteError `not-finite`."""
    if isinstance(number, int) and -EXACT <= number <= EXACT:
        return str(number)
    digits = repr(float(number))
    if "e" not in digits:
        if digits[0] in "in" or digits == "-inf":
            raise CannotWriteError(
                "not-finite",
                what=f"a value is {digits}, which no document can hold.",
                do="Look for the quantity that is out of all proportion in the model.",
            )
        if digits.endswith(".0"):
            return "0" if digits == "-0.0" else digits[:-2]
        return digits
    return _without_exponent(*digits.split("e"))


def _without_exponent(mantissa: str, exponent: str) -> str:
    """Digits written out where ECMAScript writes them out, else its own form of the exponent."""
    power = int(exponent)
    if power >= FIRST_WITH_EXPONENT or power < -6:
        return f"{mantissa}e{power:+d}"
    sign = "-" if mantissa[0] == "-" else ""
    digits = mantissa.lstrip("-").replace(".", "")
    if power < 0:
        return f"{sign}0.{'0' * (-power - 1)}{digits}"
    return f"{sign}{digits:0<{power + 1}}"


def canonical_text(value: Json) -> str:
    """A JSON value as RFC 8785 spells it."""
    if isinstance(value, str):
        return text_of(value)
    if value is None:
        return "null"
    if value is True or value is False:
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{" + ",".join([text_of(key) + ":" + canonical_text(value[key]) for key in _ordered(value)]) + "}"
    if isinstance(value, list):
        return "[" + ",".join([canonical_text(item) for item in value]) + "]"
    return number_text(value)


def digest_of(value: Json) -> str:
    """`sha256:` and the hexadecimal SHA-256 of the canonical bytes of a JSON value."""
    return "sha256:" + sha256(utf8(canonical_text(value))).hexdigest()


def utf8(text: str) -> bytes:
    """A text in UTF-8. Raises CannotWriteError `not-text` where it holds half of a surrogate pair."""
    try:
        return text.encode()
    except UnicodeEncodeError as error:
        near = ascii(text[max(0, error.start - 20) : error.start + 1])
        raise CannotWriteError(
            "not-text",
            what=f"half of a surrogate pair stands where a character should, after {near}.",
            do="Put a character in its place, or take it out.",
        ) from error


def _ordered(value: dict[str, Json]) -> list[str]:
    """Keys by UTF-16 code units, which for ASCII is the order of the characters."""
    keys = sorted(value)
    if not "".join(keys).isascii():
        keys.sort(key=lambda key: key.encode("utf-16-be", "surrogatepass"))
    return keys
