"""Whether forces and loads balance exactly, in whole numbers: for the checker of proofs.

Every number is a numerator over a denominator, and sums are brought over a common one without being cut short:
what matters is whether a numerator is nought. All is multiplied by the scale that makes coordinates whole.
With the force density q of a segment (axial force over chord) and its end moments M1 and M2, the pull on its first
joint is q (x, y) + (M2 - M1) (y, -x) / (x^2 + y^2), the last joint gets the opposite, and its turns get M1 and
-M2: no root comes in. Only the standard library is needed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from trussio.recheck.statement import Row, Segment, Structure

    Ratio = tuple[int, int]
    """Numerator and denominator."""

DIGITS: Final = 4000
"""The longest number that is read."""


def ratio(text: object) -> Ratio:
    """A fraction written in whole numbers, -12/7: without exponents, so that its size is that of its text."""
    if not isinstance(text, str) or len(text) > DIGITS or not text.lstrip("-").replace("/", "", 1).isdecimal():
        raise ValueError(f"{text!s:.20} is not a fraction of at most {DIGITS} digits.")
    above, _, below = text.partition("/")
    if below and not int(below):
        raise ValueError(f"{text:.20} divides by nought.")
    return int(above), int(below or 1)


def whole(text: str) -> int:
    """A whole number of a file."""
    if len(text) > DIGITS:
        raise ValueError(f"{text:.20}... is a number of more than {DIGITS} digits.")
    return int(text)


def unbalanced(
    about: Structure, forces: Mapping[str, Sequence[Ratio]], others: Iterable[tuple[Row, Ratio]]
) -> str | None:
    """A free movement along which forces of segments and `others` at joints do not add up to nothing, or None."""
    rows: dict[Row, Ratio] = {}
    for name, parts in forces.items():
        if name not in about.segments:
            raise ValueError(f"The proof has a force of {name}, which is not there.")
        for row, value in _pulls(about.segments[name], parts, about.scale):
            rows[row] = _sum(rows.get(row, NOUGHT), value)
    for row, (above, below) in others:
        rows[row] = _sum(rows.get(row, NOUGHT), (above * about.scale, below))
    for name, way in about.free.items():
        total = NOUGHT
        for row, part in way.items():
            above, below = rows.get(row, NOUGHT)
            total = _sum(total, (part.numerator * above, part.denominator * below))
        if total[0]:
            return name
    return None


def _pulls(s: Segment, forces: Sequence[Ratio], scale: int) -> Iterator[tuple[Row, Ratio]]:
    """What a segment does to the rows of its joints and turns."""
    x, y, square = s.whole
    (density, over), *moments = forces
    pulls = [(density * x, density * y, over)]
    if moments:
        (first, over_first), (last, over_last) = moments
        shear = (last * over_first - first * over_last) * scale**2
        pulls.append((shear * y, -shear * x, over_first * over_last * square))
        for turn, above, below in zip(s.turns, (first, -last), (over_first, over_last), strict=True):
            if turn is not None:
                yield (turn, "turn"), (above * scale, below)
            elif above:
                raise ValueError(f"{s.id} has a moment at a hinge.")
    first_joint, last_joint = s.ends
    for along, up, below in pulls:
        yield (first_joint, "x"), (along, below)
        yield (first_joint, "y"), (up, below)
        yield (last_joint, "x"), (-along, below)
        yield (last_joint, "y"), (-up, below)


NOUGHT: Final = (0, 1)


def _sum(one: Ratio, other: Ratio) -> Ratio:
    return one[0] * other[1] + other[0] * one[1], one[1] * other[1]
