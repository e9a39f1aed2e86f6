"""The work, action by action: what each changes in structure and loads, and the forces that it locks in.

An action that brings something in waits until all before it has come to rest, so that what comes in is free of
stress; loads and what goes out may come to rest together, since the end does not depend on their order.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from trussio.analysis.giving import settle
from trussio.analysis.locked import go_on, leave, nothing, part_with
from trussio.analysis.signs import NOTHING
from trussio.analysis.structure import bears, numbers, structure_of
from trussio.analysis.tendons import greatest
from trussio.errors import CannotAnalyseError, Fault
from trussio.model.history import after, beginning
from trussio.model.staging import NOW, Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff, Tension
from trussio.model.tendon import jacking_force, loads_of, stressing

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from trussio.analysis.arrays import Flags, Floats
    from trussio.analysis.giving import Followed
    from trussio.analysis.structure import Structure
    from trussio.model.history import Moment
    from trussio.model.loading import RunId
    from trussio.model.staging import Action, Stage
    from trussio.model.tendon import TendonLoad
    from trussio.model.truss import Idealisation, JointId, Truss

LIFTS = 1e-9
"""A shore pulls where it does so by more than this part of the largest push of any shore or bearing."""


class Work:
    """The truss while it is worked on: what is there, and what is locked in under each of some cases.

    What carries one way is settled for the run that is `followed`; where none is, everything carries both ways.
    """

    def __init__(
        self,
        truss: Truss,
        idealisation: Idealisation,
        cases: list[RunId],
        followed: Followed | None = None,
    ) -> None:
        self.truss, self.idealisation, self.cases, self.followed = truss, idealisation, cases, followed
        self.moment: Moment = beginning(truss)
        self.locked = nothing(truss, len(cases) + 1)
        self.tensing = stressing(truss.loads)
        self._numbers = numbers(truss).joints
        self._jacked: dict[JointId, float] = {}
        self._legs: list[Floats] = []
        self._known: dict[tuple[object, ...], Structure] = {}
        self._resting = True

    def following(self, followed: Followed) -> Work:
        """The same work from its beginning, with one run followed; structures are put together once for both."""
        made = Work(self.truss, self.idealisation, self.cases, followed)
        made._known = self._known
        return made

    def stages(self) -> Iterator[Stage]:
        """Do stage after stage, and give each when everything has come to rest.

        Raises CannotAnalyseError where the structure is a mechanism on the way, or a shore would have to pull.
        """
        for number, stage in enumerate(self.truss.stages):
            try:
                for action in stage.actions:
                    self._do(action)
                self._rest()
            except CannotAnalyseError as error:
                raise _of_stage(error, stage, number) from None
            if self.followed.run.endswith(f"/{NOW}") if self.followed else not self.pushes_now:
                self.refuse_lifting(self._pushes(), f"/stages/{number}", f'stage "{stage.id}"')
            yield stage

    @property
    def pushes_now(self) -> bool:
        """Whether a tendon would have to push, or has had to on the way, with everything as it is."""
        return bool(self.have_pushed(np.ones((len(self.cases) + 1, 1)))[0])

    def have_pushed(self, factors: Floats) -> Flags:
        """In which runs (r,), as columns by `factors` (c, r), a tendon has had to push when all was at rest."""
        if not self._legs:
            return np.zeros(factors.shape[1], dtype=bool)
        forces = np.concatenate(self._legs) @ factors
        return np.asarray((forces < -NOTHING * np.abs(forces).max(axis=0)).any(axis=0))

    @property
    def on(self) -> Floats:
        """1 for each case that is on, those of stressed tendons among them; 0 in the last column."""
        every = {*self.moment.on, *(case for name in self.moment.stressed for case in self.tensing[name])}
        return np.array([*(1.0 if case in every else 0.0 for case in self.cases), 0.0])

    def structure(self, free: Collection[JointId] = ()) -> Structure:
        """What is there, with every tendon that some case stresses and that has something to bear on."""
        moment = self.moment
        shores = tuple(sorted((joint, id(shore)) for joint, shore in moment.shores.items() if joint not in free))
        key = (moment.members, shores)
        if key not in self._known:
            tendons = [name for name in self.tensing if bears(self.truss, moment, name)]
            self._known[key] = structure_of(
                self.truss, moment, self.idealisation, cases=self.cases, tendons=tendons, free=free
            )
        return self._known[key]

    def refuse_lifting(self, pushes: Mapping[JointId, float], where: str, when: str) -> None:
        """Raise CannotAnalyseError `shore-lifts-off` where a shore would have to pull its joint down."""
        largest = max(map(abs, pushes.values()), default=0.0)
        for joint, shore in self.moment.shores.items():
            push = pushes.get(joint, 0.0)
            if not shore.both_ways and push < -LIFTS * largest:
                unit = "lbf" if self.truss.units == "us" else "N"
                pull = f"{-push:.6g} {unit}"
                raise CannotAnalyseError(
                    "shore-lifts-off",
                    where=where,
                    what=f"in {when} the shore at {joint} lifts off: it would have to pull with {pull}.",
                    do="Release it before, jack it higher, or say that it works both ways.",
                )

    def load_of(self, name: str) -> tuple[int, TendonLoad]:
        """The column of the case that stresses a tendon, and what that case says."""
        (case,) = self.tensing[name]
        load = next(load for load in loads_of(self.truss.loads.cases[case]) if load.tendon == name)
        return self.cases.index(case), load

    def _pushes(self) -> dict[JointId, float]:
        """What shores and bearings push upwards as it stands."""
        factors = self.on
        factors[-1] = 1.0
        upwards = (self.locked.pushes[:, 1] @ factors).tolist()
        return {joint: push for joint, push in zip(self.truss.joints, upwards, strict=True) if push}

    def _do(self, action: Action) -> None:
        if isinstance(action, Replace):
            self._do(Remove(members=(action.member,)))
            self._do(Add(members=(action.by,)))
            return
        if isinstance(action, (Shore, Jack, Add, Tension)):
            self._rest()
        self.moment = after(self.moment, action)
        match action:
            case Jack():
                self._jack(action)
            case Tension():
                self._tension(action)
            case Release():
                self._jacked = {joint: by for joint, by in self._jacked.items() if joint not in action.joints}
                self._resting = False
            case TakeOff():
                self._resting = False
                self._rest()
                self._leave()
            case PutOn() | Remove() | Add():
                self._resting = False
            case Shore():
                pass

    def _jack(self, action: Jack) -> None:
        self._resting = False
        if action.by is not None:
            for joint in action.joints:
                self._jacked[joint] = self._jacked.get(joint, 0.0) + action.by
            self._rest()
            return
        rows = [self._numbers[joint] for joint in action.joints]
        self.locked.pushes = self.locked.pushes.copy()
        self.locked.pushes[rows, 1] = 0.0
        self.locked.pushes[rows, 1, -1] = action.force
        self._rest(free=action.joints)

    def _tension(self, action: Tension) -> None:
        at = self.structure()
        taut = set(action.tendons)
        self.locked.given = {key: by for key, by in self.locked.given.items() if key not in taut}
        for name in action.tendons:
            column, load = self.load_of(name)
            tendon, path = self.truss.tendons[name], at.cables[name].path
            legs = np.zeros((len(path.lengths), len(self.cases) + 1))
            legs[:, column] = greatest(tendon, path, action.to * jacking_force(tendon, load), name)
            self.locked.legs[name] = legs
        self._resting = False
        self._rest(loose=action.tendons)
        if not action.to:
            self.locked.legs = {n: legs for n, legs in self.locked.legs.items() if n not in action.tendons}
            self._leave()

    def _rest(self, *, free: Collection[JointId] = (), loose: Collection[str] = ()) -> None:
        """Let everything come to rest on the structure that is there."""
        if self._resting:
            return
        at = self.structure(free)
        part_with(self.locked, at, free)
        jacked = {self._numbers[joint]: by for joint, by in self._jacked.items()}
        go_on(self.locked, at, on=self.on, jacked=jacked, loose=loose)
        if self.followed is not None:
            tight = [name for name in self.locked.legs if name not in loose]
            settle(self.locked, at, self.followed, self.on, tight)
        else:
            self._legs += self.locked.legs.values()
        self._resting = True

    def _leave(self) -> None:
        gone = 1.0 - self.on
        gone[-1] = 0.0
        leave(self.locked, gone)


def _of_stage(error: CannotAnalyseError, stage: Stage, number: int) -> CannotAnalyseError:
    where = f"/stages/{number}"
    faults = tuple(
        Fault(
            where=", ".join(part for part in (where, fault.where) if part),
            what=f'in stage "{stage.id}": {fault.what}',
            do=fault.do,
        )
        for fault in error.faults
    )
    return CannotAnalyseError(
        error.code, where=faults[0].where, what=faults[0].what, do=faults[0].do, faults=faults
    )
