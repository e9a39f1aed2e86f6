"""Forces of least energy through stages of work and with tendons.

Nothing is added up from step to step but what is locked in. At each moment the truss that is there has forces in
equilibrium with all that is on it; and from the moment before to this one each part deforms by what the joints
move. With D what a part was deformed by when it last came to rest (its flexibility times its force, and what
loads, warmth and lack of fit deform it by; nought for what comes in), the forces of the moment are those that make

    f F f / 2 + f (e - D) least among all in equilibrium with the whole load.

So each moment is one problem of least energy of its own, on its own structure, for the whole force. It has a
column for each load case and one for what no case brings (jacking); a case that goes off leaves its column there.

A tendon is stressed by known forces of its legs; locked off, it is one more unknown, that stretches. What stands
at each moment is read by `trussio.model.history`, which the analysis reads too. What carries one way cannot be
told, nor a purlin point that comes or goes in `pinned`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np

from trussio.errors import CannotAnalyseError
from trussio.model.history import Moment, after, beginning, ending, run_factors
from trussio.model.staging import Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff, Tension
from trussio.model.tendon import jacking_force, loads_of, stressing
from trussio.recheck.moments import Rested, Structure, UntoldError, least, rows_of, structure_at
from trussio.recheck.staged_runs import told
from trussio.recheck.stressing import leg_forces

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from numpy.typing import NDArray

    from trussio.model.loading import RunId
    from trussio.model.staging import Action
    from trussio.model.truss import Idealisation, JointId, Truss
    from trussio.recheck.energy import SecondForces
    from trussio.recheck.moments import Key

    Array = NDArray[np.float64]
    Columns = dict[Key, Array]

LIFTS: Final = 1e-9
"""A shore pulls where it does so by more than this part of the largest reaction."""


class Locked(NamedTuple):
    """What is locked in, by part: deformations D, how far the ground has moved, forces of legs, of later stretch.

    All have a column for each case, and one for what no case brings.
    """

    deformed: Columns
    ground: Columns
    legs: dict[str, Array]
    stretched: dict[str, Array]


def staged_forces(truss: Truss, idealisation: Idealisation) -> dict[RunId, SecondForces | str]:
    """Every run of a truss with tendons or stages: its forces, or why they cannot be told.

    Raises CannotAnalyseError as `second_forces` does.
    """
    return Work(truss, idealisation).runs()


class Work:
    """The work followed moment by moment; `locked` and `moment` change as it goes on."""

    def __init__(self, truss: Truss, idealisation: Idealisation) -> None:
        self.truss, self.idealisation = truss, idealisation
        self.cases = list(truss.loads.cases)
        self.columns = len(self.cases) + 1
        self.tensing = stressing(truss.loads)
        self.moment: Moment = beginning(truss)
        self.locked = Locked({}, {}, {}, {})
        self.jacked: dict[JointId, float] = {}
        self.known: dict[object, Structure] = {}

    def runs(self) -> dict[RunId, SecondForces | str]:
        """All runs, bare ones first."""
        factors = run_factors(self.truss)
        found: dict[RunId, SecondForces | str] = {}
        bare = {run: by for run, by in factors.items() if "/" not in run}
        self.moment = ending(self.truss)
        found |= self._told(bare)
        self.moment = beginning(self.truss)
        lost: str | None = None
        for stage in self.truss.stages:
            own = {run: by for run, by in factors.items() if run.startswith(f"{stage.id}/")}
            if lost is None:
                try:
                    for action in stage.actions:
                        self._do(action)
                    self.refuse_lifting(self.rest())
                except UntoldError as why:
                    lost = str(why)
                except CannotAnalyseError as error:
                    lost = f'In stage "{stage.id}": {error.what}'
            found |= self._told(own) if lost is None else dict.fromkeys(own, lost)
        return found

    def on(self) -> Array:
        """1 for each case that is on, 0 in the last column."""
        every = {*self.moment.on, *(case for name in self.moment.stressed for case in self.tensing[name])}
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
        self.rest(free=action.joints, pushed=force)
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

        def left(values: Array) -> Array:
            kept = values * (1.0 - gone)
            kept[..., -1] += values @ gone
            return kept

        deformed, ground, legs, stretched = self.locked
        self.locked = Locked(
            {key: left(values) for key, values in deformed.items()},
            {key: left(values) for key, values in ground.items()},
            {name: left(values) for name, values in legs.items()},
            {name: left(values) for name, values in stretched.items()},
        )

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

    def rest(self, *, free: Collection[JointId] = (), pushed: float = 0.0, loose: Collection[str] = ()) -> Rested:
        """Let all that is on come to rest on what stands, and lock it in."""
        at, on = self.structure(free), self.on()
        number = {joint: index for index, joint in enumerate(at.reading.truss.joints)}
        problem, locked = at.problem, self.locked
        loads = _widened(at.reading.loads.joints.T, self.columns) * on
        for joint in free:
            loads[2 * number[joint] + 1, -1] += pushed
        for name, legs in locked.legs.items():
            loads += at.pulls[name] @ legs
        e = _widened(problem.deformed, self.columns) * on
        nothing = np.zeros(self.columns)
        before = np.array([locked.deformed.get(key, nothing) for key in at.keys])
        ground = _widened(problem.forced, self.columns) * on
        for joint, by in self.jacked.items():
            spring: Key = ("spring", f"{joint}.y", 0)
            if joint in number and joint not in free and spring in at.keys:
                e[at.keys.index(spring), -1] -= by
            elif joint in number and joint not in free:
                ground[2 * number[joint] + 1, -1] += by
        rows = rows_of(at)
        moved = ground - np.array([locked.ground.get(row, nothing) for row in rows])
        tight = [name for name in locked.legs if name not in loose and name in at.gives]
        again = {name: -at.gives[name] * locked.stretched[name] for name in tight}
        found = least(at, loads, e - before, moved, again)
        for name in tight:
            locked.stretched[name] = found.tendons[name]
        kept = {row: self.locked.ground[row] for row in self.locked.ground if row[1] in free}
        deformed = problem.soft @ found.forces + e
        self.locked = locked._replace(
            deformed=dict(zip(at.keys, deformed, strict=True)),
            ground={row: values for row, values in zip(rows, ground, strict=True) if values.any()} | kept,
        )
        return found

    def refuse_lifting(self, found: Rested, factors: Array | None = None) -> None:
        """Raise UntoldError where a shore would have to pull, in a sum of columns or as it stands."""
        at = self.structure()
        on = self.on() if factors is None else factors
        if factors is None:
            on[-1] = 1.0
        pushes = found.reactions @ on
        largest = np.abs(pushes).max(initial=0.0)
        for index, joint in enumerate(at.reading.truss.joints):
            shore = self.moment.shores.get(joint)
            if shore is not None and not shore.both_ways and pushes[2 * index + 1] < -LIFTS * largest:
                raise UntoldError(f"The shore at {joint} would have to pull.")

    def _told(self, runs: Mapping[RunId, Mapping[RunId, float]]) -> dict[RunId, SecondForces | str]:
        """Some runs on what stands, over what is locked in."""
        if not runs:
            return {}
        try:
            return told(self, runs)
        except UntoldError as why:
            return dict.fromkeys(runs, str(why))
        except CannotAnalyseError as error:
            return dict.fromkeys(runs, error.what)


def _widened(values: Array, columns: int) -> Array:
    return np.pad(values, ((0, 0), (0, columns - values.shape[1])))
