"""Bands as text: the members whose sign is not certain first, then one block a run."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.drawing.quantities import force_scale, force_text, moment_scale, movement_scale

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.model.bands import Bands, ReactionBands, SegmentBands
    from trussio.model.truss import JointId, SegmentId, Truss

HOW: Final = (
    "Joints, each by itself, up to {tolerance} left or right and up or down; {spread}.\n"
    "All alike likely, the same {samples:,} variations every time. A band holds 95 % of them, half of the others\n"
    "lie on either side; half lie below the likely value. The moment is the size of the largest on the segment."
)
SHOWN: Final = 0.0005
LIMITS: Final = (
    "Bands hold what the survey may have measured wrong, and nothing else: loads, sections, connections and what\n"
    "nobody saw are taken as entered. The engineer in responsible charge decides whether they fit this building."
)


def bands_text(truss: Truss, bands: Bands) -> str:
    """Every run of the bands as text."""
    lines = [
        f"{truss.title} - {bands.idealisation}, as {bands.state}, model {bands.model[7:19]}, forces as bands",
        HOW.format(
            tolerance=movement_scale(truss.units).text(bands.tolerance),
            samples=bands.samples,
            spread=f"sticks stiffer or softer by up to {bands.stiffness:.0%}"
            if bands.stiffness
            else "sticks as stated",
        ),
    ]
    if bands.despite:
        lines.append(f"OVER A STOP ({', '.join(bands.despite)}): no force here may be relied on.")
    if bands.rests_on:
        lines.append(f"Rests on {len(bands.rests_on)} unconfirmed assumptions: {', '.join(bands.rests_on)}")
    lines += [f"NOT EVALUATED: {why}" for why in bands.not_evaluated.values()]
    lines += ["", *_uncertain(bands)]
    for run, segments in bands.runs.items():
        lines += ["", f"run {run}", *_run(truss, segments), *_reactions(truss, bands.reactions.get(run, {}))]
    return "\n".join([*lines, "", LIMITS]) + "\n"


def _uncertain(bands: Bands) -> Iterator[str]:
    if not bands.uncertain:
        yield "No member changes its sign within the tolerance."
        return
    yield "SIGN NOT CERTAIN within the tolerance: tie or strut, these must do as both"
    for name, runs in bands.uncertain.items():
        told = (f"{run} ({_shares(bands.runs[run][name])})" for run in runs)
        yield f"  {name}: {', '.join(told)}"


def _shares(one: SegmentBands) -> str:
    return f"{_share(one.tension)} T, {_share(one.compression)} C"


def _share(part: float) -> str:
    """A share in per cent; what is there never reads as none, nor as all."""
    if not SHOWN <= part <= 1.0 - SHOWN and 0.0 < part < 1.0:
        return "< 0.1 %" if part < SHOWN else "> 99.9 %"
    return f"{part:.1%}".replace("%", " %")


def _run(truss: Truss, segments: Mapping[SegmentId, SegmentBands]) -> Iterator[str]:
    axial = force_scale(truss.units, max((abs(v) for s in segments.values() for v in s.axial), default=0.0))
    moment = moment_scale(truss.units, max((s.moment_size.high for s in segments.values()), default=0.0))
    wide = max((len(name) for name in segments), default=7)
    yield f"  {'segment':<{wide}}  {f'axial: low, likely, high, {axial.unit}':>36}  {f'moment, {moment.unit}':>30}"
    for name, s in segments.items():
        forces = "".join(f"{force_text(axial, value):>12}" for value in s.axial)
        moments = "".join(f"{moment.number(value):>10}" for value in s.moment_size)
        mark = "" if s.certain else "  sign not certain"
        yield f"  {name:<{wide}}  {forces}  {moments}{mark}"


def _reactions(truss: Truss, reactions: Mapping[JointId, ReactionBands]) -> Iterator[str]:
    """What each bearing pushes upwards and, where it does, to the right."""
    pushes = [push for one in reactions.values() for band in (one.x, one.y) for push in band]
    scale = force_scale(truss.units, max(map(abs, pushes), default=0.0))
    for joint, one in reactions.items():
        words = {"up": one.y, **({"right": one.x} if any(scale.number(push) != "0" for push in one.x) else {})}
        said = "; ".join(
            f"{' '.join(scale.number(push) for push in band)} {scale.unit} {way}" for way, band in words.items()
        )
        down = f"; it must hold down in {_share(one.down)}" if one.down else ""
        yield f"  reaction at {joint}: low, likely, high {said}{down}"
