"""Runs of a truss in which some members carry tension alone or compression alone, or slip before they carry.

The truss in which all of them carry both ways is solved under every case, and under a shortening of each of them
by one. What a run is then follows for the run as a whole: the shortenings at which forces and signs both hold
(`contact`), and with them every force, movement and reaction. The set found is proved on the final forces, or the
run is refused; it is never a sum of what its cases do alone. See `giving` for stages and tendons.
Shapes: n movements, m segments, c load cases, r runs, k members that may give way.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.assembly import answered
from trussio.analysis.bearings import reactions
from trussio.analysis.contact import NoBalanceError, least
from trussio.analysis.end_springs import along, ends_of
from trussio.analysis.properties import pointer
from trussio.analysis.recovery import Cases, recover
from trussio.analysis.spans import Released
from trussio.analysis.stations import handed
from trussio.errors import CannotAnalyseError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.analysis.arrays import Floats
    from trussio.analysis.assembly import Assembly
    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import SegmentId, Truss

NOTHING = 1e-9
"""A force below this part of the largest that the cases of its run put on any segment is none."""
ROUNDING = 1e-12
"""Part of the force that would take up all play which is rounding: where there is no load it is all there is."""
PROVED = 1e-7
"""So far a sign may be off in what was found, as a part of what cases and shortenings do to any segment."""


class Slackening(NamedTuple):
    """A tendon whose path may shorten without force."""

    tendon: str
    low: float = 0.0
    high: float = np.inf


class Yielding(NamedTuple):
    """A segment that may shorten without force, between `low` and `high`.

    The force that works on it is `own` (3,) times the basic forces, and `released` (c,) besides. `end` is the end
    at which a connection has play; where it is None the whole segment then carries nothing.
    """

    segment: int
    own: Floats
    released: Floats
    low: float
    high: float
    end: int | None


def one_way(
    truss: Truss, made: Assembly, runs: Sequence[RunId], factors: Floats
) -> dict[RunId, RunForces | CannotAnalyseError]:
    """The record of each run with the segments that are slack, or `no-acting-set` where no set balances it.

    `factors` (r, c) give each run as a sum of cases.
    """
    among = yielding(truss, made)
    cases = _cases(truss, made, among)
    own = np.array([one.own for one in among])
    force = np.einsum("kb,kbc->kc", own, cases.basic[[one.segment for one in among]])
    count = factors.shape[1]
    force[:, :count] += np.array([one.released for one in among])
    stiff = alone(made, among)
    found: dict[RunId, RunForces | CannotAnalyseError] = {}
    kept: list[tuple[RunId, Floats]] = []
    for row, run in zip(factors, runs, strict=True):
        worked = float((np.abs(force[:, :count]) @ np.abs(row)).max())
        size = max(worked, reached(made, cases.basic[:, :, :count], np.abs(row)))
        try:
            by = settled(among, force[:, :count] @ row, force[:, count:], stiff, size=size)
            whole = np.concatenate([row, by])
            most = float((np.abs(cases.basic[:, 0]) @ np.abs(whole)).max(initial=0.0))
            prove(among, by, force @ whole, most=most, none=rounding(among, force[:, count:]))
        except NoBalanceError as error:
            found[run] = no_set(truss, run, among, error)
            continue
        kept.append((run, whole))
    if not kept:
        return found
    rows = np.array([whole for _, whole in kept])
    records = recover(truss, made.ideal, made.shape, held=made.held.all, cases=cases, factors=rows)
    for record, (run, whole) in zip(records, kept, strict=True):
        found[run] = replace(record, slack=slack_of(truss, among, whole[count:]))
    return found


def yielding(truss: Truss, made: Assembly) -> list[Yielding]:
    """Every segment that acts one way, and every end that slips before it carries."""
    found = []
    count = made.loads.shape[1]
    for number, segment in enumerate(truss.segments):
        acts = truss.members[segment.member].acts
        if acts is not None:
            low, high = (0.0, np.inf) if acts == "tension" else (-np.inf, 0.0)
            found.append(Yielding(number, np.array([1.0, 0.0, 0.0]), np.zeros(count), low, high, end=None))
    for number, end, which in ends_of(truss):
        play = (truss.members[truss.segments[number].member].play or {}).get(which)
        if play is not None:
            own, released = along(made.shape, made.spans, number, end)
            found.append(Yielding(number, own, released, -play, play, end=end))
    return found


def _cases(truss: Truss, made: Assembly, among: list[Yielding]) -> Cases:
    """What the cases do, and after them what each member does that shortens by one."""
    gaps = np.zeros((len(made.gaps), 3, len(among)))
    for column, one in enumerate(among):
        gaps[one.segment, :, column] = -one.own
    blank = np.zeros((made.frame.total, len(among)))
    loads, pushed, start = (
        np.concatenate([values, blank], axis=1) for values in (made.loads, made.held.pushed, made.held.start)
    )
    found = answered(
        truss, made, loads=loads, gaps=np.concatenate([made.gaps, gaps], axis=2), pushed=pushed, start=start
    )
    return Cases(
        movements=found.movements,
        basic=found.basic,
        reactions=reactions(made.held, handed(made.among, found.needed)),
        spans=[(cut, Released(*(_padded(values, len(among)) for values in state))) for cut, state in made.spans],
    )


def _padded(values: Floats, more: int) -> Floats:
    """Values (c, ...) and as many cases more that load nothing."""
    return np.concatenate([values, np.zeros((more, *values.shape[1:]))])


def alone(made: Assembly, among: list[Yielding]) -> Floats:
    """The stiffness (k,) of each against being made shorter, by itself."""
    return 1.0 / np.array([one.own @ made.frame.flexibility[one.segment] @ one.own for one in among])


def reached(made: Assembly, basic: Floats, reach: Floats) -> float:
    """The largest axial force, or end moment over the chord, that basic forces (m, 3, c) may add up to.

    `reach` (c,) are the sizes of the factors on them.
    """
    sums = np.abs(basic) @ reach
    sums[:, 1:] /= made.shape.chord[:, None]
    return float(sums.max(initial=0.0))


def settled(
    among: Sequence[Yielding | Slackening], start: Floats, growth: Floats, stiff: Floats, *, size: float
) -> Floats:
    """How far each member has shortened (k,).

    `start` (k,) are the forces with nothing shortened, `growth` (k, k) what each shortening does to all, `stiff`
    (k,) the stiffness of each alone; `size` is the largest force that counts. Raises NoBalanceError.
    """
    low, high = np.array([(one.low, one.high) for one in among]).T
    nothing = NOTHING * size + rounding(among, growth)
    return least((growth + growth.T) / 2, start, low, high, own=stiff, nothing=nothing)


def rounding(among: Sequence[Yielding | Slackening], growth: Floats) -> float:
    """The force that play alone may leave by rounding, where `growth` (k, k) is what shortenings do."""
    bounds = np.array([(one.low, one.high) for one in among])
    play = np.abs(np.where(np.isfinite(bounds), bounds, 0.0)).max(axis=1)
    return ROUNDING * float((np.abs(growth) @ play).max())


def prove(
    among: Sequence[Yielding | Slackening], shortened: Floats, forces: Floats, *, most: float, none: float
) -> None:
    """Raise NoBalanceError where a final force (k,) has a sign that its shortening forbids.

    `most` is a large force here, `none` one that is rounding.
    """
    wrong = np.zeros(len(among))
    for index, (one, by, force) in enumerate(zip(among, shortened.tolist(), forces.tolist(), strict=True)):
        off = -force if by <= one.low else force if by >= one.high else abs(force)
        wrong[index] = not off <= PROVED * most + none
    if wrong.any():
        raise NoBalanceError(wrong)


def no_set(
    truss: Truss, run: RunId, among: Sequence[Yielding | Slackening], error: NoBalanceError
) -> CannotAnalyseError:
    """What is said of a run that no set of members balances."""
    going = [one for one, way in zip(among, error.direction, strict=True) if way]
    named = dict.fromkeys(
        ("tendons", one.tendon) if isinstance(one, Slackening) else ("members", truss.segments[one.segment].member)
        for one in going
    )
    which = f": {', '.join(name for _, name in named)} would have to carry the other way" if named else ""
    return CannotAnalyseError(
        "no-acting-set",
        where=pointer(*next(iter(named))) if named else "",
        what=f"in run {run} no set of the members that carry one way balances the loads{which}.",
        do="Look for what holds the truss then, or say that they carry both ways if they do.",
    )


def slack_of(truss: Truss, among: list[Yielding], shortened: Floats) -> dict[SegmentId, float]:
    """The segments which carry nothing, with how far they are from carrying."""
    return {
        truss.segments[one.segment].id: abs(by)
        for one, by in zip(among, shortened.tolist(), strict=True)
        if one.end is None and by
    }
