"""Runs of a truss in which some members carry tension alone or compression alone, or slip before they carry.

The truss in which all of them carry both ways is solved under every case, and under a shortening of each of them
by one. What a run is then follows for the run as a whole: the shortenings at which forces and signs both hold
(`contact`), and with them every force, movement and reaction. The set found is proved on the final forces, or the
run is refused; it is never a sum of what its cases do alone.
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
"""A force below this part of the largest that the cases of its run put on such a member is none."""
PROVED = 1e-7
"""So far a sign may be off in what was found, as a part of what cases and shortenings do to any segment."""


class Yielding(NamedTuple):
    """A segment that may shorten without force, between `low` and `high`.

    The force that works on it is `own` (3,) times the basic forces, and `released` (c,) besides. `slack` tells
    that it then carries nothing: it is no connection that only slips.
    """

    segment: int
    own: Floats
    released: Floats
    low: float
    high: float
    slack: bool


def one_way(truss: Truss, made: Assembly, runs: Sequence[RunId], factors: Floats) -> list[RunForces]:
    """The records of runs, each with the segments that are slack; `factors` (r, c) give it as a sum of cases.

    Raises CannotAnalyseError `no-acting-set` where no set of members balances a run.
    """
    among = _yielding(truss, made)
    cases = _cases(truss, made, among)
    own = np.array([one.own for one in among])
    basic = cases.basic[[one.segment for one in among]]
    force = np.einsum("kb,kbc->kc", own, basic)
    count = factors.shape[1]
    force[:, :count] += np.array([one.released for one in among])
    stiff = 1.0 / np.array([one.own @ made.frame.flexibility[one.segment] @ one.own for one in among])
    whole = np.zeros((len(factors), count + len(among)))
    whole[:, :count] = factors
    for row, run in zip(whole, runs, strict=True):
        try:
            row[count:] = _settled(among, force, row[:count], stiff)
        except NoBalanceError as error:
            going = [one.segment for one, way in zip(among, error.direction, strict=True) if way]
            raise _no_set(truss, run, going) from None
        size = float((np.abs(cases.basic[:, 0]) @ np.abs(row)).max(initial=0.0))
        wrong = _disproved(among, row[count:], force @ row, PROVED * size)
        if wrong:
            raise _no_set(truss, run, wrong)
    records = recover(truss, made.ideal, made.shape, held=made.held.all, cases=cases, factors=whole)
    return [_with_slack(truss, among, record, row[count:]) for record, row in zip(records, whole, strict=True)]


def _yielding(truss: Truss, made: Assembly) -> list[Yielding]:
    """Every segment that acts one way, and every end that slips before it carries."""
    found = []
    count = made.loads.shape[1]
    for number, segment in enumerate(truss.segments):
        acts = truss.members[segment.member].acts
        if acts is not None:
            low, high = (0.0, np.inf) if acts == "tension" else (-np.inf, 0.0)
            found.append(Yielding(number, np.array([1.0, 0.0, 0.0]), np.zeros(count), low, high, slack=True))
    for number, end, which in ends_of(truss):
        play = (truss.members[truss.segments[number].member].play or {}).get(which)
        if play is not None:
            own, released = along(made.shape, made.spans, number, end)
            found.append(Yielding(number, own, released, -play, play, slack=False))
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


def _settled(among: list[Yielding], force: Floats, factors: Floats, stiff: Floats) -> Floats:
    """How far each member has shortened in a run (k,), from the forces (k, c + k) of cases and shortenings.

    `stiff` (k,) is the stiffness of each alone.
    """
    cases, growth = force[:, : len(factors)], force[:, len(factors) :]
    low, high = np.array([(one.low, one.high) for one in among]).T
    nothing = NOTHING * float((np.abs(cases) @ np.abs(factors)).max())
    return least((growth + growth.T) / 2, cases @ factors, low, high, own=stiff, nothing=nothing)


def _disproved(among: list[Yielding], shortened: Floats, forces: Floats, most: float) -> list[int]:
    """The segments whose final force has a sign that their shortening forbids, by more than `most`."""
    found = []
    for one, by, force in zip(among, shortened.tolist(), forces.tolist(), strict=True):
        wrong = -force if by <= one.low else force if by >= one.high else abs(force)
        if not wrong <= most:
            found.append(one.segment)
    return found


def _no_set(truss: Truss, run: RunId, segments: list[int]) -> CannotAnalyseError:
    names = list(dict.fromkeys(truss.segments[segment].member for segment in segments))
    which = f": {', '.join(names)} would have to carry the other way" if names else ""
    return CannotAnalyseError(
        "no-acting-set",
        where=pointer("members", names[0]) if names else "",
        what=f"in run {run} no set of the members that carry one way balances the loads{which}.",
        do="Look for what holds the truss then, or say that they carry both ways if they do.",
    )


def _with_slack(truss: Truss, among: list[Yielding], record: RunForces, shortened: Floats) -> RunForces:
    """A record that names the segments which carry nothing, with how far they are from carrying."""
    slack: dict[SegmentId, float] = {
        truss.segments[one.segment].id: abs(by)
        for one, by in zip(among, shortened.tolist(), strict=True)
        if one.slack and by
    }
    return replace(record, slack=slack)
