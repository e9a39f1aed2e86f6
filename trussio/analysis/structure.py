"""The structure of one moment of the work: what is there, put together, with tendons and slipping sticks.

Its joints and segments are some of those of the whole truss; `joints` and `segments` number them there. A case
that stresses tendons has no column of loads from them here: their forces enter as pulls of their legs.
Shapes: n movements, m segments, c load cases, r patterns.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from trussio.analysis.assembly import assembled
from trussio.analysis.redundants import patterns, slipping
from trussio.analysis.tendons import cable, couples_of, path_of
from trussio.analysis.turning import turning
from trussio.model.history import meetings, structure

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from trussio.analysis.arrays import Counts
    from trussio.analysis.assembly import Assembly
    from trussio.analysis.redundants import Redundants, Slipping
    from trussio.analysis.tendons import Cable, Path
    from trussio.analysis.turning import Couple
    from trussio.model.history import Moment
    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, JointId, Truss


class Numbers(NamedTuple):
    """The numbers of joints, and of segments by member and place along it, in the whole truss."""

    joints: Mapping[JointId, int]
    segments: Mapping[tuple[str, int], int]


class Structure(NamedTuple):
    """What is there at a moment: the truss of it, put together under all cases, and its tendons by id."""

    truss: Truss
    made: Assembly
    joints: Counts
    segments: Counts
    slips: Slipping
    cables: Mapping[str, Cable]


def numbers(truss: Truss) -> Numbers:
    """The numbers of a whole truss."""
    return Numbers(
        joints={name: index for index, name in enumerate(truss.joints)},
        segments={(segment.member, segment.index): number for number, segment in enumerate(truss.segments)},
    )


def structure_of(
    whole: Truss,
    moment: Moment,
    idealisation: Idealisation,
    *,
    cases: list[RunId],
    tendons: Collection[str],
    free: Collection[JointId] = (),
) -> Structure:
    """The structure of a moment under some cases, with the tendons named; shores at `free` joints do not hold.

    Raises CannotAnalyseError where a property that counts is missing or a load or tendon cannot be evaluated.
    """
    there, number = structure(whole, moment, free=free), numbers(whole)
    paths = {name: path_of(there, name) for name in tendons}
    couples = {name: couples_of(there, name, path) for name, path in paths.items()}
    glued = [(name, how.beside) for name, how in moment.beside.items() if how.glued and how.beside is not None]
    asked = [couple for found in couples.values() for couple in found if couple is not None]
    ideal, turned = turning(there, idealisation, glued, asked)
    made = assembled(there, ideal, cases)
    beside = [(name, how) for name, how in moment.beside.items() if how.slip or how.along]
    made, slips = slipping(there, made, beside)
    return Structure(
        truss=there,
        made=made,
        joints=np.array([number.joints[name] for name in there.joints], dtype=np.intp),
        segments=np.array([number.segments[s.member, s.index] for s in there.segments], dtype=np.intp),
        slips=slips,
        cables=_cables(there, made, paths, couples, turned),
    )


def bears(whole: Truss, moment: Moment, name: str) -> bool:
    """Whether every joint and stick that a tendon bears on is there at a moment."""
    met = meetings(whole, moment)
    there = {joint for _, joint in met}
    return name in whole.tendons and all(
        point.joint in there and (point.bears_on is None or (point.bears_on, point.joint) in met)
        for point in whole.tendons[name].path
    )


def _cables(
    there: Truss,
    made: Assembly,
    paths: Mapping[str, Path],
    couples: Mapping[str, Sequence[Couple | None]],
    turned: list[int],
) -> dict[str, Cable]:
    total, first = made.frame.total, made.frame.total - len(made.ideal.rotations)
    rotations, found = iter(turned), {}
    for name, path in paths.items():
        turns = [None if couple is None else first + next(rotations) for couple in couples[name]]
        found[name] = cable(there, name, path, turns, total)
    return found


def patterns_of(at: Structure, tendons: Collection[str]) -> Redundants:
    """The patterns of slipping sticks, then one for each of the tendons that are members, in order."""
    members = members_of(at, tendons)
    pulls = np.zeros((at.made.frame.total, len(members)))
    for index, name in enumerate(members):
        pulls[:, index] = at.cables[name].pulls.sum(axis=1)
    return patterns(at.slips, pulls, [at.cables[name].give or 0.0 for name in members], len(at.segments))


def members_of(at: Structure, tendons: Collection[str]) -> list[str]:
    """Those of the tendons that later loads stretch."""
    return [name for name, one in at.cables.items() if name in tendons and one.give is not None]
