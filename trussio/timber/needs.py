"""What would have to change for an element to stand at its allowable under the forces that it carries now.

The real checks are made again with a wider section or with closer bracing until they are met. The forces stay, so
that this is a measure of what is lacking and no repair: a stiffer stick draws more force.
Source: own derivation, bisection.
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor, inf
from typing import TYPE_CHECKING, Final

from trussio.timber.limits import SLENDERNESS
from trussio.timber.review import checks_of
from trussio.timber.worn import worn_stretches

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from trussio.model.check import Check
    from trussio.model.truss import Segment
    from trussio.timber.bench import Bench

WIDEST: Final = 4.0
"""Times the width beyond which nobody looks."""
ROUNDS: Final = 12
LENGTHS: Final = {"us": ("in.", 0.125, 1.0), "si": ("mm", 1.0, 10.0)}
"""Unit of lengths, and the steps to which a width and a distance are rounded to the side that suffices."""
STRIDE: Final = 1.06
"""By how much the next width is wider in the search, since the tables stop and start between size classes."""


def needs(bench: Bench, check: Check, own: Sequence[Check]) -> tuple[str, ...]:
    """What would bring an element from over its limit to it in every run, one way a sentence.

    `check` governs among its `own` checks. Empty where it is not over.
    """
    if check.ratio is None or check.ratio <= 1.0:
        return ()
    segment = bench.segments.get(check.element)
    if segment is None or bench.truss.section_of(segment.member) is None:
        return _capacity(check)
    over = {one.run for one in own if one.verdict == "not met"}
    one = bench.under(bench.results, [state for state in bench.states if state.run in over])
    width = () if worn_stretches(bench, segment) else _width(one, segment)
    return (*_capacity(check), *width, *_bracing(one, segment))


def _capacity(check: Check) -> tuple[str, ...]:
    """The capacity that a single stress or force would need."""
    if check.interaction or check.ratio is None or check.ratio == inf or check.what.startswith(SLENDERNESS):
        return ()
    return (f"{_up(check.ratio, 0.01):.2f} times the capacity",)


def _width(bench: Bench, segment: Segment) -> tuple[str, ...]:
    """The width of a ply at the same depth."""
    truss, section = bench.truss, bench.truss.section_of(segment.member)
    name = truss.members[segment.member].section
    if section is None or name is None or section.width is None or section.depth is None:
        return ()
    width = section.width

    def ratio(times: float) -> float:
        sections = {**truss.sections, name: replace(section, width=width * times)}
        return _worst(bench.changed(replace(truss, sections=sections), bench.given), segment)

    times = _least(ratio)
    if times is None and ratio(WIDEST) == inf:
        return ()  # the tables hold no grade of that width
    if times is None:
        return (f"more than {WIDEST:g} times the width at the same depth",)
    unit, step, _ = LENGTHS[truss.units]
    wide = _up(width * times, step)
    area, modulus = wide * section.depth, wide * section.depth**2 / 6
    square, cube = ("in2", "in3") if truss.units == "us" else ("mm2", "mm3")
    ply = " a ply" if section.plies > 1 else ""
    size = f"area {area:.4g} {square}, section modulus {modulus:.4g} {cube}"
    return (f"a width of {wide:g} {unit} instead of {width:g} at the same depth{ply} ({size})",)


def _bracing(bench: Bench, segment: Segment) -> tuple[str, ...]:
    """The length between what holds the stick across the truss plane, where that alone would do."""
    now = bench.across(segment)
    if now is None or now <= 0:
        return ()

    def ratio(length: float) -> float:
        lateral = {**bench.given.lateral, segment.member: length}
        return _worst(bench.changed(bench.truss, replace(bench.given, lateral=lateral)), segment)

    if ratio(0.0) > 1.0:
        return ()
    low, high = 0.0, now
    for _ in range(ROUNDS):
        middle = (low + high) / 2
        low, high = (middle, high) if ratio(middle) <= 1.0 else (low, middle)
    unit, _, step = LENGTHS[bench.truss.units]
    return (f"bracing across the truss plane at most {floor(low / step) * step:g} {unit} apart, now {now:.4g}",)


def _least(ratio: Callable[[float], float]) -> float | None:
    """The least factor from 1 up at which a ratio is 1 or less, None where there is none."""
    low, high = 1.0, STRIDE
    while ratio(high) > 1.0:
        low, high = high, high * STRIDE
        if low >= WIDEST:
            return None
    for _ in range(ROUNDS):
        middle = (low + high) / 2
        low, high = (low, middle) if ratio(middle) <= 1.0 else (middle, high)
    return high


def _worst(bench: Bench, segment: Segment) -> float:
    """The greatest ratio of a segment, infinite where it cannot be checked."""
    return max((c.ratio for c in checks_of(bench, segment.id) if c.ratio is not None), default=inf)


def _up(value: float, step: float) -> float:
    return ceil(value / step - 1e-9) * step
