"""Other ways to take the same truss: what a table holds that was found with rods that push, or as it was built.

Each is tried only on figures that disagree and that no slip explains, and named only if it explains all of them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from trussio.errors import CannotAnalyseError
from trussio.late import loaded
from trussio.recheck.energy import second_forces
from trussio.recheck.naming import Slip

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from trussio.model.loading import RunId
    from trussio.model.truss import Idealisation, SegmentId, State, Truss
    from trussio.recheck.staged_runs import After

    Axial = Mapping[SegmentId, float]
    Others = Callable[[RunId], Iterator[tuple[Slip, Axial]]]
    """What other ways give for a run, each with the slip that it would be."""
    OtherState = tuple[State, Callable[[], Truss]]
    """A state that is not asked for, and what makes the truss in it."""


class _Way(NamedTuple):
    slip: Slip
    truss: Callable[[], Truss]
    idealisation: Idealisation


def at_once(truss: Truss, idealisation: Idealisation, other_state: OtherState | None) -> Others:
    """Other ways of a truss without stages and tendons."""

    def forces(way: _Way, run: RunId) -> Axial:
        return second_forces(way.truss(), idealisation=way.idealisation, runs=[run])[run].axial

    return _each(_ways(truss, idealisation, other_state), forces)


def through_stages(truss: Truss, idealisation: Idealisation, other_state: OtherState | None) -> Others:
    """Other ways of a truss with stages or tendons; each is followed through the work once."""
    known: dict[str, Mapping[RunId, After | str]] = {}

    def forces(way: _Way, run: RunId) -> Axial:
        if way.slip.kind not in known:
            follow: Callable[[Truss, Idealisation], dict[RunId, After | str]]
            follow = loaded("trussio.recheck.stages:runs_after")
            known[way.slip.kind] = follow(way.truss(), way.idealisation)
        found = known[way.slip.kind].get(run, "")
        return {} if isinstance(found, str) else found.forces.axial

    return _each(_ways(truss, idealisation, other_state), forces)


def _each(ways: list[_Way], forces: Callable[[_Way, RunId], Axial]) -> Others:
    def others(run: RunId) -> Iterator[tuple[Slip, Axial]]:
        for way in ways:
            try:
                found = forces(way, run)
            except CannotAnalyseError:
                continue
            yield way.slip, found

    return others


def _ways(truss: Truss, idealisation: Idealisation, other_state: OtherState | None) -> list[_Way]:
    other: Idealisation = "pinned" if idealisation == "continuous" else "continuous"
    says = f"these are the forces of the idealisation `{other}`"
    ways = [_Way(Slip("another-idealisation", says), lambda: truss, other)]
    members = truss.members.values()
    if any(member.acts for member in members):
        slip = Slip("both-ways", "these are the forces with every member carrying both ways")
        ways.append(_Way(slip, lambda: _both_ways(truss), idealisation))
    if any(member.slip or member.play or member.turning for member in members):
        slip = Slip("no-slip", "these are the forces with connections that neither slip nor turn")
        ways.append(_Way(slip, lambda: _without_slip(truss), idealisation))
    if other_state is not None:
        state, made = other_state
        ways.append(
            _Way(Slip("another-state", f"these are the forces of the truss as {state}"), made, idealisation)
        )
    return ways


def _both_ways(truss: Truss) -> Truss:
    return replace(truss, members={name: replace(member, acts=None) for name, member in truss.members.items()})


def _without_slip(truss: Truss) -> Truss:
    members = truss.members.items()
    return replace(
        truss, members={name: replace(one, slip=None, play=None, turning=None) for name, one in members}
    )
