"""What carries one way, and connections with play, through stages and beside tendons; tendons that go slack.

Each run is followed by itself through all that is done. Whenever everything has come to rest, what has given way
is settled anew for the run as a whole, from how far it had given before: what came in meanwhile carries only what
has changed since. A shortening belongs to no case; it stands with what no case brings.
A tendon carries no compression. It is slack where its *mean force*, that of its legs by their lengths, would be
compression; what friction had left uneven between its legs is gone then too, and does not come back.
Shapes: n movements, m segments, c columns as in `locked`, k members and tendons that may give way, u uneven
tendons.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.bearings import bearings, reactions
from trussio.analysis.contact import NoBalanceError
from trussio.analysis.locked import add, add_tendons
from trussio.analysis.one_way import (
    Slackening,
    Yielding,
    alone,
    no_set,
    prove,
    reached,
    rounding,
    settled,
    slack_of,
    yielding,
)
from trussio.analysis.redundants import closed, parted
from trussio.analysis.signs import refuse_pushing
from trussio.analysis.stations import handed
from trussio.analysis.structure import members_of, patterns_of

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from trussio.analysis.arrays import Floats
    from trussio.analysis.assembly import Answer
    from trussio.analysis.locked import Locked
    from trussio.analysis.structure import Structure
    from trussio.analysis.sums import Told
    from trussio.model.loading import RunId
    from trussio.model.truss import Truss

EVEN = 1e-12
"""Legs whose forces differ by less than this part of the largest are alike."""


class Followed(NamedTuple):
    """One run on its way: `factors` (c,) of what every column brings to it, and whether it `stresses` a tendon.

    A run that stresses none is part of one that does, and says nothing of tendons that are slack.
    """

    run: RunId
    factors: Floats
    stresses: bool = False


class _Among(NamedTuple):
    """What may give way: segments, then tendons; and of each tendon that is uneven, by how much its legs are.

    `legs` are the forces of all legs in the run.
    """

    segments: list[Yielding]
    tendons: list[Slackening]
    legs: Mapping[str, Floats]
    uneven: Mapping[str, Floats]

    @property
    def all(self) -> list[Yielding | Slackening]:
        return [*self.segments, *self.tendons]


class _Shortened(NamedTuple):
    """What unit shortenings do, and then legs that become even: k + u columns.

    The `answer` of the frame, and `patterns` (r, k + u). `members` names the tendons among them, which stand last.
    """

    answer: Answer
    patterns: Floats
    members: list[str]


def gives_way(truss: Truss) -> bool:
    """Whether anything carries one way or has play."""
    return any(member.acts or member.play for member in truss.members.values())


def settle(state: Locked, at: Structure, followed: Followed, on: Floats, tight: Collection[str]) -> None:
    """Let what carries one way give, or come tight again, under what a run has on; `tight` tendons are members.

    Raises CannotAnalyseError `no-acting-set`, and `tendon-slack` where a leg of a tendon alone would push.
    """
    legs = {name: forces @ followed.factors for name, forces in state.legs.items()}
    among = _among(at, legs, tight if followed.stresses else ())
    if not among.all:
        return
    keys = _keys(at, among)
    before = np.array([state.given.get(key, 0.0) for key in keys])
    unit = _shortened(at, among, tight)
    carried = _carried(state, at)
    released = _released(among.segments, carried.shape[2]) * on
    now, even = _by(at, among, (carried, released), unit=unit, followed=followed, before=before)
    by = np.concatenate([now - before, even])
    moves = bearings(at.truss, at.made.ideal, np.zeros((len(at.joints), 3, 1)))
    add(state, at, _in_last(unit.answer, by, len(on)), moves)
    last = np.zeros((len(unit.patterns), len(on)))
    last[:, -1] = unit.patterns @ by
    add_tendons(state, at, last, unit.members)
    for (name, off), gone in zip(among.uneven.items(), even.tolist(), strict=True):
        state.legs[name] = state.legs[name].copy()
        state.legs[name][:, -1] -= gone * off
    state.given = {**state.given, **dict(zip(keys, now.tolist(), strict=True))}


def with_giving(told: Told, state: Locked, tight: Collection[str], *, stresses: bool) -> Told:
    """One run on a structure with what gives way in it, as columns of their own; what is slack is named.

    `stresses` tells whether the run holds a tendon. Raises CannotAnalyseError as `settle` does.
    """
    at, (run,), (row,) = told.at, told.runs, told.factors
    sums = told.sums
    among = _among(at, {name: forces @ row for name, forces in sums.legs.items()}, tight if stresses else ())
    if not among.all:
        return told
    before = np.array([state.given.get(key, 0.0) for key in _keys(at, among)])
    unit = _shortened(at, among, tight)
    released = _released(among.segments, len(row))
    now, even = _by(at, among, (sums.basic, released), unit=unit, followed=Followed(run, row), before=before)
    extra = reactions(at.made.held, handed(at.made.among, unit.answer.needed))
    joined = sums._replace(
        movements=np.concatenate([sums.movements, unit.answer.movements], axis=1),
        basic=np.concatenate([sums.basic, unit.answer.basic], axis=2),
        reactions=np.concatenate([sums.reactions, extra], axis=2),
        legs={
            name: np.concatenate([sums.legs[name], legs], axis=1) for name, legs in _legs(at, among, unit).items()
        },
    )
    count = len(among.segments)
    return told._replace(
        sums=joined,
        factors=np.concatenate([row, now - before, even])[None],
        slack={run: slack_of(at.truss, among.segments, now[:count])},
        loose={run: {one.tendon: by for one, by in zip(among.tendons, now[count:].tolist(), strict=True) if by}},
    )


def _among(at: Structure, legs: Mapping[str, Floats], slackening: Collection[str]) -> _Among:
    """What may give way in a run that has such forces in its legs."""
    tendons = [Slackening(name) for name in members_of(at, slackening)]
    uneven = {one.tendon: legs[one.tendon] - _share(at, one.tendon) @ legs[one.tendon] for one in tendons}
    return _Among(
        segments=yielding(at.truss, at.made),
        tendons=tendons,
        legs=legs,
        uneven={n: off for n, off in uneven.items() if np.abs(off).max() > EVEN * np.abs(legs[n]).max()},
    )


def _share(at: Structure, tendon: str) -> Floats:
    """What each leg counts in the mean force of its tendon."""
    lengths = np.array(at.cables[tendon].path.lengths)
    return np.asarray(lengths / lengths.sum(), dtype=np.float64)


def _keys(at: Structure, among: _Among) -> list[tuple[int, int | None] | str]:
    """What has given way: number of the segment in the whole truss and the end that has play; tendons by name."""
    segments = [(int(at.segments[one.segment]), one.end) for one in among.segments]
    return [*segments, *(one.tendon for one in among.tendons)]


def _released(among: list[Yielding], columns: int) -> Floats:
    """What works on each segment besides the basic forces (k, columns)."""
    found = np.zeros((len(among), columns))
    for row, one in enumerate(among):
        found[row, : len(one.released)] = one.released
    return found


def _carried(state: Locked, at: Structure) -> Floats:
    """The basic forces (m, 3, c) that are locked in."""
    carried = state.basic[at.segments].copy()
    for lever in state.levers:
        carried[:, 1:] += lever.moments[at.segments]
    return carried


def _by(
    at: Structure,
    among: _Among,
    carried: tuple[Floats, Floats],
    *,
    unit: _Shortened,
    followed: Followed,
    before: Floats,
) -> tuple[Floats, Floats]:
    """How far each has given (k,), and which uneven tendons are even since they are slack (u,), 1 or 0.

    Basic forces (m, 3, c) and released ones (k, c) hold it `before`.
    """
    basic, released = carried
    segments, ways, reach = among.segments, among.all, np.abs(followed.factors)
    force = _worked(segments, basic) + released
    size = max(float((np.abs(force) @ reach).max(initial=0.0)), reached(at.made, basic, reach))
    rows = [len(at.slips.segments) + unit.members.index(one.tendon) for one in among.tendons]
    growth = np.concatenate([_worked(segments, unit.answer.basic), unit.patterns[rows]])
    pulled = np.array([_share(at, one.tendon) @ among.legs[one.tendon] for one in among.tendons])
    start = np.concatenate([force @ followed.factors, pulled]) - growth[:, : len(ways)] @ before
    gives = np.array([at.cables[one.tendon].give for one in among.tendons], dtype=np.float64)
    stiff = np.concatenate([alone(at.made, segments), 1.0 / gives])
    try:
        by, even = _settled(among, start, growth, stiff, size=size)
        whole = np.concatenate([by, even])
        most = float(
            (np.abs(basic[:, 0]) @ reach + np.abs(unit.answer.basic[:, 0]) @ np.abs(whole)).max(initial=0.0)
        )
        prove(ways, by, start + growth @ whole, most=most, none=rounding(ways, growth[:, : len(ways)]))
    except NoBalanceError as error:
        raise no_set(at.truss, followed.run, ways, error) from None
    changed, own = np.concatenate([by - before, even]), _legs(at, among, unit)
    slack = _slack_ones(among, by)
    tight = {one.tendon: among.legs[one.tendon] + own[one.tendon] @ changed for one in among.tendons}
    refuse_pushing(
        followed.run, {name: legs.tolist() for name, legs in tight.items() if name not in slack}, size=size
    )
    return by, even


def _settled(among: _Among, start: Floats, growth: Floats, stiff: Floats, *, size: float) -> tuple[Floats, Floats]:
    """How far each has given, and which tendons have become even; `growth` (k, k + u). Raises NoBalanceError.

    Which become even is found by turns: what counts is that all signs hold with those that are.
    """
    count, even = len(among.all), np.zeros(len(among.uneven))
    for _ in range(len(even) + 2):
        by = settled(among.all, start + growth[:, count:] @ even, growth[:, :count], stiff, size=size)
        slack = _slack_ones(among, by)
        now = np.array([float(name in slack) for name in among.uneven])
        if (now == even).all():
            return by, even
        even = now
    raise NoBalanceError(np.zeros(count))


def _slack_ones(among: _Among, by: Floats) -> set[str]:
    """The tendons whose paths have shortened (k,) without force."""
    own = by[len(among.segments) :].tolist()
    return {one.tendon for one, way in zip(among.tendons, own, strict=True) if way}


def _worked(among: list[Yielding], basic: Floats) -> Floats:
    """What basic forces (m, 3, c) put on each segment that may give way (k, c)."""
    own = np.array([one.own for one in among]).reshape(len(among), 3)
    return np.asarray(np.einsum("kb,kbc->kc", own, basic[[one.segment for one in among]]), dtype=np.float64)


def _legs(at: Structure, among: _Among, unit: _Shortened) -> dict[str, Floats]:
    """What each column of shortenings, and of legs that become even, does to all tendons (l, k + u) by name."""
    width = unit.patterns.shape[1]
    found = {name: np.zeros((len(legs), width)) for name, legs in among.legs.items()}
    for name, forces in zip(unit.members, unit.patterns[len(at.slips.segments) :], strict=True):
        found[name] += forces
    for column, (name, off) in enumerate(among.uneven.items()):
        found[name][:, len(among.all) + column] -= off
    return found


def _shortened(at: Structure, among: _Among, tight: Collection[str]) -> _Shortened:
    count, width = len(among.segments), len(among.all) + len(among.uneven)
    gaps = np.zeros((len(at.segments), 3, width))
    for column, one in enumerate(among.segments):
        gaps[one.segment, :, column] = -one.own
    none, loads = np.zeros((2, at.made.frame.total, width))
    for column, (name, off) in enumerate(among.uneven.items(), start=len(among.all)):
        loads[:, column] = -at.cables[name].pulls @ off
    taking, members = patterns_of(at, tight), members_of(at, tight)
    longer = np.zeros((taking.pulls.shape[1], width))
    for column, tendon in enumerate(among.tendons, start=count):
        longer[len(at.slips.segments) + members.index(tendon.tendon), column] = -1.0
    base, unit = parted(at.truss, at.made, taking, loads=loads, gaps=gaps, pushed=none, start=none)
    answer, forces = closed(taking, base, unit, longer)
    return _Shortened(answer=answer, patterns=forces, members=members)


def _in_last(answer: Answer, by: Floats, columns: int) -> Answer:
    """An answer of so many columns, the last of which holds the sum by which things have given."""
    parts = []
    for values in answer:
        whole = np.zeros((*values.shape[:-1], columns))
        whole[..., -1] = values @ by
        parts.append(whole)
    return type(answer)(*parts)
