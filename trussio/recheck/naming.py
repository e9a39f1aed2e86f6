"""What a wrong table looks like: the slips that people and programs make, each by its name.

Every slip is tried on the figures of one run against the recheck's own, in the order of `SLIPS`: whole-table slips
before those of a few members, since they say more. A slip is named only if it explains every figure to
within the table's rounding; nothing is named on likeness alone.
"""

from __future__ import annotations

from math import floor, log10
from typing import TYPE_CHECKING, Final, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from trussio.model.truss import JointId, SegmentId, Truss

KNOWN_FACTORS: Final = (
    (1000.0, "kN as N, or kips as lb"),
    (4.4482216152605, "kips as kN, or lb as N"),
    (4448.2216152605, "kips as N"),
    (12.0, "feet as inches"),
    (9.80665, "kgf as N"),
    (2.2046226218488, "kg as lb"),
    (453.59237, "lb as g"),
    (2000.0, "tons as lb"),
)
"""Factors between units that people mix, with what is mixed; the inverse of each is tried too. Common practice,
no source; the figures are exact or rounded from exact ones."""
FIGURES: Final = (5, 4, 3)
"""So many significant figures may agree throughout a table that gives more."""
ENOUGH: Final = 3
"""Figures that a pattern must explain before it is one."""


class Slip(NamedTuple):
    """A slip: its slug, a sentence, and the segments that it touches (empty: all)."""

    kind: str
    says: str
    segments: tuple[SegmentId, ...] = ()


class Figures(NamedTuple):
    """One run, segment by segment in the table's own order, those missing left out."""

    names: Sequence[SegmentId]
    claimed: Sequence[float]
    own: Sequence[float]
    tolerance: Sequence[float]

    def fits(self, place: int, value: float) -> bool:
        """Whether the figure at a place is this value to within its tolerance."""
        return abs(self.claimed[place] - value) <= self.tolerance[place]

    @property
    def wrong(self) -> list[int]:
        """The places where the claimed figure is not our own."""
        return [place for place, value in enumerate(self.own) if not self.fits(place, value)]


def name_slip(figures: Figures, truss: Truss) -> Slip | None:
    """The slip that explains all that is wrong in a run, or None."""
    wrong = figures.wrong
    if not wrong:
        return None
    for try_slip in SLIPS:
        slip = try_slip(figures, wrong, truss)
        if slip is not None:
            return slip
    return None


def _one_force(figures: Figures, wrong: list[int], _: Truss) -> Slip | None:
    if len(wrong) != 1:
        return None
    place = wrong[0]
    name, claimed, own = figures.names[place], figures.claimed[place], figures.own[place]
    if figures.fits(place, -own):
        return Slip("one-sign", f"the sign of {name} is turned round", (name,))
    for shift in (0.001, 0.01, 0.1, 10.0, 100.0, 1000.0):
        if abs(claimed - own * shift) <= figures.tolerance[place] * max(shift, 1.0):
            return Slip("decimal-point", f"the decimal point of {name} has slipped", (name,))
    return Slip("one-force", f"{name} alone is wrong", (name,))


def _swapped(figures: Figures, wrong: list[int], _: Truss) -> Slip | None:
    if len(wrong) != 2:
        return None
    one, other = wrong
    if not (figures.fits(one, figures.own[other]) and figures.fits(other, figures.own[one])):
        return None
    names = (figures.names[one], figures.names[other])
    return Slip("swapped", f"the figures of {names[0]} and {names[1]} are swapped", names)


def _all_signs(figures: Figures, wrong: list[int], _: Truss) -> Slip | None:
    if len(wrong) == 1 or not all(figures.fits(place, -value) for place, value in enumerate(figures.own)):
        return None
    return Slip("signs-flipped", "all signs are turned round: compression seems to be given as positive")


def _factor(figures: Figures, wrong: list[int], _: Truss) -> Slip | None:
    """All figures by one factor, in the sense of least squares, to within rounding."""
    square = sum(value * value for value in figures.own)
    if len(wrong) < ENOUGH or square == 0:
        return None
    factor = sum(c * f for c, f in zip(figures.claimed, figures.own, strict=True)) / square
    for known, meaning in (*KNOWN_FACTORS, *((1 / value, text) for value, text in KNOWN_FACTORS)):
        for signed in (known, -known):
            if abs(factor / signed - 1) < 0.02 and _is_times(figures, signed):
                size = f"{known:.6g} times too large" if known > 1 else f"{1 / known:.6g} times too small"
                way = meaning if known > 1 else f"{meaning}, the other way"
                turned = ", and all signs are turned round" if signed < 0 else ""
                return Slip("units", f"all figures are {size} ({way}?){turned}")
    if abs(factor - 1) > 0.02 and factor != 0 and _is_times(figures, factor):
        return Slip("factor", f"all figures are {factor:.4g} times those found: a load factor, or other loads?")
    return None


