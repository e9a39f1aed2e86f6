r"""Texts of a drawing as a person reads them: every code of the file format decoded, stacks kept as fractions.

Terms: a *stack* is a fraction set one over the other (`\S1/2;`); put in line it needs a blank before it, or two
and a half becomes twenty-one halves. An *escape* spells a character by its number: `\U+00BD`, `\M+1` with a
code page of the Far East, `%%c`. A byte that the file's code page cannot hold arrives as a lone surrogate
and is shown as `<byte 0x8D>`, so that it breaks neither JSON nor XML. Codes: published DXF reference, group code
descriptions of TEXT and MTEXT; `\M+` pages from memory.
"""

from __future__ import annotations

import re
from typing import Final

_FAR_EAST: Final = {"1": "cp932", "2": "cp950", "3": "cp949", "4": "johab", "5": "cp936"}
_ESCAPE: Final = re.compile(r"\\U\+([0-9A-Fa-f]{4,5})|\\M\+([1-5])([0-9A-Fa-f]{4})")
_PERCENT: Final = re.compile(r"%%(?:([cdpouk%])|(\d{3}))", re.IGNORECASE)
_SIGNS: Final = {"c": "\u2300", "d": "\u00b0", "p": "\u00b1", "%": "%", "o": "", "u": "", "k": ""}
_CARET: Final = {"I": " ", "J": "\n", "M": "", " ": "^"}
_LONE: Final = re.compile("[\ud800-\udfff]")
_CONTROL: Final = re.compile(r"[\x00-\x09\x0b-\x1f\x7f]")
_FIELD: Final = re.compile(r"%<\\.*?>%", re.DOTALL)

_ARGUMENT: Final = frozenset("fFHWQTACcp")
"""Codes of a paragraph text that take an argument up to a semicolon: font, height, width, slant, spacing ..."""
_BARE: Final = frozenset("LlOoKk")
"""Codes without an argument: lines under, over and through."""
_BREAKS: Final = {"P": "\n", "N": "\n", "X": "\n", "~": " "}


def decoded(raw: str) -> str:
    """A name or text with its character escapes decoded and what cannot be shown spelled out."""
    text = _ESCAPE.sub(_character, raw) if "\\" in raw else raw
    return text if text.isascii() else _spelled_out(text)


def has_lost_bytes(raw: str) -> bool:
    """Whether a text holds bytes that its code page does not know."""
    return not raw.isascii() and _LONE.search(raw) is not None


def line_text(raw: str) -> str:
    """What a single-line text (TEXT, ATTRIB, an override of a dimension) says."""
    says = _PERCENT.sub(_sign, decoded(raw)) if "%%" in raw else decoded(raw)
    return _tidy(_carets(says))


def paragraph_text(raw: str) -> str:
    """What a paragraph text (MTEXT) says, its lines parted by line feeds, formatting left out."""
    says, place = _FIELD.sub("", decoded(raw)), 0
    out: list[str] = []
    while place < len(says):
        piece, place = _next_piece(says, place, after_digit=_ends_in_digit(out))
        out.append(piece)
    return _tidy(_PERCENT.sub(_sign, _carets("".join(out))))


def _next_piece(says: str, place: int, *, after_digit: bool) -> tuple[str, int]:
    sign = says[place]
    if sign in "{}":
        return "", place + 1
    if sign != "\\" or place + 1 == len(says):
        return sign, place + 1
    code = says[place + 1]
    if code == "S":
        end = _end_of_argument(says, place + 2)
        return _in_line(says[place + 2 : end], after_digit=after_digit), end + 1
    if code in _ARGUMENT:
        return "", _end_of_argument(says, place + 2) + 1
    if code in _BARE:
        return "", place + 2
    return _BREAKS.get(code, code), place + 2


def _end_of_argument(says: str, start: int) -> int:
    end = says.find(";", start)
    return len(says) if end < 0 else end


def _in_line(stack: str, *, after_digit: bool) -> str:
    stack = stack.replace("\\/", "/").replace("\\#", "#")
    found = re.fullmatch(r"\s*(.*?)\s*([/#^])\s*(.*?)\s*", stack, re.DOTALL)
    if found is None:
        return stack
    top, how, bottom = found.groups()
    if not bottom:
        return f"^{top}"
    if not top:
        return f"_{bottom}"
    if how == "^" and not (top.isdigit() and bottom.isdigit()):
        return f" {top}/{bottom}"
    return f" {top}/{bottom}" if after_digit else f"{top}/{bottom}"


def _ends_in_digit(out: list[str]) -> bool:
    for piece in reversed(out):
        if piece:
            return piece[-1].isdigit()
    return False


def _character(found: re.Match[str]) -> str:
    if found[1]:
        return chr(int(found[1], 16)) if int(found[1], 16) not in range(0xD800, 0xE000) else found[0]
    try:
        return bytes.fromhex(found[3]).decode(_FAR_EAST[found[2]])
    except UnicodeDecodeError:
        return found[0]


def _sign(found: re.Match[str]) -> str:
    if found[1]:
        return _SIGNS[found[1].lower()]
    number = int(found[2])
    return chr(number) if 32 <= number < 256 else ""


def _carets(text: str) -> str:
    return re.sub(r"\^([IJM ])", lambda found: _CARET[found[1]], text) if "^" in text else text


def _tidy(text: str) -> str:
    return "\n".join(_CONTROL.sub("", line.replace("\t", " ")).strip() for line in text.split("\n")).strip("\n")


def _spelled_out(text: str) -> str:
    return _LONE.sub(lambda found: _byte(ord(found[0])), text)


def _byte(number: int) -> str:
    return f"<byte 0x{number - 0xDC00:02X}>" if 0xDC80 <= number <= 0xDCFF else f"<unit 0x{number:04X}>"
