"""The load that brings each element to its limit: its run again and again, the changing loads more or less.

Dead load and what else stays is held; snow, wind and live load of the run are scaled until the worst check of the
element stands at 1. The real checks are made at every step, with the forces of the scaled loads, since amplified
moments are not linear. A run of dead load alone is scaled as a whole. No load changes a slenderness.
Source: own derivation, bisection.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import floor
from typing import TYPE_CHECKING, Final

from trussio.model.loading import RunId
from trussio.model.standing import Limit
from trussio.timber.bench import State
from trussio.timber.review import PERMANENT, checks_of

if TYPE_CHECKING:
    from trussio.model.check import Check
    from trussio.model.forces import RunForces
    from trussio.timber.bench import Bench

Factors = Mapping[RunId, float]
Scaled = Callable[[Mapping[RunId, Factors]], Mapping[RunId, "RunForces"]]
"""Forces of runs that the document does not have, by the factors of their cases."""

SLENDERNESS: Final = "slenderness"
HELD: Final = PERMANENT | {"imposed"}
"""Kinds of load that are not scaled beside others."""
FARTHEST: Final = 5.0
"""Times the load beyond which nobody looks."""
ROUNDS: Final = 13
LEAST: Final = 0.01
WORDS: Final = {"roof-live": "roof live load", "live": "live load", "dead": "dead load", "imposed": "movement"}


@dataclass(frozen=True, kw_only=True)
class Search:
    """One element under one run: the factors of the cases that are held and of those that are scaled.

    `state` is the run, `held_kinds` the kinds of load that stay when the rest is gone, `words` what is scaled.
    """

    element: str
    state: State
    held: Factors
    moved: Factors
    held_kinds: tuple[str, ...]
    words: str

    def factors(self, times: float) -> Factors:
        """The run with what is scaled taken so many times."""
        return {**self.held, **{case: factor * times for case, factor in self.moved.items()}}


def limits(bench: Bench, worst: Sequence[Check], scaled: Scaled) -> dict[str, Limit]:
    """The limit of each element by its worst check, where that was evaluated under a run with loads."""
    found: dict[str, Limit] = {}
    states = {state.run: state for state in bench.states}
    searches: list[Search] = []
    for check in worst:
        if check.ratio is None or check.run is None:
            continue
        if check.what.startswith(SLENDERNESS):
            found[check.element] = Limit("", None, "no load changes a slenderness")
        elif RunId(check.run) in states and "/" not in check.run and check.run in bench.truss.loads.runs:
            searches.append(_search(bench, check.element, states[RunId(check.run)]))
    return found | _found(bench, searches, scaled)


def _search(bench: Bench, element: str, state: State) -> Search:
    loads = bench.truss.loads
    factors = {case: factor for case, factor in loads.runs[state.run].items() if factor}
    moved = {case: factor for case, factor in factors.items() if loads.cases[case].kind not in HELD}
    held = {case: factor for case, factor in factors.items() if case not in moved} if moved else {}
    kinds = dict.fromkeys(loads.cases[case].kind or "other" for case in moved or factors)
    return Search(
        element=element,
        state=state,
        held=held,
        moved=moved or factors,
        held_kinds=tuple(dict.fromkeys(loads.cases[case].kind or "other" for case in held)),
        words=" and ".join(WORDS.get(kind, kind) for kind in kinds),
    )


def _found(bench: Bench, searches: Sequence[Search], scaled: Scaled) -> dict[str, Limit]:
    def over(of: Sequence[Search], times: Sequence[float]) -> list[bool]:
        return [ratio > 1.0 for ratio in ratios(bench, of, times, scaled)]

    found: dict[str, Limit] = {}
    left: list[Search] = []
    for search, without in zip(searches, over(searches, [0.0] * len(searches)), strict=True):
        if without:
            held = "dead load" if set(search.held_kinds) == {"dead"} else "the loads that stay"
            found[search.element] = Limit(search.words, None, f"over 1.0 under {held} alone")
        else:
            left.append(search)
    low = [0.0 if at_once else 1.0 for at_once in over(left, [1.0] * len(left))]
    high = [1.0 if least == 0.0 else FARTHEST for least in low]
    reached = [least == 0.0 or far for least, far in zip(low, over(left, [FARTHEST] * len(left)), strict=True)]
    for _ in range(ROUNDS):
        middle = [(a + b) / 2 for a, b in zip(low, high, strict=True)]
        beyond = over(left, middle)
        low = [a if far else m for a, m, far in zip(low, middle, beyond, strict=True)]
        high = [m if far else b for b, m, far in zip(high, middle, beyond, strict=True)]
    for search, factor, beyond_it, is_reached in zip(left, low, high, reached, strict=True):
        found[search.element] = _limit(search, (factor, beyond_it) if is_reached else None)
    return found


def _limit(search: Search, between: tuple[float, float] | None) -> Limit:
    """The limit from the two factors between which it lies, a hair apart; told to a hundredth, rounded down."""
    if between is None:
        return Limit(search.words, None, f"not reached at {FARTHEST:g} x {search.words}")
    factor, beyond = between
    shown = floor(beyond * 100) / 100
    if shown < LEAST:
        return Limit(search.words, factor, f"over 1.0 with next to no {search.words}")
    return Limit(search.words, factor, f"reaches 1.0 at {shown:.2f} x {search.words}")


def ratios(bench: Bench, searches: Sequence[Search], times: Sequence[float], scaled: Scaled) -> list[float]:
    """The worst ratio of each element with its scaled loads taken so many times, slenderness left out."""
    names = [RunId(f":{number}") for number in range(len(searches))]  # no id of a document holds a colon
    wanted = {
        name: search.factors(factor)
        for name, search, factor in zip(names, searches, times, strict=True)
        if factor or search.held
    }
    forces = scaled(wanted) if wanted else {}
    results = replace(bench.results, runs=forces)
    found = []
    for name, search, factor in zip(names, searches, times, strict=True):
        if name not in forces:
            found.append(0.0)
            continue
        kinds = search.state.kinds if factor else search.held_kinds
        state = State(run=name, kinds=kinds, factored=search.state.factored)
        checks = checks_of(bench.under(results, (state,)), search.element)
        found.append(worst_ratio(checks))
    return found


def worst_ratio(checks: Sequence[Check]) -> float:
    """The greatest ratio that was evaluated, of all checks but slenderness."""
    known = (check.ratio for check in checks if not check.what.startswith(SLENDERNESS))
    return max((ratio for ratio in known if ratio is not None), default=0.0)