def _is_times(figures: Figures, factor: float) -> bool:
    return all(
        abs(claimed - factor * own) <= tolerance * max(1.0, abs(factor))
        for claimed, own, tolerance in zip(figures.claimed, figures.own, figures.tolerance, strict=True)
    )


def _some_signs(figures: Figures, wrong: list[int], _: Truss) -> Slip | None:
    if not all(figures.fits(place, -figures.own[place]) for place in wrong):
        return None
    names = tuple(figures.names[place] for place in wrong)
    if len(wrong) >= ENOUGH and min(figures.claimed) >= 0.0:
        return Slip("no-signs", "no figure has a sign: write compression as negative", names)
    return Slip("some-signs", f"the signs of {len(names)} members are turned round: {', '.join(names)}", names)


def _shifted(figures: Figures, wrong: list[int], _: Truss) -> Slip | None:
    """The figures from the first wrong one to the last stand some rows too early or too late."""
    first, last = wrong[0], wrong[-1]
    for by in (1, -1, 2, -2, 3, -3):
        rows = [row for row in range(first, last + 1) if first <= row - by <= last]
        if len(rows) >= ENOUGH and all(figures.fits(row, figures.own[row - by]) for row in rows):
            way = "late" if by > 0 else "early"
            count = f"{abs(by)} row{'s' if abs(by) > 1 else ''}"
            names = (figures.names[first], figures.names[last])
            return Slip("shifted", f"the figures from {names[0]} to {names[1]} stand {count} too {way}", names)
    return None


def _mirrored(figures: Figures, wrong: list[int], truss: Truss) -> Slip | None:
    """Each figure is that of the member at the same place seen from the other side."""
    image = mirror_images(truss)
    place_of = {name: place for place, name in enumerate(figures.names)}
    pairs = [
        (place, place_of[image[name]])
        for place, name in enumerate(figures.names)
        if name in image and image[name] in place_of
    ]
    explained = {place for place, _ in pairs}
    if len(pairs) < max(ENOUGH, 0.6 * len(figures.names)) or not any(place in explained for place in wrong):
        return None
    if not all(figures.fits(place, figures.own[other]) for place, other in pairs):
        return None
    return Slip("mirrored", "the table is mirrored left to right: it seems to be of the other side's view")


def mirror_images(truss: Truss) -> dict[SegmentId, SegmentId]:
    """For each segment the one at its mirrored place, joint by nearest joint; those without one are left out."""
    middle = (min(j.x for j in truss.joints.values()) + max(j.x for j in truss.joints.values())) / 2
    image: dict[JointId, JointId] = {
        name: min(
            truss.joints,
            key=lambda other: (
                (truss.joints[other].x - 2 * middle + joint.x) ** 2 + (truss.joints[other].y - joint.y) ** 2
            ),
        )
        for name, joint in truss.joints.items()
    }
    ends: Mapping[frozenset[JointId], SegmentId] = {frozenset((s.first, s.last)): s.id for s in truss.segments}
    return {
        s.id: ends[pair] for s in truss.segments if (pair := frozenset((image[s.first], image[s.last]))) in ends
    }


def _rounded(figures: Figures, wrong: list[int], _: Truss) -> Slip | None:
    """All figures agree to some significant figures, though the table has one that shows more."""
    if len(wrong) < ENOUGH:
        return None
    for digits in FIGURES:
        halves = [0.5 * 10.0 ** (floor(log10(abs(own))) - digits + 1) if own else 0.0 for own in figures.own]
        if all(
            abs(claimed - own) <= half * (1 + 1e-9) + tolerance
            for claimed, own, half, tolerance in zip(
                figures.claimed, figures.own, halves, figures.tolerance, strict=True
            )
        ):
            return Slip(
                "rounded",
                f"all figures agree to {digits} significant figures, and the table gives some with more: "
                "rounded in part, or stiffnesses that differ a little? `--within` says what may be off",
            )
    return None


SLIPS: Final[tuple[Callable[[Figures, list[int], Truss], Slip | None], ...]] = (
    _all_signs,
    _factor,
    _one_force,
    _swapped,
    _mirrored,
    _shifted,
    _some_signs,
    _rounded,
)
