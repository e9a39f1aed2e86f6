"""Readers of one JSON value each: the value or, with a fault entered, a stand-in of the right type.

With a stand-in reading goes on and collects the rest: an empty text for an id, NaN for a number (no comparison
with NaN holds, hence no fault follows from it). Nobody is ever handed a stand-in, since the ledger raises first.
Limits: ids have 1 to 64 characters; a quantity lies within 1e30 and, where it must be above zero, is at
least 1e-30; an integer beyond 2^53 is taken only where a double holds all of its digits.
"""

from __future__ import annotations

from math import isnan
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from trussio.document.canonical import EXACT, canonical_text, number_text
from trussio.document.positions import escaped

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.document.ledger import Ledger
    from trussio.model.truss import Json

    T = TypeVar("T")
    K = TypeVar("K", bound=str)
    Reader: TypeAlias = Callable[[Json, str, Ledger], T]
    IdRule: TypeAlias = tuple[frozenset[str], int]

LARGEST = 1e30
SMALLEST = 1e-30
LARGEST_DOUBLE = 1.7976931348623157e308
MOST_DEPTH = 64

CONTROLS = "".join(map(chr, (*range(0x20), *range(0x7F, 0xA0))))
NOT_IN_ID = frozenset(":/,\"'\u201c\u201d\u2018\u2019" + CONTROLS)
ANY_ID: IdRule = (NOT_IN_ID, 64)
JOINT_ID: IdRule = (NOT_IN_ID | {"-"}, 64)
SEGMENT_ID: IdRule = (NOT_IN_ID - {":"}, 194)
RUN_ID: IdRule = (NOT_IN_ID - {"/"}, 137)
"""What an id may not hold, and how long it may be; a segment's id is made from a member's and two joints', that of
a run after a stage from the ids of both."""

HEX = frozenset("0123456789abcdef")
SHA256 = "sha256:"
LONGEST_SHOWN = 40


def refuse(value: Json, where: str, ledger: Ledger, expected: str) -> None:
    """Enter that something else was expected here."""
    if value is None:
        advice = "Leave the field out where nothing is known."
    elif isinstance(value, str) and "number" in expected:
        advice = "Write the number without quotes."
    else:
        advice = f"Write {expected}."
    ledger.add(where, f"expected {expected}, found {described(value)}.", advice)


def described(value: Json) -> str:
    """What a value is, in a few words."""
    if value is None or isinstance(value, bool):
        return canonical_text(value)
    if isinstance(value, str):
        return f'the text "{value[:LONGEST_SHOWN]}{"..." if len(value) > LONGEST_SHOWN else ""}"'
    if isinstance(value, dict):
        return "an object"
    if isinstance(value, list):
        return f"a list of {len(value)}" if value else "an empty list"
    return _described_number(value)


def _described_number(value: float) -> str:
    if value in (float("inf"), float("-inf")):
        return "an infinity"
    if type(value) is int and not -EXACT <= value <= EXACT:
        return "a very long integer"
    return "NaN" if isnan(value) else number_text(value)


def text(value: Json, where: str, ledger: Ledger) -> str:
    """A text of any length."""
    if isinstance(value, str):
        return value
    refuse(value, where, ledger, "a text")
    return ""


WITHIN = " within 1e30"


def quantity(low: float, high: float, expected: str) -> Reader[float]:
    """A reader of numbers from `low` to `high`."""

    def read(value: Json, where: str, ledger: Ledger) -> float:
        if isinstance(value, (int, float)) and not isinstance(value, bool) and low <= value <= high:
            if -EXACT <= value <= EXACT or type(value) is float or number_text(value) == str(value):
                return float(value)
            what = "this integer lies beyond 2^53 and has more digits than a double holds."
            ledger.add(where, what, "Write it with fewer digits and an exponent.")
            return float("nan")
        if isinstance(value, (int, float)) and not isinstance(value, bool) and value > high == LARGEST:
            refuse(value, where, ledger, f"{expected.removesuffix(WITHIN)}{WITHIN}")
        else:
            refuse(value, where, ledger, expected)
        return float("nan")

    return read


number = quantity(-LARGEST, LARGEST, "a number within 1e30")
positive = quantity(SMALLEST, LARGEST, "a number above 0")
nonnegative = quantity(0.0, LARGEST, "a number from 0 up")
computed = quantity(-LARGEST_DOUBLE, LARGEST_DOUBLE, "a finite number")


def pair(expected: str, item: Reader[float] = number) -> Reader[tuple[float, float]]:
    """A reader of two numbers."""

    def read(value: Json, where: str, ledger: Ledger) -> tuple[float, float]:
        if not isinstance(value, list) or len(value) != 2:
            refuse(value, where, ledger, expected)
            return (float("nan"), float("nan"))
        return (item(value[0], f"{where}/0", ledger), item(value[1], f"{where}/1", ledger))

    return read


