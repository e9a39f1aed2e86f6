"""Drifts behind a taller roof or a parapet after ASCE 7-16 7.7 and 7.8.

Units: psf, pcf, ft. Leeward the snow comes from the taller roof; windward from the lower one, then with three
quarters of the height; the larger of the two counts, not the sum.
Sources: Crandall, Same roof, different snow drift loads (7-16 half); Metal Building Systems Manual 2006, example
1.3.5.14(c); the cap on the height, the width beyond it and the 60 per cent limit of 7-16 from memory.
"""

from __future__ import annotations

from typing import Final, NamedTuple

WINDWARD: Final = 0.75
LEAST_CLEAR: Final = 0.2
"""Below this share of clear height over depth of snow no drift is reckoned with."""


class StepDrift(NamedTuple):
    """A triangle on top of the balanced snow: `peak` psf at the step, nothing from `width` ft on.

    `height` is that of the drift, `base` that of the balanced snow, `clear` what the step stands above it, all ft.
    """

    peak: float
    width: float
    height: float
    base: float
    clear: float


def governing_height(*, windward: float, leeward: float | None, lower: float, limited: bool) -> float:
    """The height in ft of the larger drift: `windward` is hd of our own roof, `leeward` that of the taller one.

    There is no taller roof above a parapet (None). `limited` is 7-16's limit of leeward drifts to 60 per cent of
    the length of the lower roof.
    """
    if leeward is None:
        return WINDWARD * windward
    return max(WINDWARD * windward, min(leeward, 0.6 * lower) if limited else leeward)


def step_drift(*, density: float, roof_snow: float, step: float, height: float) -> StepDrift:
    """The drift beside a step: `roof_snow` is the balanced load there, `step` its height above the lower roof."""
    base = roof_snow / density
    clear = max(0.0, step - base)
    if clear == 0 or clear < LEAST_CLEAR * base:
        return StepDrift(peak=0.0, width=0.0, height=0.0, base=base, clear=clear)
    if height <= clear:
        return StepDrift(peak=density * height, width=4 * height, height=height, base=base, clear=clear)
    width = min(4 * height**2 / clear, 8 * clear)
    return StepDrift(peak=density * clear, width=width, height=clear, base=base, clear=clear)
