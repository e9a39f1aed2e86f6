"""Forces of least energy through stages of work and with tendons.

Nothing is added up from step to step but what is locked in. At each moment the truss that is there has forces in
equilibrium with all that is on it; and from the moment before to this one each part deforms by what the joints
move. With D what a part was deformed by when it last came to rest (its flexibility times its force, and what
loads, warmth and lack of fit deform it by; nought for what comes in), the forces of the moment are those that make

    f F f / 2 + f (e - D) least among all in equilibrium with the whole load.

So each moment is one problem of least energy of its own, on its own structure, for the whole force. It has a
column for each load case and one for what no case brings (jacking); a case that goes off leaves its column there.

A tendon is stressed by known forces of its legs; locked off, it is one more unknown, that stretches. What stands
at each moment is read by `trussio.model.history`, which the analysis reads too. Where something carries one way or
has play, each run is followed by itself (`followed`); what purlin points of a pinned truss have handed on stays
handed on (`levers`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.errors import CannotAnalyseError
from trussio.model.history import Moment, after, beginning, ending, run_factors, untouched
from trussio.model.staging import NOW, Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff, Tension
from trussio.model.tendon import jacking_force, loads_of, stressing
from trussio.recheck.followed import (
    Followed,
    gaps_of,
    given_way,
    gives_way,
    in_last,
    mean_of,
    slackening,
    summed,
    unit_shortenings,
    works_of,
)
from trussio.recheck.levers import handed_on, kept, pushed
from trussio.recheck.locked_in import Locked, left_behind, widened
from trussio.recheck.moments import PushesError, Rested, Structure, UntoldError, least, rows_of, structure_at
from trussio.recheck.one_way import released
from trussio.recheck.readable import unreadable, without_cases
from trussio.recheck.staged_runs import told
from trussio.recheck.stressing import SLACK, leg_forces

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.model.staging import Action
    from trussio.model.truss import Idealisation, JointId, Truss
    from trussio.recheck.energy import SecondForces
    from trussio.recheck.moments import Key
    from trussio.recheck.staged_runs import After

    Array = NDArray[np.float64]

LIFTS: Final = 1e-9
"""A shore pulls where it does so by more than this part of the largest reaction."""


def staged_forces(truss: Truss, idealisation: Idealisation) -> dict[RunId, SecondForces | str]:
    """Every run of a truss with tendons or stages: its forces, or why they cannot be told.

    Raises CannotAnalyseError as `second_forces` does.
    """
    after = runs_after(truss, idealisation)
    return {run: found if isinstance(found, str) else found.forces for run, found in after.items()}


def runs_after(truss: Truss, idealisation: Idealisation) -> dict[RunId, After | str]:
    """The same with what each run stands on; runs that depend on a load that cannot be evaluated are not told."""
    work = Work(truss, idealisation)
    found = work.runs()
    if not work.unread:
        return found
    lost = unreadable(truss, idealisation)
    says = f"This run cannot be evaluated: {next(iter(lost.values()), '')}"
    alive = untouched(truss, lost)
    left = Work(without_cases(truss, lost), idealisation).runs() if alive else {}
    return {run: left[run] if run in alive and run in left else says for run in found}


class Work:
    """The work followed moment by moment; `locked` and `moment` change as it goes on.

    What gives way does so for the run that is `followed`, and has `given` way by so much when all came to rest.
    `lost` says why the work cannot be followed any further; `pulled` is what tendons had when all came to rest;
    `unread` that some load could not be evaluated; `pushing` are the runs in which a tendon would have to push.
    """

    def __init__(self, truss: Truss, idealisation: Idealisation, followed: Followed | None = None) -> None:
        self.truss, self.idealisation = truss, idealisation
        self.cases = list(truss.loads.cases)
        self.columns = len(self.cases) + 1
        self.tensing = stressing(truss.loads)
        self.moment: Moment = beginning(truss)
        self.locked = Locked({}, {}, {}, {}, ())
        self.jacked: dict[JointId, float] = {}
        self.known: dict[object, Structure] = {}
        self.followed, self.given = followed, np.zeros(0)
        self.lost: str | None = None
        self.unread = False
        self.slack: dict[str, float] = {}
        self.pushing: dict[RunId, Mapping[RunId, float]] = {}
        self.pulled: list[tuple[str, Array]] = []

    def runs(self) -> dict[RunId, After | str]:
        """All runs, bare ones first."""
        factors = run_factors(self.truss)
        found: dict[RunId, After | str] = {}
        bare = {run: by for run, by in factors.items() if "/" not in run}
        self.moment = ending(self.truss)
        found |= self._told(bare)
        staged = {run: by for run, by in factors.items() if "/" in run}
        if gives_way(self.truss):
            return found | self._each(staged)
        found |= self._by_stages(staged)
        self.lost = None
        return found | self._each(self.pushing)

    def _by_stages(self, runs: Mapping[RunId, Mapping[RunId, float]]) -> dict[RunId, After | str]:
        """Runs after stages."""
        self.moment = beginning(self.truss)
        found: dict[RunId, After | str] = {}
        for stage in self.truss.stages:
            own = {run: by for run, by in runs.items() if run.startswith(f"{stage.id}/")}
            if self.lost is None:
                try:
                    for action in stage.actions:
                        self._do(action)
                    self._come_to_rest()
                except UntoldError as why:
                    self.lost = str(why)
                except CannotAnalyseError as error:
                    self.unread |= error.code == "load"
                    self.lost = f'In stage "{stage.id}": {error.what}'
            found |= self._told(own) if self.lost is None else dict.fromkeys(own, self.lost)
            if self.followed is not None and own:
                break
        return found

    def _each(self, runs: Mapping[RunId, Mapping[RunId, float]]) -> dict[RunId, After | str]:
        """Runs after stages, each by itself; where what is on has lost its way, so has all that follows."""
        found: dict[RunId, After | str] = {}
        for run, by in runs.items():
            if self.lost is None:
                on = self._on_after(run)
                factors = [*(by.get(case, 0.0) if case in on else 1.0 for case in self.cases), 1.0]
                stresses = any(by.get(case) for cases in self.tensing.values() for case in cases)
                work = Work(self.truss, self.idealisation, Followed(run, np.array(factors), stresses))
                work.known = self.known
                found |= work._by_stages({run: by})
                self.unread |= work.unread
                self.lost = work.lost if run.endswith(f"/{NOW}") else None
            else:
                found[run] = self.lost
        return found

    def _on_after(self, run: RunId) -> set[RunId]:
        """The cases that are on after the stage of a run."""
        moment = beginning(self.truss)
        for stage in self.truss.stages:
            for action in stage.actions:
                moment = after(moment, action)
            if run.startswith(f"{stage.id}/"):
                break
        return self._cases_on(moment)

    def _cases_on(self, moment: Moment) -> set[RunId]:
        return {*moment.on, *(case for name in moment.stressed for case in self.tensing[name])}

    def _come_to_rest(self) -> None:
        """Rest at the end of a stage, where no shore may pull under what is on."""
        found, factors = self.rest(), self.on()
        factors[-1] = 1.0
        if self.followed.run.endswith(f"/{NOW}") if self.followed else not self._pushes_now():
            self.refuse_lifting(found.reactions @ factors)

    def on(self) -> Array:
        """1 for each case that is on, 0 in the last column."""
        every = self._cases_on(self.moment)
        return np.array([*(float(case in every) for case in self.cases), 0.0])

    def _do(self, action: Action) -> None:
        if isinstance(action, Replace):
            self._do(Remove(members=(action.member,)))
            self._do(Add(members=(action.by,)))
            return
        if isinstance(action, (Shore, Jack, Add, Tension)):
            self.rest()
        self.moment = after(self.moment, action)
        match action:
            case Jack():
                self._jack(action)
            case Tension():
                self._tension(action)
            case Release():
                self.jacked = {joint: by for joint, by in self.jacked.items() if joint not in action.joints}
            case TakeOff():
                self.rest()
                self._leave()
            case PutOn() | Remove() | Add() | Shore():
                pass

    def _jack(self, action: Jack) -> None:
        if action.by is not None:
            for joint in action.joints:
                self.jacked[joint] = self.jacked.get(joint, 0.0) + action.by
            self.rest()
            return
        force = action.force or 0.0
        self.rest(free=action.joints, push=force)
        for joint in action.joints:
            stiffness = (self.moment.shores[joint].springs or {}).get("y")
            if stiffness is not None:
                own = np.zeros(self.columns)
                own[-1] = force / stiffness
                self.locked.deformed["spring", f"{joint}.y", 0] = own

    def _tension(self, action: Tension) -> None:
        at = self.structure()
        for name in action.tendons:
            (case,) = self.tensing[name]
            load = next(one for one in loads_of(self.truss.loads.cases[case]) if one.tendon == name)
            tendon = self.truss.tendons[name]
            forces = leg_forces(tendon, at.ways[name], action.to * jacking_force(tendon, load), least=False)
            if forces is None:
                raise UntoldError(f"The draw-in of its anchor takes all of the force of {name}.")
            legs = np.zeros((len(forces), self.columns))
            legs[:, self.cases.index(case)] = forces
            self.locked.legs[name] = legs
            self.locked.stretched[name] = np.zeros(self.columns)
        self.rest(loose=action.tendons)
        if not action.to:
            for name in action.tendons:
                del self.locked.legs[name], self.locked.stretched[name]
            self._leave()

    def _leave(self) -> None:
        """What cases that went off have left behind goes to the column of what no case brings."""
        gone = 1.0 - self.on()
        gone[-1] = 0.0

        self.locked = left_behind(self.locked, gone)

    def _pushes_now(self) -> bool:
        """Whether a tendon would have to push as it stands, or would have had to on the way."""
        try:
            self.refuse_pushing(dict.fromkeys(self.cases, 1.0))
        except PushesError:
            return True
        return False

    def structure(self, free: Collection[JointId] = ()) -> Structure:
        """What stands; shores at joints that are `free` do not hold."""
        held = tuple(
            sorted((joint, id(shore)) for joint, shore in self.moment.shores.items() if joint not in free)
        )
        key = (self.moment.members, held)
        if key not in self.known:
            self.known[key] = structure_at(
                self.truss, self.moment, self.idealisation, tensing=self.tensing, free=free
            )
        return self.known[key]

    def rest(self, *, free: Collection[JointId] = (), push: float = 0.0, loose: Collection[str] = ()) -> Rested:
        """Let all that is on come to rest on what stands, and lock it in."""
        at, on = self.structure(free), self.on()
        number = {joint: index for index, joint in enumerate(at.reading.truss.joints)}
        problem, locked, cases = at.problem, self.locked, len(self.cases)
        levers = kept(locked.levers, at)
        loads = widened(at.reading.loads.joints.T, self.columns) * on + pushed(levers, at, self.columns)
        for joint in free:
            loads[2 * number[joint] + 1, -1] += push
        for name, legs in locked.legs.items():
            loads += at.pulls[name] @ legs
        e = widened(problem.deformed[:, :cases], self.columns) * on
        nothing = np.zeros(self.columns)
        before = np.array([locked.deformed.get(key, nothing) for key in at.keys])
        ground = widened(problem.forced[:, :cases], self.columns) * on
        for joint, by in self.jacked.items():
            spring: Key = ("spring", f"{joint}.y", 0)
            if joint in number and joint not in free and spring in at.keys:
                e[at.keys.index(spring), -1] -= by
            elif joint in number and joint not in free:
                ground[2 * number[joint] + 1, -1] += by
        rows = rows_of(at)
        moved = ground - np.array([locked.ground.get(row, nothing) for row in rows])
        tight = [name for name in locked.legs if name not in loose and name in at.gives]
        again = {name: -locked.stretched[name] for name in tight}
        found = least(at, loads, e - before, moved, again)
        if self.followed is not None:
            found = self._give(at, found, e, tight)
        for name in tight:
            locked.stretched[name] = at.gives[name] * found.tendons[name]
            locked.stretched[name][-1] -= self.slack.get(name, 0.0)
            if self.followed is None:
                self.pulled.append((name, locked.legs[name] + found.tendons[name]))
        held = {row: self.locked.ground[row] for row in self.locked.ground if row[1] in free}
        deformed = problem.soft @ found.forces + e
        self.locked = locked._replace(
            deformed=dict(zip(at.keys, deformed, strict=True)),
            ground={row: values for row, values in zip(rows, ground, strict=True) if values.any()} | held,
            levers=(*levers, *handed_on(at, found)),
        )
        return found

    def _give(self, at: Structure, found: Rested, e: Array, tight: list[str]) -> Rested:
        """Let what carries one way, and tendons, give in the run that is followed; deformations `e` take part."""
        if self.followed is None:
            return found
        count, factors, locked = len(at.problem.yielding), self.followed.factors, self.locked
        legs = {name: locked.legs[name] @ factors for name in tight} if self.followed.stresses else {}
        slack, on = slackening(at, legs), self.on()
        if not count and not legs:
            return found
        unit, works = unit_shortenings(at, tight, slack), works_of(at, found, slack)
        works[:count, : len(self.cases)] += released(at.problem) * on[:-1]
        works[count:] += [mean_of(at, name, locked.legs[name]) for name in slack.names] if legs else 0.0
        by = given_way(at, unit, works, found.size, followed=self.followed, slack=slack)
        self.given, self.slack = by[:count], dict(zip(slack.names, by[count:].tolist(), strict=False))
        e[:, -1] += gaps_of(at) @ self.given
        for (name, off), gone in zip(slack.uneven.items(), by[count + len(slack.names) :].tolist(), strict=True):
            locked.legs[name] = locked.legs[name].copy()
            locked.legs[name][:, -1] -= gone * off
        return in_last(found, summed(unit, by))

    def refuse_pushing(self, by: Mapping[RunId, float]) -> None:
        """Raise UntoldError where a tendon would have had to push in a run whenever all came to rest."""
        on = [by.get(case, 0.0) if is_on else 1.0 for case, is_on in zip(self.cases, self.on(), strict=False)]
        for name, legs in self.pulled:
            forces = legs @ [*on, 1.0]
            if forces.min() < -SLACK * np.abs(forces).max():
                raise PushesError(f"The tendon {name} would have to push on the way.")

    def refuse_lifting(self, reactions: Array) -> None:
        """Raise UntoldError where reactions (equations,) would have a shore pull."""
        at = self.structure()
        largest = np.abs(reactions).max(initial=0.0)
        for index, joint in enumerate(at.reading.truss.joints):
            shore = self.moment.shores.get(joint)
            if shore is not None and not shore.both_ways and reactions[2 * index + 1] < -LIFTS * largest:
                raise UntoldError(f"The shore at {joint} would have to pull.")

    def _told(self, runs: Mapping[RunId, Mapping[RunId, float]]) -> dict[RunId, After | str]:
        """Some runs on what stands, over what is locked in."""
        if not runs:
            return {}
        try:
            return told(self, runs)
        except UntoldError as why:
            return dict.fromkeys(runs, str(why))
        except CannotAnalyseError as error:
            self.unread |= error.code == "load"
            return dict.fromkeys(runs, error.what)
