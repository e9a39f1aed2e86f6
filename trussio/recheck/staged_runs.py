"""Runs after a stage, and of what stands in the end: what is locked in, and what other cases do at once.

A case that is on has its column of what is locked in; another acts at once on what stands. A tendon takes part in
what comes after it was locked off; the case that stresses it acts without it. Runs of least tendon force have what
those forces lack of the greatest besides.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.model.loading import LEAST
from trussio.model.tendon import jacking_force, loads_of
from trussio.recheck.energy import SecondForces
from trussio.recheck.followed import (
    Followed,
    given_way,
    mean_of,
    slackening,
    summed,
    unit_shortenings,
    works_of,
)
from trussio.recheck.moments import PushesError, Rested, UntoldError, least
from trussio.recheck.one_way import released
from trussio.recheck.stressing import SLACK, leg_forces

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.recheck.moments import Structure
    from trussio.recheck.reading import Reading
    from trussio.recheck.stages import Work

    Array = NDArray[np.float64]


class After(NamedTuple):
    """A run with what it stands on: `loads` (equations,), jacked tendons among them, as they are known.

    `stretched` (equations, t) is what tendons do under a unit force that later loads may have put into them.
    """

    forces: SecondForces
    reading: Reading
    loads: Array
    stretched: Array


class _Part(NamedTuple):
    """A share of a run: its forces and reactions, its size, and what its tendons carry by leg."""

    factor: float
    rested: Rested
    column: int
    legs: Mapping[str, Array]


def told(work: Work, runs: Mapping[RunId, Mapping[RunId, float]]) -> dict[RunId, After | str]:
    """Some runs, all bare or all of the stage that has come to rest; why, where one cannot be told."""
    at, on = work.structure(), work.on()
    wanted = {case for by in runs.values() for case, factor in by.items() if factor}
    staged = any("/" in run for run in runs)
    on = on if staged else np.zeros_like(on)
    asked = {case for case in work.cases if not on[work.cases.index(case)]} & (wanted if staged else {*work.cases})
    coming = [name for name, cases in work.tensing.items() if asked.intersection(cases)]
    for name in coming:
        if name not in at.ways:
            raise UntoldError(f"The tendon {name} bears on what is not there.")
    shares = {**dict.fromkeys(coming, 1.0), **(work.moment.stressed if staged else {})}
    locked = work.rest() if staged else None
    once = {case: _at_once(work, at, case, shares) for case in work.cases if case in asked & wanted}
    found: dict[RunId, After | str] = {}
    for run, by in runs.items():
        parts = list(_parts(work, at, run, by, (locked, once, shares)))
        try:
            stresses = any(by.get(case) for name in shares for case in work.tensing[name])
            whole = bool(at.problem.yielding) or work.followed is not None
            if stresses and not whole:
                try:
                    if staged:
                        work.refuse_pushing(by)
                    _refuse_pushing(at, parts)
                except PushesError:
                    if staged:
                        work.pushing[run] = by
                        raise
                    whole = True
            if whole:
                parts += _giving(work, at, parts, Followed(run, _row(work, by), stresses), shares)
            forces = _summed(work, at, parts)
            found[run] = After(forces, at.reading, _known(parts), _stretched(at, parts))
        except UntoldError as why:
            found[run] = str(why)
    return found


def _at_once(work: Work, at: Structure, case: RunId, shares: Mapping[str, float]) -> _Part:
    """What a case does on what stands, at once; tendons that it stresses are under the jack."""
    column = work.cases.index(case)
    loads = at.reading.loads.joints.T[:, [column]].copy()
    legs: dict[str, Array] = {}
    for load in loads_of(work.truss.loads.cases[case]):
        if load.tendon in shares:
            legs[load.tendon] = _jacked(
                work,
                at,
                load.tendon,
                jacking_force(work.truss.tendons[load.tendon], load) * shares[load.tendon],
                least=False,
            )
            loads += at.pulls[load.tendon] @ legs[load.tendon][:, None]
    acting = [*work.locked.legs] if legs else [*shares]
    none = {name: np.zeros(1) for name in acting if name in at.gives}
    rested = least(at, loads, at.problem.deformed[:, [column]], at.problem.forced[:, [column]], none)
    return _Part(1.0, rested, 0, legs)


def _jacked(work: Work, at: Structure, name: str, jack: float, *, least: bool) -> Array:
    """The forces of the legs of a tendon."""
    forces = leg_forces(work.truss.tendons[name], at.ways[name], jack, least=least)
    if forces is None:
        raise UntoldError(f"The draw-in of its anchor takes all of the force of {name}.")
    return np.array(forces)


def _parts(
    work: Work,
    at: Structure,
    run: RunId,
    by: Mapping[RunId, float],
    given: tuple[Rested | None, Mapping[RunId, _Part], Mapping[str, float]],
) -> Iterator[_Part]:
    """What a run is the sum of."""
    locked, once, shares = given
    if locked is not None:
        yield _Part(1.0, locked, work.columns - 1, {name: legs[:, -1] for name, legs in work.locked.legs.items()})
    for column, case in enumerate(work.cases):
        factor = by.get(case, 0.0)
        if factor and case in once:
            yield once[case]._replace(factor=factor)
        elif factor and locked is not None:
            yield _Part(factor, locked, column, {name: legs[:, column] for name, legs in work.locked.legs.items()})
        if factor and run.endswith(LEAST):
            yield from _lacking(work, at, case, factor, shares)


def _lacking(
    work: Work, at: Structure, case: RunId, factor: float, shares: Mapping[str, float]
) -> Iterator[_Part]:
    """What the least force of tendons lacks of their greatest."""
    legs: dict[str, Array] = {}
    loads = np.zeros((len(at.reading.equations.forces), 1))
    for load in loads_of(work.truss.loads.cases[case]):
        if load.tendon in shares:
            jack = jacking_force(work.truss.tendons[load.tendon], load) * shares[load.tendon]
            low, high = (_jacked(work, at, load.tendon, jack, least=lower) for lower in (True, False))
            legs[load.tendon] = low - high
            loads += at.pulls[load.tendon] @ legs[load.tendon][:, None]
    if legs:
        nothing = np.zeros((len(at.keys), 1)), np.zeros((len(loads), 1))
        yield _Part(factor, least(at, loads, *nothing, {}), 0, legs)


def _row(work: Work, by: Mapping[RunId, float]) -> Array:
    return np.array([by.get(case, 0.0) for case in work.cases])


def _giving(
    work: Work, at: Structure, parts: list[_Part], followed: Followed, shares: Mapping[str, float]
) -> Iterator[_Part]:
    """What gives way more in a run than before all of it was on, with the tendons that take part."""
    tight = [name for name in shares if name in at.gives]
    slack = slackening(at, {name: _legs(at, parts, name) for name in (tight if followed.stresses else ())})
    count, ways = len(at.problem.yielding), len(at.problem.yielding) + len(slack.names)
    if not ways:
        return
    before = np.zeros(ways)
    if "/" in followed.run:
        before[:count] = work.given if count else 0.0
        before[count:] = [work.slack.get(name, 0.0) for name in slack.names]
    unit = unit_shortenings(at, tight, slack)
    works = []
    for part in parts:
        works.append(works_of(at, part.rested, slack)[:, part.column])
        for row, name in enumerate(slack.names, start=count):
            works[-1][row] += mean_of(at, name, part.legs[name]) if name in part.legs else 0.0
    works += [np.zeros(ways), -works_of(at, unit, slack)[:, :ways] @ before]
    works[-2][:count] = released(at.problem) @ followed.factors
    factors = np.array([*(part.factor for part in parts), 1.0, 1.0])
    sizes = np.array([*(float(part.rested.size[part.column]) for part in parts), 0.0, 0.0])
    by = given_way(at, unit, np.array(works).T, sizes, followed=followed._replace(factors=factors), slack=slack)
    gone = {name: -even * off for (name, off), even in zip(slack.uneven.items(), by[ways:].tolist(), strict=True)}
    by[:ways] -= before
    yield _Part(1.0, summed(unit, by), 0, gone)


def _legs(at: Structure, parts: list[_Part], name: str) -> Array:
    """The forces of the legs of a tendon in a sum."""
    legs = np.zeros(len(at.ways[name].lengths))
    for part in parts:
        legs += part.factor * part.legs.get(name, 0.0)
        if name in part.rested.tendons:
            legs += part.factor * part.rested.tendons[name][part.column]
    return legs


def _refuse_pushing(at: Structure, parts: list[_Part]) -> None:
    """Raise PushesError where a tendon would have to push."""
    for name in at.ways:
        own = _legs(at, parts, name)
        if own.min() < -SLACK * max(np.abs(own).max(), 1e-300):
            raise PushesError(f"The tendon {name} would have to push.")


def _known(parts: list[_Part]) -> Array:
    """All that is known to act in a run (equations,)."""
    known: Array = np.sum([part.factor * part.rested.loads[:, part.column] for part in parts], axis=0)
    return known


def _stretched(at: Structure, parts: list[_Part]) -> Array:
    names = dict.fromkeys(name for part in parts for name in part.rested.tendons)
    pulls = [at.pulls[name].sum(axis=1) for name in names]
    return np.array(pulls).reshape(len(names), len(at.reading.equations.forces)).T


def _summed(work: Work, at: Structure, parts: list[_Part]) -> SecondForces:
    """The forces of a run. Raises UntoldError where a shore would have to pull."""
    segments = at.reading.truss.segments
    forces, reactions, size = np.zeros(len(at.keys)), np.zeros(len(at.reading.equations.forces)), 0.0
    for part in parts:
        forces += part.factor * part.rested.forces[:, part.column]
        reactions += part.factor * part.rested.reactions[:, part.column]
        size += abs(part.factor) * float(part.rested.size[part.column])
    work.refuse_lifting(reactions)
    moments = [[0.0, 0.0] for _ in segments]
    for (segment, end), value in zip(at.reading.equations.moments, forces[len(segments) :].tolist(), strict=False):
        moments[segment][end] = value
    return SecondForces(
        axial={s.id: float(forces[index]) for index, s in enumerate(segments)},
        moments={s.id: (first, last) for s, (first, last) in zip(segments, moments, strict=True)},
        reactions={
            joint: (float(reactions[2 * index]), float(reactions[2 * index + 1]), 0.0)
            for index, joint in enumerate(at.reading.truss.joints)
            if joint in at.reading.truss.supports
        },
        movements={},
        size=size,
    )
