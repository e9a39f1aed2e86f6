"""How forces, moments and movements are written for people, never in in-lbf or N-mm.

One *scale* serves a whole table or sheet, so that a column keeps its decimals: three figures of the largest
value, more or less. 1 kip = 1,000 lbf. A value that prints as nothing but zeros is near zero and gets no letter.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from trussio.units import UnitSystem


class Scale(NamedTuple):
    """A unit for people: its name, the base units in one of it, and the decimals shown."""

    unit: str
    base: float
    decimals: int

    @property
    def near_zero(self) -> float:
        """Half of the last decimal, in base units: what is smaller prints as 0."""
        return float(self.base * 10.0**-self.decimals / 2)

    @property
    def near_zero_text(self) -> str:
        """The same with its unit, to one decimal more than values are shown."""
        return f"{self.near_zero / self.base:.{self.decimals + 1}f} {self.unit}"

    def number(self, value: float) -> str:
        """A value of base units as a number of this unit, without its name."""
        text = f"{value / self.base:,.{self.decimals}f}"
        return "0" if not text.strip("-0.,") else text

    def text(self, value: float) -> str:
        """The number with its unit."""
        return f"{self.number(value)} {self.unit}"


def force_scale(units: UnitSystem, largest: float) -> Scale:
    """Kips, or lb where the largest force is under one kip; kN."""
    if units == "us" and 0 < abs(largest) < 1000:
        return Scale("lb", 1.0, 0 if abs(largest) >= 10 else 2)
    return _three_figures("k" if units == "us" else "kN", 1000.0, largest)


def moment_scale(units: UnitSystem, largest: float) -> Scale:
    """Ft-kips or kN-m."""
    return _three_figures("ft-k", 12000.0, largest) if units == "us" else _three_figures("kN-m", 1e6, largest)


def movement_scale(units: UnitSystem) -> Scale:
    """Inches to a hundredth, millimetres to a tenth."""
    return Scale("in.", 1.0, 2) if units == "us" else Scale("mm", 1.0, 1)


def _three_figures(unit: str, base: float, largest: float) -> Scale:
    size = abs(largest) / base
    return Scale(unit, base, 1 if size >= 10 or size == 0 else 2 if size >= 1 else 3)


def force_text(scale: Scale, axial: float) -> str:
    """An axial force with its letter, `18.4 T` or `22.0 C`; near zero a bare `0`."""
    return f"{scale.number(abs(axial))} {letter}".rstrip() if (letter := force_letter(scale, axial)) else "0"


def force_letter(scale: Scale, axial: float) -> str:
    """`T` for tension, `C` for compression, nothing for a force that prints as zero."""
    if scale.number(axial) == "0":
        return ""
    return "T" if axial > 0 else "C"
