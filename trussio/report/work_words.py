"""Stages in words: what is done in each, and how sticks that come in beside others are tied to them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.quantities import force_scale, moment_scale
from trussio.model.staging import Add, Jack, PutOn, Release, Remove, Replace, Shore, TakeOff, Tension

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from trussio.model.staging import Action, Stage
    from trussio.model.truss import Truss
    from trussio.units import UnitSystem


def stage_words(truss: Truss) -> Iterator[tuple[Stage, str]]:
    """Every stage with what is done in it."""
    for stage in truss.stages:
        yield stage, "; ".join(action_words(truss, action) for action in stage.actions) or "nothing is done"


def action_words(truss: Truss, action: Action) -> str:
    """One action."""
    match action:
        case PutOn():
            said = f"loads of {listed(action.cases)} come on"
        case TakeOff():
            said = f"loads of {listed(action.cases)} go off"
        case Shore():
            said = _shore(truss.units, action)
        case Jack():
            said = f"shores at {listed(action.joints)} {_jacked(truss.units, action)}"
        case Release():
            said = f"shores at {listed(action.joints)} taken away"
        case Remove():
            said = f"{listed(action.members)} taken out"
        case Add():
            said = f"{listed(action.members)} put in{_tied(truss.units, action)}"
        case Replace():
            said = f"{action.member} taken out, then {action.by} put in"
        case Tension():
            said = f"{listed(action.tendons)} {_tensed(action.to)}"
    return said


def listed(names: Iterable[str]) -> str:
    """Names in a row: `B3, B4 and B5`."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def _shore(units: UnitSystem, shore: Shore) -> str:
    ways = [way if isinstance(way, str) else f"({way[0]:g}, {way[1]:g})" for way in shore.holds]
    held = "" if ways == ["y"] else f", holding {', '.join(ways)}" if ways else ""
    springs = "".join(
        f", a spring of {turning(units, by) if way == 'turn' else stiffness(units, by)} in {way}"
        for way, by in (shore.springs or {}).items()
    )
    both = ", which can hold down too" if shore.both_ways else ""
    return f"shores set under {listed(shore.joints)}{held}{springs}{both}"


def stiffness(units: UnitSystem, value: float) -> str:
    """Force per movement."""
    return f"{force_scale(units, value).text(value)}/{'in.' if units == 'us' else 'mm'}"


def turning(units: UnitSystem, value: float) -> str:
    """Moment per turn."""
    return f"{moment_scale(units, value).text(value)}/rad"


def _jacked(units: UnitSystem, jack: Jack) -> str:
    if jack.force is not None:
        each = " each carries " if len(jack.joints) > 1 else " it carries "
        return f"jacked until{each}{force_scale(units, jack.force).text(jack.force)}"
    by = jack.by or 0.0
    return f"{'lowered' if by < 0 else 'jacked up'} by {abs(by):g} {'in.' if units == 'us' else 'mm'}"


def _tied(units: UnitSystem, add: Add) -> str:
    if add.beside is None:
        return ""
    if add.glued:
        return f" beside {add.beside}, glued to it"
    if add.slip is not None:
        return f" beside {add.beside}, fasteners of {stiffness(units, add.slip)} along it at each joint"
    if add.along is not None:
        each = "in." if units == "us" else "mm"
        return f" beside {add.beside}, fasteners of {stiffness(units, add.along)} for each {each} of it"
    return f" beside {add.beside}, held at its joints without slip"


def _tensed(share: float) -> str:
    if share == 0.0:
        return "let off"
    return "tensioned" if share == 1.0 else f"tensioned to {100 * share:g} % of the stated force"
