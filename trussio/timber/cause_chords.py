"""Rules that explain why a chord bends: webs that push on it, splices and cut plies beside its greatest moment.

Each rule gives one sentence with numbers of the model, or nothing. Signs as in `cause_facts`.
Source: statics; that a stick passes no moment on where it ends is how the model is made.
"""

from __future__ import annotations

from math import hypot
from typing import TYPE_CHECKING, Final

from trussio.model.check import ratio_words
from trussio.timber.butts import AT_BUTT
from trussio.timber.cause_loads import SMALL, amount, force_words, moment_words
from trussio.timber.stock import POUND

if TYPE_CHECKING:
    from trussio.model.check import Check
    from trussio.model.connection import Butt
    from trussio.model.truss import JointId, Segment
    from trussio.timber.cause_facts import Facts
    from trussio.units import UnitSystem

CHORDS: Final = ("top-chord", "bottom-chord")
A_PART: Final = 0.1
"""Ratio of bending alone from which bending has a part in it."""
IN_LINE: Final = 0.2
"""Sine of the angle up to which two sticks are one line of a chord."""


def pushing_web(facts: Facts) -> str:
    """Raised where a chord bends most at a joint and a web in compression pushes across the chord there."""
    segment, forces = facts.segment, facts.forces
    if segment is None or forces is None or facts.truss.members[segment.member].role not in CHORDS:
        return ""
    end = 0 if abs(forces.moment[0]) >= abs(forces.moment[1]) else 1
    joint = (segment.first, segment.last)[end]
    if not bends(facts) or abs(forces.moment[end]) < 0.5 * abs(forces.moment_peak):
        return ""
    webs = [one for one in facts.truss.segments if _is_web(facts, one) and joint in (one.first, one.last)]
    pushes = [(_across(facts, web, joint, segment), web) for web in webs]
    push, web = min(pushes, default=(0.0, segment), key=lambda found: found[0])
    if push >= -SMALL * abs(forces.axial) / 10:
        return ""
    units, axial = facts.truss.units, facts.bench.forces(facts.run, web.id).axial
    return (
        f"At {joint} the web {web.member}, with {force_words(units, axial)}, pushes on the chord with "
        f"{amount(units, push)} across it; the chord bends there with {moment_words(units, forces.moment[end])}."
    )


def next_to_splice(facts: Facts) -> str:
    """Raised where a chord that bends is spliced beside a segment, or has a ply cut on it."""
    segment, forces = facts.segment, facts.forces
    if segment is None or forces is None or not bends(facts):
        return ""
    units = facts.truss.units
    moment = moment_words(units, forces.moment_peak)
    panel = facts.bench.lengths[segment.id].panel
    for joint in (segment.first, segment.last):
        if _goes_on(facts, joint):
            off = forces.moment_peak_at if joint == segment.first else panel - forces.moment_peak_at
            return (
                f"At {joint} beside it the chord is spliced and passes no moment on in the model; it bends most "
                f"{_long(units, off)} from there, with {moment}."
            )
    for butt in facts.truss.members[segment.member].butts or ():
        place = _place(facts, segment, butt)
        if place is not None:
            off = abs(place - forces.moment_peak_at)
            return f"Ply {butt.ply} is cut on it, {_long(units, off)} from where it bends most, with {moment}."
    return ""


def cut_ply(facts: Facts) -> str:
    """Raised where the section at a butt governs: what its plies and the connection across carry of the force."""
    check, forces = facts.check, facts.forces
    if AT_BUTT not in check.what or forces is None or facts.segment is None:
        return ""
    carried, ply = facts.figure("carried"), facts.figure("ply")
    section = facts.truss.section_of(facts.segment.member)
    if carried is None or ply is None or section is None:
        return ""
    across = [line for line in check.derivation.lines if line.symbol.startswith("across ")]
    brought = sum(line.value for line in across)
    units, pound = facts.truss.units, POUND[facts.truss.units]
    told = [f"{amount(units, (carried - brought) / pound)} by the wood"]
    told += [f"{amount(units, brought / pound)} by what brings cut plies past their butts"] if across else []
    whole = max(
        (one.ratio for one in facts.checks if _same_but_whole(one, check)),
        default=None,
        key=lambda ratio: ratio or 0.0,
    )
    place = check.what.partition(AT_BUTT)[2]
    uncut = "" if whole is None else f" Uncut it would stand at {ratio_words(whole, interaction=True)}."
    return (
        f"At the butt of ply{place} the section carries {amount(units, carried / pound)} ({' and '.join(told)}) "
        f"of its {section.plies} plies' {amount(units, section.plies * ply / pound)}.{uncut}"
    )


def _same_but_whole(one: Check, check: Check) -> bool:
    """Whether a check is of the same kind and run on the whole section."""
    return one.run == check.run and one.what == check.what.partition(AT_BUTT)[0] and one.ratio is not None


def bends(facts: Facts) -> bool:
    """Whether bending has a part in how a segment stands."""
    alone = facts.alone
    return alone is not None and alone.bending > A_PART


def _is_web(facts: Facts, web: Segment) -> bool:
    return facts.truss.members[web.member].role == "web"


def _across(facts: Facts, web: Segment, joint: JointId, chord: Segment) -> float:
    """The part of a web's axial force that is square to the chord, tension positive."""
    dx, dy = _way(facts, web, joint)
    cx, cy = _way(facts, chord, joint)
    return facts.bench.forces(facts.run, web.id).axial * abs(dx * cy - dy * cx)


def _way(facts: Facts, segment: Segment, joint: JointId) -> tuple[float, float]:
    """The direction in which a segment leaves a joint."""
    at = facts.truss.joints[joint]
    other = facts.truss.joints[segment.last if segment.first == joint else segment.first]
    length = hypot(other.x - at.x, other.y - at.y)
    return (other.x - at.x) / length, (other.y - at.y) / length


def _goes_on(facts: Facts, joint: JointId) -> bool:
    """Whether the stick ends at a joint and another chord stick of its role goes on from there in its line."""
    if facts.segment is None:
        return False
    own = facts.truss.members[facts.segment.member]
    if own.role not in CHORDS or joint not in (own.through[0], own.through[-1]):
        return False
    mine = _way(facts, facts.segment, joint)
    for one in facts.truss.segments:
        other = facts.truss.members[one.member]
        ends = joint in (other.through[0], other.through[-1]) and joint in (one.first, one.last)
        if other is own or other.role != own.role or not ends:
            continue
        way = _way(facts, one, joint)
        if abs(mine[0] * way[1] - mine[1] * way[0]) <= IN_LINE and mine[0] * way[0] + mine[1] * way[1] < 0:
            return True
    return False


def _place(facts: Facts, segment: Segment, butt: Butt) -> float | None:
    """How far from the segment's first joint a butt lies on it; None where it lies elsewhere."""
    lengths = facts.bench.lengths
    if isinstance(butt.at, str):
        ends = {segment.first: 0.0, segment.last: lengths[segment.id].panel}
        return ends.get(butt.at)
    before = [one for one in facts.truss.segments if one.member == segment.member and one.index < segment.index]
    place = butt.at - sum(lengths[one.id].panel for one in before)
    return place if 0 <= place <= lengths[segment.id].panel else None


def _long(units: UnitSystem, length: float) -> str:
    return f"{length:.3g} in." if units == "us" else f"{length:.0f} mm"
