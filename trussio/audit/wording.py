"""How findings name places and put figures: JSON Pointers, lists of names, lengths, directions.

Lengths come in base lengths of the document and are shown as a surveyor would read them off a tape.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

    from trussio.units import UnitSystem

FEW: Final = 6
"""A sentence names at most so many things; the pointers and the evidence name them all."""


def pointer(*parts: str | int) -> str:
    """The JSON Pointer (RFC 6901) of a place in the document."""
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in parts)


def joint_pointers(names: Iterable[str]) -> tuple[str, ...]:
    """The pointers of joints."""
    return tuple(pointer("joints", name) for name in names)


def member_pointers(names: Iterable[str]) -> tuple[str, ...]:
    """The pointers of members, each once, in the order given."""
    return tuple(pointer("members", name) for name in dict.fromkeys(names))


def listed(names: Iterable[str], *, last: str = "and") -> str:
    """Names in a sentence: `A`, `A and B`, `A, B and C`; beyond a few, how many more there are."""
    known = list(names)
    if len(known) > FEW + 1:
        known = [*known[:FEW], f"{len(known) - FEW} more"]
    if len(known) < 2:
        return "".join(known)
    return f"{', '.join(known[:-1])} {last} {known[-1]}"


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number with its noun: `1 mechanism`, `2 mechanisms`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def rounded(value: float) -> float:
    """A figure for evidence: four significant digits, so that the last bits of arithmetic do not show."""
    return float(f"{value:.4g}")


def figure(value: float) -> str:
    """A figure of three digits, with commas from a thousand on."""
    return f"{float(f'{value:.3g}'):,.0f}" if abs(value) >= 1000 else f"{value:.3g}"


def length(value: float, units: UnitSystem) -> str:
    """A length as read off a tape: to 1/100 in. below an inch, to a tenth of an inch or to the mm."""
    if units == "si":
        return f"{value:.0f} mm" if value >= 10 else f"{value:.2g} mm"
    if value < 1:
        return f"{value:.2g} in."
    if value < 120:
        return f"{value:.1f} in.".replace(".0 in.", " in.")
    return f"{value / 12:.1f} ft".replace(".0 ft", " ft")


def heading(dx: float, dy: float) -> str:
    """Where a movement goes, in words."""
    if abs(dx) >= 2 * abs(dy):
        return "sideways"
    if abs(dy) >= 2 * abs(dx):
        return "up and down"
    return "up to the right and down to the left" if dx * dy > 0 else "up to the left and down to the right"
