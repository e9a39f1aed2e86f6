"""Rules that explain a standing by its loads: which of them brings it, what an even load would do, what pushes it.

Each rule gives one sentence with numbers of the model, or nothing. Signs as in `cause_facts`.
Source: statics; that webs of a curved-top truss do little under even load and most under uneven load is common
practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.model.loading import RunId
from trussio.timber.cause_facts import lean
from trussio.timber.review import PERMANENT

if TYPE_CHECKING:
    from trussio.timber.cause_facts import Facts
    from trussio.units import UnitSystem

SMALL: Final = 0.02
"""Part of the larger below which a force is not worth a word."""
MUCH_MORE: Final = 1.5
KIND_WORDS: Final = {"roof-live": "roof live load", "live": "live load", "dead": "dead load"}


def force_words(units: UnitSystem, force: float) -> str:
    """An axial force with its sense: `2.84 k of compression`."""
    return f"{amount(units, force)} of {'tension' if force > 0 else 'compression'}"


def amount(units: UnitSystem, force: float) -> str:
    """The size of a force for people: lb, k (1,000 lb) or kN."""
    if units == "si":
        return f"{abs(force) / 1000:.3g} kN"
    return f"{abs(force):.0f} lb" if abs(force) < 1000 else f"{abs(force) / 1000:.3g} k"


def moment_words(units: UnitSystem, moment: float) -> str:
    """The size of a moment for people: ft-k or kN-m."""
    return f"{abs(moment) / 12000:.3g} ft-k" if units == "us" else f"{abs(moment) / 1e6:.3g} kN-m"


def load_words(facts: Facts) -> str:
    """The loads of a run that come and go: `snow (SL), heavier on the left`."""
    cases, results = facts.truss.loads.cases, facts.bench.results
    kinds = dict.fromkeys(KIND_WORDS.get(k, k) for k in (cases[case].kind or "other" for case in facts.moved))
    side = lean(facts.truss, results, {case: facts.factors[case] for case in facts.moved})
    heavier = f", heavier on the {side}" if side else ""
    return f"{' and '.join(kinds)} ({', '.join(facts.moved)}){heavier}"


def over_by_dead_load(facts: Facts) -> str:
    """Raised where a run of permanent loads alone is over the limit already."""
    kinds = {state.run: set(state.kinds) for state in facts.bench.states}
    for run, check in facts.worst_by_run.items():
        acting = kinds.get(RunId(run), set())
        if "dead" in acting and acting <= PERMANENT and check.verdict == "not met":
            return (
                f"It is over its limit under dead load alone ({check.reads} in run {run}), before anything else."
            )
    return ""


def load_case(facts: Facts) -> str:
    """Raised where the loads that come and go bring most of the force, or all that is over the limit."""
    if facts.slender or not facts.moved or over_by_dead_load(facts):
        return ""
    told = f"What brings it is {load_words(facts)}"
    force, parts = facts.forces, facts.axial_by_case
    if force is not None and parts and force.axial:
        moved = sum(parts[case] for case in facts.moved)
        if moved * force.axial > 0 and abs(moved) > abs(force.axial) / 2:
            told += f": {_share(facts.truss.units, moved, force.axial)} in run {facts.run}"
    before = facts.worst_by_run.get(facts.held_run.run) if facts.held_run is not None else None
    return f"{told}. Dead load alone takes it to {before.reads}." if before is not None else f"{told}."


def _share(units: UnitSystem, moved: float, whole: float) -> str:
    """What comes and goes of a force, or beyond it where what stays works against it."""
    if abs(moved) <= abs(whole):
        return f"{amount(units, moved)} of the {force_words(units, whole)}"
    return f"{force_words(units, moved)}, from which what stays takes {amount(units, moved - whole)},"


def sign_changed(facts: Facts) -> str:
    """Raised where the even run beside this one has the axial force the other way round."""
    even = _even_force(facts)
    if even is None or facts.forces is None or even * facts.forces.axial >= 0:
        return ""
    if abs(even) < SMALL * abs(facts.forces.axial):
        return ""
    then, now = (force_words(facts.truss.units, force) for force in (even, facts.forces.axial))
    return f"Its force has changed sign: with the load even (run {facts.even_run}) it has {then}, here {now}."


def uneven_load(facts: Facts) -> str:
    """Raised where the even run beside this one puts far less force of the same sign into it, or next to none."""
    even = _even_force(facts)
    if even is None or facts.forces is None or sign_changed(facts):
        return ""
    now, units = facts.forces.axial, facts.truss.units
    if abs(even) < SMALL * abs(now):
        return (
            f"With the load even (run {facts.even_run}) it has next to no force; here {force_words(units, now)}."
        )
    if abs(now) < MUCH_MORE * abs(even):
        return ""
    return (
        f"Uneven load puts {now / even:.1f} times as much in it as even load: {force_words(units, now)} "
        f"against {amount(units, even)} in run {facts.even_run}."
    )


def _even_force(facts: Facts) -> float | None:
    if facts.segment is None or facts.even_run is None:
        return None
    return facts.bench.forces(facts.even_run, facts.segment.id).axial
