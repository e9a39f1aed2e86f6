"""What a person wrote among the loads, and how new ones are put beside it.

Terms: a case or combination is *by hand* where nothing is told of how it was generated; it always stays. A
generated one that somebody edited or took out is *kept* as it is, if so asked, and goes on showing as edited.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from trussio.errors import Fault, UsageError

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from trussio.model.loading import LoadCase, Loads, RunId
    from trussio.model.site import Generated

    T = TypeVar("T")


def cases_by_hand(loads: Loads) -> dict[RunId, LoadCase]:
    """The cases that nothing generated."""
    generated = loads.basis.cases if loads.basis is not None else {}
    return {run: case for run, case in loads.cases.items() if run not in generated}


def combinations_by_hand(loads: Loads) -> dict[RunId, Mapping[RunId, float]]:
    """The combinations that nothing generated."""
    generated = loads.basis.combinations if loads.basis is not None else {}
    return {run: factors for run, factors in loads.combinations.items() if run not in generated}


def with_kept(made: Mapping[RunId, T], now: Mapping[RunId, T], kept: Collection[RunId]) -> dict[RunId, T]:
    """What was made, with what is kept as it is now, or stays out as it is now."""
    found = {run: now[run] if run in kept else one for run, one in made.items() if run not in kept or run in now}
    return found | {run: one for run, one in now.items() if run in kept and run not in found}


def hidden_by_hand(
    made: Mapping[RunId, Mapping[RunId, float]], by_hand: Mapping[RunId, Mapping[RunId, float]]
) -> Iterator[str]:
    """Combinations whose name stands by hand for something else, in words."""
    for run, factors in made.items():
        if run in by_hand and dict(by_hand[run]) != dict(factors):
            meant = " + ".join(f"{factor:g} {case}" for case, factor in factors.items())
            yield f"Combination {meant}: its name {run} is taken by a combination by hand, which stays."


def told_with_kept(
    made: Mapping[RunId, Generated], before: Mapping[RunId, Generated], kept: Collection[RunId]
) -> dict[RunId, Generated]:
    """What is told of generated things: of kept ones what was told before, so that the edit goes on showing."""
    found = {run: before[run] if run in kept else told for run, told in made.items()}
    return found | {run: told for run, told in before.items() if run in kept and run not in found}


def refuse_edits(changed: Collection[RunId]) -> None:
    """Refuse to write over what somebody edited."""
    if changed:
        raise UsageError(
            "edited-loads",
            where=", ".join(changed),
            what="These were edited, or taken out, since they were generated.",
            do="Give --keep-edited to leave them as they are, or --discard-edits to write them anew.",
        )


def refuse_taken(made: Collection[RunId], loads: Loads) -> None:
    """Refuse where a case of the same name is there by hand."""
    taken = [run for run in cases_by_hand(loads) if run in made]
    taken += [run for run in combinations_by_hand(loads) if run in made]
    if taken:
        faults = tuple(
            Fault(
                where=f"/loads/{'cases' if run in loads.cases else 'combinations'}/{run}",
                what=f'"{run}" is there by hand, and a case of that name would be generated.',
                do="Give yours another name, or take it out.",
            )
            for run in taken
        )
        first = faults[0]
        raise UsageError("name-taken", where=first.where, what=first.what, do=first.do, faults=faults)


def refuse_orphans(combinations: Mapping[RunId, Mapping[RunId, float]], cases: Collection[RunId]) -> None:
    """Refuse where a combination that is kept asks for a case that is no longer generated."""
    for run, factors in combinations.items():
        lost = [case for case in factors if case not in cases]
        if lost:
            raise UsageError(
                "combination-without-case",
                where=f"/loads/combinations/{run}",
                what=f"it combines {', '.join(lost)}, which would be there no longer.",
                do="Take the combination out, or mend it, and load again.",
            )
