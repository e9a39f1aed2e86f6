"""What runs are sums of: columns of forces on one structure, and the records that come of them.

For each case that is on, a column holds what it has locked in on its way; for each other case, what it does on the
structure that is there; one holds what no case brings (jacking) as it is. A tendon takes part in what comes after
it was locked off; the case that stresses it acts on the truss without it. More columns hold what the least force
of tendons lacks.
Shapes: n movements, m segments, b bearings, c columns: one for each case, one for what no case brings, then one
for each case that stresses tendons.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.assembly import Answer
from trussio.analysis.bearings import reactions
from trussio.analysis.recovery import Cases, recover
from trussio.analysis.redundants import closed, parted, some
from trussio.analysis.spans import Released
from trussio.analysis.stations import handed
from trussio.analysis.structure import members_of, patterns_of
from trussio.analysis.tendons import greatest, least
from trussio.model.loading import LEAST
from trussio.model.tendon import jacking_force, loads_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping, Sequence

    from trussio.analysis.arrays import Floats
    from trussio.analysis.locked import Locked
    from trussio.analysis.structure import Structure
    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.truss import JointId, SegmentId

    Factors = Mapping[RunId, float]


class Sums(NamedTuple):
    """What every column does to a structure; `legs` (l, c) by tendon, `lacks` the columns of what is less."""

    movements: Floats
    basic: Floats
    reactions: Floats
    legs: dict[str, Floats]
    lacks: dict[RunId, int]


class Told(NamedTuple):
    """Runs on one structure: `factors` (r, c) of its columns.

    `slack` gives by run the segments that are slack, `loose` the tendons.
    """

    at: Structure
    runs: list[RunId]
    sums: Sums
    factors: Floats
    slack: Mapping[RunId, Mapping[SegmentId, float]]
    loose: Mapping[RunId, Mapping[str, float]]

    def pushes_up(self) -> Iterator[tuple[RunId, dict[JointId, float]]]:
        """What bearings and shores push upwards in each run."""
        names = [bearing.name for bearing in self.at.made.held.all]
        for run, row in zip(self.runs, self.factors, strict=True):
            yield run, dict(zip(names, (self.sums.reactions[:, 1] @ row).tolist(), strict=True))

    def each(self) -> Iterator[Told]:
        """Every run by itself."""
        for run, row in zip(self.runs, self.factors, strict=True):
            yield self._replace(runs=[run], factors=row[None])

    def without(self, runs: Collection[RunId]) -> Told:
        """The same without some runs."""
        kept = [number for number, run in enumerate(self.runs) if run not in runs]
        return self._replace(runs=[self.runs[number] for number in kept], factors=self.factors[kept])


class _Put(NamedTuple):
    """What is put on a structure: loads, misfits, and movements of the ground by springs and by holds."""

    loads: Floats
    gaps: Floats
    pushed: Floats
    start: Floats


def told_by(
    at: Structure,
    locked: Locked,
    on: Floats,
    *,
    cases: list[RunId],
    runs: Mapping[RunId, Factors],
    shares: Mapping[str, float],
) -> Told:
    """Some runs on a structure. `shares` gives the tendons that take part, each with its share of its force."""
    wanted = {case for by in runs.values() for case, factor in by.items() if factor}
    tensing = [
        case for case in cases if any(load.tendon in shares for load in loads_of(at.truss.loads.cases[case]))
    ]
    short = [case for case in tensing if any(run.endswith(LEAST) for run in runs)]
    if short or any(case in wanted and not is_on for case, is_on in zip(cases, on, strict=False)):
        sums = _columns(at, locked, on, cases=cases, tensing=tensing, short=short, shares=shares)
    else:
        sums = _summed(at, locked, _unmoved(at, len(on)), {}, {})
    factors = np.zeros((len(runs), sums.movements.shape[1]))
    for row, (run, by) in enumerate(runs.items()):
        factors[row, : len(cases)] = [by.get(case, 0.0) for case in cases]
        factors[row, len(cases)] = 1.0
        if run.endswith(LEAST):
            for case, column in sums.lacks.items():
                factors[row, column] = by.get(case, 0.0)
    return Told(at=at, runs=list(runs), sums=sums, factors=factors, slack={}, loose={})


def records(told: Sequence[Told]) -> dict[RunId, RunForces]:
    """The records of runs; those of one structure are made together."""
    by_structure: dict[int, list[Told]] = {}
    for one in told:
        by_structure.setdefault(id(one.at), []).append(one)
    found: dict[RunId, RunForces] = {}
    for group in by_structure.values():
        found |= _records(group)
    return found


def _records(group: list[Told]) -> dict[RunId, RunForces]:
    """The records of runs on one structure: the columns of all beside each other, each run with its own."""
    at, widths = group[0].at, [one.factors.shape[1] for one in group]
    starts = np.cumsum([0, *widths])
    factors = np.zeros((sum(len(one.runs) for one in group), starts[-1]))
    row = 0
    for one, start, width in zip(group, starts, widths, strict=False):
        factors[row : row + len(one.runs), start : start + width] = one.factors
        row += len(one.runs)
    cases = Cases(
        movements=np.concatenate([one.sums.movements for one in group], axis=1),
        basic=np.concatenate([one.sums.basic for one in group], axis=2),
        reactions=np.concatenate([one.sums.reactions for one in group], axis=2),
        spans=[(cut, Released(*(_repeated(part, widths) for part in state))) for cut, state in at.made.spans],
    )
    made = recover(at.truss, at.made.ideal, at.made.shape, held=at.made.held.all, cases=cases, factors=factors)
    found = dict(zip([run for one in group for run in one.runs], made, strict=True))
    for one in group:
        for run, by in zip(one.runs, one.factors, strict=True):
            stage = run.rpartition("/")[0] or None
            loose = one.loose.get(run, {})
            if stage or one.sums.legs or one.slack:
                legs = {
                    name: (0.0,) * len(forces) if name in loose else tuple((forces @ by + 0.0).tolist())
                    for name, forces in one.sums.legs.items()
                }
                found[run] = replace(
                    found[run], tendons=legs, slack=one.slack.get(run, {}), loose=loose, stage=stage
                )
    return found


def _repeated(values: Floats, widths: Sequence[int]) -> Floats:
    """Released states (c, ...) of the cases once for each group of columns, with zeros for those that follow."""
    parts = []
    for width in widths:
        parts += [values, np.zeros((width - len(values), *values.shape[1:]))]
    return np.concatenate(parts)


def _unmoved(at: Structure, width: int) -> Answer:
    """The answer to nothing."""
    total = at.made.frame.total
    basic = np.zeros((len(at.segments), 3, width))
    return Answer(movements=np.zeros((total, width)), basic=basic, needed=np.zeros((total, width)))


def _columns(
    at: Structure,
    locked: Locked,
    on: Floats,
    *,
    cases: list[RunId],
    tensing: list[RunId],
    short: list[RunId],
    shares: Mapping[str, float],
) -> Sums:
    """Every column: what is locked in, and what the cases that are off would do at once."""
    made, width = at.made, len(cases) + 1 + len(short)
    off = 1.0 - on[:-1]
    loads, gaps = _padded(made.loads * off, width), _padded(made.gaps * off, width)
    pushed, start = (_padded(part * off, width) for part in (made.held.pushed, made.held.start))
    legs = {name: np.zeros((len(at.cables[name].path.lengths), width)) for name in shares}
    for name, own in _stressed(at, shares, on, cases=cases, short=short).items():
        for column, forces in own.items():
            legs[name][:, column] = forces
            loads[:, column] += at.cables[name].pulls @ forces
    put = _Put(loads=loads, gaps=gaps, pushed=pushed, start=start)
    under_jack = [cases.index(case) for case in tensing]
    lacking = [*range(len(cases) + 1, width)]
    answer, grown = _answered(at, put, list(shares), [(under_jack, tuple(locked.legs)), (lacking, ())])
    for name, force in grown.items():
        legs[name] = legs[name] + force
    return _summed(at, locked, answer, legs, {case: len(cases) + 1 + n for n, case in enumerate(short)})


def _stressed(
    at: Structure, shares: Mapping[str, float], on: Floats, *, cases: list[RunId], short: list[RunId]
) -> dict[str, dict[int, list[float]]]:
    """By tendon and column the force of its legs: of cases that are off whole, of the lacking what is less."""
    found: dict[str, dict[int, list[float]]] = {name: {} for name in shares}
    for column, case in enumerate(cases):
        for load in loads_of(at.truss.loads.cases[case]):
            if load.tendon not in shares:
                continue
            tendon, path = at.truss.tendons[load.tendon], at.cables[load.tendon].path
            jack = jacking_force(tendon, load) * shares[load.tendon]
            most = greatest(tendon, path, jack, load.tendon)
            if not on[column]:
                found[load.tendon][column] = most
            if case in short:
                low = least(tendon, path, jack)
                lacks = [less - more for less, more in zip(low, most, strict=True)]
                found[load.tendon][len(cases) + 1 + short.index(case)] = lacks
    return found


def _answered(
    at: Structure, put: _Put, taking: list[str], jacked: list[tuple[list[int], tuple[str, ...]]]
) -> tuple[Answer, dict[str, Floats]]:
    """The answer to every column, and what the tendons that are `taking` part take of it.

    `jacked` gives columns in which tendons are under the jack, and the tendons that are members all the same.
    """
    members, slips = members_of(at, taking), len(at.slips.segments)
    among = patterns_of(at, taking)
    base, unit = parted(
        at.truss, at.made, among, loads=put.loads, gaps=put.gaps, pushed=put.pushed, start=put.start
    )
    answer, forces = closed(among, base, unit)
    for columns, tight in jacked if members else ():
        acting = [*range(slips), *(slips + index for index, name in enumerate(members) if name in tight)]
        apart, alone = closed(some(among, acting), _part(base, columns), _part(unit, acting))
        for whole, part in zip(answer, apart, strict=True):
            whole[..., columns] = part
        forces[:, columns] = 0.0
        forces[np.ix_(acting, columns)] = alone
    return answer, dict(zip(members, forces[slips:], strict=True))


def _part(answer: Answer, columns: list[int]) -> Answer:
    return Answer(answer.movements[:, columns], answer.basic[..., columns], answer.needed[:, columns])


def _summed(
    at: Structure, locked: Locked, answer: Answer, legs: dict[str, Floats], lacks: dict[RunId, int]
) -> Sums:
    """What is locked in, and an answer besides."""
    made, count = at.made, 2 * len(at.joints)
    movements, basic = answer.movements.copy(), answer.basic.copy()
    width = movements.shape[1]
    movements[:count] += _padded(locked.moved[at.joints].reshape(count, locked.moved.shape[2]), width)
    turns = made.frame.turns.ravel()
    one_end = np.zeros(made.frame.total + 1, dtype=np.intp)
    one_end[turns[::-1]] = np.arange(len(turns))[::-1]
    rows = np.unique(turns[turns < made.frame.total])
    turned = locked.turned[at.segments].reshape(len(turns), locked.turned.shape[2])
    movements[rows] += _padded(turned[one_end[rows]], width)
    basic += _padded(locked.basic[at.segments], width)
    for lever in locked.levers:
        basic[:, 1:] += _padded(lever.moments[at.segments], width)
    pushed = reactions(made.held, handed(made.among, answer.needed))
    bearing = [at.joints[one.joint] for one in made.held.all]
    pushed += _padded(locked.pushes[bearing], width)
    for name, own in locked.legs.items():
        legs[name] = legs.get(name, 0.0) + _padded(own, width)
    return Sums(movements=movements, basic=basic, reactions=pushed, legs=legs, lacks=lacks)


def _padded(values: Floats, width: int) -> Floats:
    """With columns of zeros up to a width."""
    more = width - values.shape[-1]
    return np.concatenate([values, np.zeros((*values.shape[:-1], more))], axis=-1)
