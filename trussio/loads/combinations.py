"""Combinations of cases: allowable-stress combinations of ASCE 7 2.4.1, and those of EN 1990.

Every snow or roof load case is an alternative of its own: none is added to another. Cases that a person entered by
hand take part by their kind; wind is taken as of strength level (7-10 and later), its factor being 0.6. In EN 1990
one variable action leads and the others stand beside it by psi0; imposed load on a roof acts with neither snow nor
wind (EN 1991-1-1 3.3.2, from memory). A tendon's case stands in every combination with the factor 1. Factors, and
nothing else, stand in a combination.
"""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.loads.case import Rule
from trussio.loads.sources import ASCE, MEMORY, NEW_YORK, STRENGTH_LEVEL

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from trussio.model.loading import RunId
    from trussio.model.site import Edition

LONGEST: Final = 64
"""Characters that an id may have."""
PSI0_WIND: Final = 0.6
PSI0_SNOW: Final = 0.5
PSI0_LIVE: Final = 0.7
"""Recommended values of EN 1990 annex A1, from memory."""

BASIC: Final = "6.4.3.2, Eq. 6.10"

Factors = dict["RunId", float]


class Action(NamedTuple):
    """A variable action: its cases, and the share of it that stands beside another that leads."""

    name: str
    cases: Factors
    share: float


class Groups(NamedTuple):
    """Cases by their part: `panel` are single hung loads, one at a time; `held` stand in every combination."""

    dead: tuple[RunId, ...]
    live: tuple[RunId, ...]
    panel: tuple[RunId, ...]
    snow: tuple[RunId, ...]
    roof_live: tuple[RunId, ...]
    wind: tuple[RunId, ...]
    accidental: tuple[RunId, ...]
    held: tuple[RunId, ...]


class Combination(NamedTuple):
    """A combination: its factors, what it is, and by which rule."""

    factors: Factors
    says: str
    rule: Rule

    @property
    def name(self) -> str:
        """An id made of the factors: `D+0.75L+0.75S`."""
        parts = [f"{'' if factor == 1 else f'{factor:g}'}{case}" for case, factor in self.factors.items()]
        return "+".join(parts)


def named(combinations: Iterable[Combination]) -> dict[str, Combination]:
    """Combinations by id, each once, none empty or of one case alone; an id too long is numbered instead."""
    found: dict[str, Combination] = {}
    for combination in combinations:
        alone = len(combination.factors) == 1 and set(combination.factors.values()) == {1.0}
        if (
            not combination.factors
            or alone
            or any(combination.factors == other.factors for other in found.values())
        ):
            continue
        name = combination.name if len(combination.name) <= LONGEST else f"combination {len(found) + 1}"
        found[name] = combination
    return found


def asd_combinations(groups: Groups, edition: Edition) -> Iterator[Combination]:
    """The allowable-stress combinations of dead, live, roof, snow and wind loads.

    Without a live load the fourth, D + 0.75 S, lies between the first and the third and is left out.
    """
    rule = Rule(f"{ASCE[edition]} 2.4.1", NEW_YORK)
    newest = edition == "asce7-22"
    share = 0.7 if newest else 1.0
    snowed = Rule(rule.clause, STRENGTH_LEVEL) if newest else rule
    roof = [(case, share, snowed) for case in groups.snow] + [(case, 1.0, rule) for case in groups.roof_live]
    wind = [(case, 0.6, rule) for case in groups.wind]
    dead, live = _all(groups.dead), _all(groups.live)

    def made(number: int, says: str, rule: Rule, *parts: Factors) -> Combination:
        return _combined(groups, says, Rule(f"{rule.clause}({number})", rule.mark), parts)

    yield made(1, "Dead load.", rule, dead)
    if live:
        yield made(2, "Dead and live load.", rule, dead, live)
    for case in groups.panel:
        yield made(2, "Dead load and a single hung load.", rule, dead, {case: 1.0})
    for case, factor, known in roof:
        yield made(3, "Dead load and one roof load.", known, dead, {case: factor})
    for case, factor, known in roof if live else ():
        yield made(4, "Dead, live and one roof load.", known, dead, _times(live, 0.75), {case: 0.75 * factor})
    for case, factor, known in wind:
        yield made(5, "Dead load and wind.", known, dead, {case: factor})
    for gust, strength, _ in wind:
        for case, factor, known in roof:
            roofed = {gust: 0.75 * strength, case: 0.75 * factor}
            yield made(6, "Dead, live, wind and one roof load.", known, dead, _times(live, 0.75), roofed)
    for case, factor, known in wind:
        yield made(7, "Least dead load and wind.", known, _times(dead, 0.6), {case: factor})


def eurocode_combinations(
    groups: Groups, *, psi0_snow: float | None = None, psi0_live: float | None = None
) -> Iterator[Combination]:
    """The fundamental combinations (6.10), accidental snow, and the characteristic combinations for deflection."""
    snow_share = PSI0_SNOW if psi0_snow is None else psi0_snow
    live_share = PSI0_LIVE if psi0_live is None else psi0_live
    dead, live = _all(groups.dead), _all(groups.live)
    heavy = _times(dead, 1.35)

    def made(clause: str, says: str, *parts: Factors) -> Combination:
        return _combined(groups, says, Rule(f"EN 1990 {clause}", MEMORY), parts)

    yield made(BASIC, "Permanent load alone.", heavy)
    for case in groups.panel:
        yield made(BASIC, "A single hung load leads.", heavy, {case: 1.5})
    for case in (*groups.snow, *groups.roof_live):
        yield made(BASIC, "One roof load leads; permanent load helps.", dead, {case: 1.5})
    for gust in groups.wind:
        yield made(BASIC, "Wind leads; permanent load holds down.", dead, {gust: 1.5})
    snows = [Action("snow", {case: 1.0}, snow_share) for case in groups.snow]
    roofs = [Action("imposed load on the roof", {case: 1.0}, 0.0) for case in groups.roof_live]
    lives = [Action("live load", live, live_share)] if live else []
    winds = [Action("wind", {gust: 1.0}, PSI0_WIND) for gust in groups.wind]
    every = product((None, *snows), (None, *lives), (None, *winds))
    for together in (*every, *product(roofs, (None, *lives))):
        actions = [action for action in together if action is not None]
        for lead in actions:
            others = [action for action in actions if action is not lead and action.share]
            beside = f", {' and '.join(action.name for action in others)} beside it" if others else ""
            shares = [_times(action.cases, 1.5 * action.share) for action in others]
            says = f"{lead.name.capitalize()} leads{beside}."
            yield made(BASIC, says, heavy, _times(lead.cases, 1.5), *shares)
    for case in groups.accidental:
        yield made("6.4.3.3, Eq. 6.11", "Exceptional snow, accidental.", dead, {case: 1.0})
    for one in ([live] if live else []) + [{case: 1.0} for case in groups.snow]:
        yield made("6.5.3, Eq. 6.14", "Characteristic, for deflection.", dead, one)


def _all(cases: Iterable[RunId]) -> Factors:
    return dict.fromkeys(cases, 1.0)


def _times(factors: Factors, by: float) -> Factors:
    return {case: factor * by for case, factor in factors.items()}


def _combined(groups: Groups, says: str, rule: Rule, parts: Iterable[Factors]) -> Combination:
    """Parts put together, with what stands in every combination; factors without the dust of arithmetic."""
    factors = {case: round(factor, 9) for part in parts for case, factor in part.items() if factor}
    return Combination(factors | _all(groups.held), says, rule)
