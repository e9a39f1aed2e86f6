"""Members that carry one way, and connections with play, through stages and beside tendons.

Each run is followed by itself through all that is done. Whenever everything has come to rest, what has given way
is settled anew for the run as a whole, from how far it had given before: what came in meanwhile carries only what
has changed since. A shortening belongs to no case; it stands with what no case brings.
Shapes: n movements, m segments, c columns as in `locked`, k members that may give way.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.bearings import bearings, reactions
from trussio.analysis.contact import NoBalanceError
from trussio.analysis.locked import add, add_tendons
from trussio.analysis.one_way import alone, no_set, prove, reached, settled, slack_of, yielding
from trussio.analysis.redundants import closed, parted
from trussio.analysis.stations import handed
from trussio.analysis.structure import members_of, patterns_of

if TYPE_CHECKING:
    from collections.abc import Collection

    from trussio.analysis.arrays import Floats
    from trussio.analysis.assembly import Answer
    from trussio.analysis.locked import Locked
    from trussio.analysis.one_way import Yielding
    from trussio.analysis.structure import Structure
    from trussio.analysis.sums import Told
    from trussio.model.loading import RunId
    from trussio.model.truss import Truss


class Followed(NamedTuple):
    """One run on its way: `factors` (c,) of what every column brings to it."""

    run: RunId
    factors: Floats


class _Shortened(NamedTuple):
    """What unit shortenings do: the answer of the frame (k columns), and `patterns` (r, k).

    `members` names the tendons among the patterns, which stand last.
    """

    answer: Answer
    patterns: Floats
    members: list[str]


def gives_way(truss: Truss) -> bool:
    """Whether anything carries one way or has play."""
    return any(member.acts or member.play for member in truss.members.values())


def settle(state: Locked, at: Structure, followed: Followed, on: Floats, tight: Collection[str]) -> None:
    """Let what carries one way give, or come tight again, under what a run has on; `tight` tendons are members.

    Raises CannotAnalyseError `no-acting-set`.
    """
    among = yielding(at.truss, at.made)
    if not among:
        return
    keys = _keys(at, among)
    before = np.array([state.given.get(key, 0.0) for key in keys])
    unit = _shortened(at, among, tight)
    carried = _carried(state, at)
    released = _released(among, carried.shape[2]) * on
    by = _by(at, among, (carried, released), unit=unit, followed=followed, before=before) - before
    moves = bearings(at.truss, at.made.ideal, np.zeros((len(at.joints), 3, 1)))
    add(state, at, _in_last(unit.answer, by, len(on)), moves)
    last = np.zeros((len(unit.patterns), len(on)))
    last[:, -1] = unit.patterns @ by
    add_tendons(state, at, last, unit.members)
    state.given = {**state.given, **dict(zip(keys, (before + by).tolist(), strict=True))}


def with_giving(told: Told, state: Locked, tight: Collection[str]) -> Told:
    """One run on a structure with what gives way in it, as columns of their own; what is slack is named.

    Raises CannotAnalyseError `no-acting-set`.
    """
    at, (run,), (row,) = told.at, told.runs, told.factors
    among = yielding(at.truss, at.made)
    if not among:
        return told
    before = np.array([state.given.get(key, 0.0) for key in _keys(at, among)])
    unit = _shortened(at, among, tight)
    sums = told.sums
    released = _released(among, len(row))
    now = _by(at, among, (sums.basic, released), unit=unit, followed=Followed(run, row), before=before)
    extra = reactions(at.made.held, handed(at.made.among, unit.answer.needed))
    legs = {name: _widened(forces, len(among)) for name, forces in sums.legs.items()}
    for name, forces in zip(unit.members, unit.patterns[len(at.slips.segments) :], strict=True):
        legs[name] = legs[name].copy()
        legs[name][:, -len(among) :] += forces
    joined = sums._replace(
        movements=np.concatenate([sums.movements, unit.answer.movements], axis=1),
        basic=np.concatenate([sums.basic, unit.answer.basic], axis=2),
        reactions=np.concatenate([sums.reactions, extra], axis=2),
        legs=legs,
    )
    factors = np.concatenate([row, now - before])[None]
    return told._replace(sums=joined, factors=factors, slack={run: slack_of(at.truss, among, now)})


def _keys(at: Structure, among: list[Yielding]) -> list[tuple[int, int | None]]:
    """What has given way, by number of its segment in the whole truss and the end that has play."""
    return [(int(at.segments[one.segment]), one.end) for one in among]


def _released(among: list[Yielding], columns: int) -> Floats:
    """What works on each besides the basic forces (k, columns)."""
    return _widened(np.array([one.released for one in among]), columns - len(among[0].released))


def _carried(state: Locked, at: Structure) -> Floats:
    """The basic forces (m, 3, c) that are locked in."""
    carried = state.basic[at.segments].copy()
    for lever in state.levers:
        carried[:, 1:] += lever.moments[at.segments]
    return carried


def _by(
    at: Structure,
    among: list[Yielding],
    carried: tuple[Floats, Floats],
    *,
    unit: _Shortened,
    followed: Followed,
    before: Floats,
) -> Floats:
    """How far each has given (k,), under basic forces (m, 3, c) and released ones (k, c) that hold it `before`."""
    own, rows = np.array([one.own for one in among]), [one.segment for one in among]
    basic, released = carried
    force = np.einsum("kb,kbc->kc", own, basic[rows]) + released
    growth = np.einsum("kb,kbc->kc", own, unit.answer.basic[rows])
    reach = np.abs(followed.factors)
    size = max(float((np.abs(force) @ reach).max()), reached(at.made, basic, reach))
    start = force @ followed.factors - growth @ before
    try:
        by = settled(among, start, growth, alone(at.made, among), size=size)
        most = float((np.abs(basic[:, 0]) @ reach + np.abs(unit.answer.basic[:, 0]) @ np.abs(by)).max(initial=0.0))
        prove(among, by, start + growth @ by, most)
    except NoBalanceError as error:
        raise no_set(at.truss, followed.run, among, error) from None
    return by


def _shortened(at: Structure, among: list[Yielding], tight: Collection[str]) -> _Shortened:
    gaps = np.zeros((len(at.segments), 3, len(among)))
    for column, one in enumerate(among):
        gaps[one.segment, :, column] = -one.own
    none = np.zeros((at.made.frame.total, len(among)))
    taking = patterns_of(at, tight)
    base, unit = parted(at.truss, at.made, taking, loads=none, gaps=gaps, pushed=none, start=none)
    answer, forces = closed(taking, base, unit)
    return _Shortened(answer=answer, patterns=forces, members=members_of(at, tight))


def _in_last(answer: Answer, by: Floats, columns: int) -> Answer:
    """An answer of so many columns, the last of which holds the sum by which things have given."""
    parts = []
    for values in answer:
        whole = np.zeros((*values.shape[:-1], columns))
        whole[..., -1] = values @ by
        parts.append(whole)
    return type(answer)(*parts)


def _widened(values: Floats, more: int) -> Floats:
    return np.concatenate([values, np.zeros((*values.shape[:-1], more))], axis=-1)