def whole(low: int, high: int, expected: str) -> Reader[int]:
    """A reader of whole numbers from `low` to `high`; `2.0` is one, as it is for JSON Schema."""

    def read(value: Json, where: str, ledger: Ledger) -> int:
        if isinstance(value, (int, float)) and not isinstance(value, bool) and low <= value <= high:
            found = int(value)
            if found == value:
                return found
        refuse(value, where, ledger, expected)
        return low

    return read


def chosen(options: tuple[K, ...]) -> Reader[K]:
    """A reader of one word out of a few."""
    known = {str(option): option for option in options}

    def read(value: Json, where: str, ledger: Ledger) -> K:
        if isinstance(value, str):
            if value in known:
                return known[value]
            words = ", ".join(f'"{option}"' for option in options)
            advice = ledger.meant(value, options) or f"Write one of {words}."
            ledger.add(where, f"{described(value)} is not known here.", advice)
        else:
            refuse(value, where, ledger, "a text")
        return options[0]

    return read


def optional(read: Reader[T]) -> Reader[T | None]:
    """A reader of what may be null, where null means that there is none."""

    def read_optional(value: Json, where: str, ledger: Ledger) -> T | None:
        return None if value is None else read(value, where, ledger)

    return read_optional


def ident(kind: Callable[[str], K], rule: IdRule = ANY_ID) -> Reader[K]:
    """A reader of ids."""

    def read(value: Json, where: str, ledger: Ledger) -> K:
        if not isinstance(value, str):
            refuse(value, where, ledger, "an id in quotes")
            return kind("")
        if is_id(value, rule):
            return kind(value)
        refuse_id(value, where, ledger, rule, on_key=False)
        return kind("")

    return read


def is_id(name: str, rule: IdRule) -> bool:
    """Whether a text may be an id."""
    return 0 < len(name) <= rule[1] and rule[0].isdisjoint(name)


def refuse_id(name: str, where: str, ledger: Ledger, rule: IdRule, *, on_key: bool) -> None:
    """Enter what is wrong with an id."""
    forbidden, longest = rule
    if not name:
        what, do = "an id is empty.", f"Give it a name of 1 to {longest} characters."
    elif len(name) > longest:
        what, do = f"an id has {len(name)} characters.", f"Shorten it to {longest} at most."
    else:
        culprit = next(character for character in name if character in forbidden)
        what = f'the id "{name}" holds {culprit!a}.'
        do = "Use other characters: an id holds none of : / , quotes or control characters"
        do += ", and the id of a joint no - either." if "-" in forbidden else "."
    ledger.add(where, what, do, on_key=on_key)


def digest(value: Json, where: str, ledger: Ledger) -> str:
    """A digest: `sha256:` and 64 hexadecimal digits in lower case."""
    if isinstance(value, str) and value.startswith(SHA256) and len(value) == 71 and HEX.issuperset(value[7:]):
        return value
    refuse(value, where, ledger, '"sha256:" and 64 hexadecimal digits in lower case')
    return ""


def pointer(value: Json, where: str, ledger: Ledger) -> str:
    """A JSON Pointer: empty, or beginning with a slash."""
    if isinstance(value, str) and (not value or value[0] == "/"):
        return value
    refuse(value, where, ledger, "a JSON Pointer such as /members/w3")
    return ""


def free(value: Json, where: str, ledger: Ledger) -> dict[str, Json]:
    """An object that holds anything JSON can say: notes, evidence."""
    if not isinstance(value, dict):
        refuse(value, where, ledger, "an object")
        return {}
    depth = where.count("/") + 1
    return {key: _anything(item, f"{where}/{escaped(key)}", ledger, depth + 1) for key, item in value.items()}


def _anything(value: Json, where: str, ledger: Ledger, depth: int) -> Json:
    """A free value at a depth, with faults for numbers that are none and for nesting beyond the limit.

    An integer beyond 2^53 becomes the double that it stands for, as it does for everybody who reads the file.
    """
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        found = computed(value, where, ledger)
        return value if -EXACT <= found <= EXACT else found
    if isinstance(value, (dict, list)) and depth > MOST_DEPTH:
        ledger.add(where, f"this lies more than {MOST_DEPTH} objects and lists deep.", "Make it flatter.")
        return None
    if isinstance(value, dict):
        return {key: _anything(item, f"{where}/{escaped(key)}", ledger, depth + 1) for key, item in value.items()}
    if isinstance(value, list):
        return [_anything(item, f"{where}/{index}", ledger, depth + 1) for index, item in enumerate(value)]
    return value
