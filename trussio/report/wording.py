"""The trade's words for what the records hold by key: states, idealisations, places, loads, runs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.lengths import length_text
from trussio.drawing.quantities import force_scale, moment_scale
from trussio.model.loading import JointLoad, LineLoad, Longer, PointLoad, SelfWeight, SupportMovement, Warmer

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from trussio.model.loading import CaseKind, Load, RunId, Target
    from trussio.model.tendon import TendonLoad
    from trussio.model.truss import JointId, Role, Truss
    from trussio.units import UnitSystem

ROLES: dict[Role, str] = {"top-chord": "top chord", "bottom-chord": "bottom chord", "web": "web", "other": "other"}
KINDS: dict[CaseKind, str] = {
    "dead": "dead",
    "snow": "snow",
    "roof-live": "roof live",
    "live": "live",
    "wind": "wind",
    "post-tension": "post-tension",
    "imposed": "imposed movement",
    "other": "other",
}
_PLACES = {
    "joints": "joint",
    "members": "member",
    "supports": "support",
    "connections": "connection",
    "tendons": "tendon",
    "sections": "section",
    "materials": "material",
    "cases": "load case",
    "combinations": "combination",
    "assumptions": "assumption",
    "loads": "loads",
    "units": "units",
}


def short_digest(digest: str) -> str:
    """The first 12 hex digits of a digest."""
    return digest.removeprefix("sha256:")[:12]


def place_words(pointer: str) -> str:
    """A JSON Pointer in words: `member w3, section`, `load case D, load 2`."""
    parts = [part.replace("~1", "/").replace("~0", "~") for part in pointer.split("/")[1:]]
    if not parts:
        return "the whole document"
    if parts[0] == "loads" and len(parts) > 1:
        parts = parts[1:]
    if len(parts) == 1:
        return parts[0]
    head = f"{_PLACES.get(parts[0], parts[0])} {parts[1]}"
    rest = parts[2:]
    if len(rest) > 1 and rest[0] == "loads" and rest[1].isdigit():
        rest = [f"load {int(rest[1]) + 1}", *rest[2:]]
    return ", ".join((head, *rest))


def places_words(pointers: Sequence[str]) -> str:
    """Several places, or a dash where there is none."""
    return "; ".join(place_words(pointer) for pointer in pointers) or "—"


def factors_words(factors: Mapping[RunId, float]) -> str:
    """A combination as a sum: `1.0 D + 0.75 S`."""
    return " + ".join(f"{factor:g} {case}" for case, factor in factors.items()) or "nothing"


def load_words(truss: Truss, load: Load) -> str:
    """A load in words, with its value in the units that people read."""
    if isinstance(load, JointLoad):
        parts = [_forces(truss.units, load.fx, load.fy), _moment(truss.units, load.moment)]
        return f"joint {load.joint}: {', '.join(filter(None, parts)) or 'nothing'}"
    if isinstance(load, LineLoad):
        return f"{_target(load.on)}: {_intensity(truss.units, load)}{_stretch(truss.units, load)}"
    if isinstance(load, PointLoad):
        return f"{_target(load.on)} at {_station(truss.units, load.at)}: {_forces(truss.units, load.fx, load.fy)}"
    if isinstance(load, SelfWeight):
        return "weight of all sticks" if load.of == "all" else f"weight of {', '.join(load.of)}"
    return _imposed(truss.units, load)


def _imposed(units: UnitSystem, load: SupportMovement | Longer | Warmer | TendonLoad) -> str:
    length = "in." if units == "us" else "mm"
    if isinstance(load, SupportMovement):
        moves = ", ".join(
            f"rotates {by:g} rad" if way == "turn" else f"moves {by:g} {length} in {way}"
            for way, by in load.moves.items()
        )
        return f"support {load.support} {moves}"
    if isinstance(load, Longer):
        return f"{_target(load.on)}: lack of fit, {load.by:g} {length} longer than drawn"
    if not isinstance(load, Warmer):
        if load.force is None:
            return f"tendon {load.tendon} stressed to {load.stress:g} {'psi' if units == 'us' else 'MPa'}"
        return f"tendon {load.tendon} stressed to {force_scale(units, load.force).text(load.force)}"
    return f"{_target(load.on)}: temperature change of {load.by:g} {'°F' if units == 'us' else '°C'}"


def _target(on: Target) -> str:
    return str(on.member) if on.member is not None else f"every {ROLES[on.role or 'other']}"


def _forces(units: UnitSystem, fx: float, fy: float) -> str:
    scale = force_scale(units, max(abs(fx), abs(fy)))
    parts = [f"{scale.text(abs(fy))} {'down' if fy < 0 else 'up'}"] if fy else []
    parts += [f"{scale.text(abs(fx))} {'left' if fx < 0 else 'right'}"] if fx else []
    return ", ".join(parts)


def _moment(units: UnitSystem, moment: float) -> str:
    if not moment:
        return ""
    way = "counter-clockwise" if moment > 0 else "clockwise"
    return f"moment {moment_scale(units, moment).text(abs(moment))} {way}"


def _intensity(units: UnitSystem, load: LineLoad) -> str:
    unit = "plf" if units == "us" else "kN/m"
    value = (
        f"{load.value:g}" if isinstance(load.value, (int, float)) else f"{load.value[0]:g} to {load.value[1]:g}"
    )
    along = {"down": "down", "right": "to the right", "across": "square to it"}[load.direction]
    per = "per length on plan" if load.per == "plan" else "per length along it"
    return f"{value} {unit} {along}, {per}"


def _stretch(units: UnitSystem, load: LineLoad) -> str:
    if load.start is None and load.end is None:
        return ""
    start = "its first end" if load.start is None else _station(units, load.start)
    end = "its last end" if load.end is None else _station(units, load.end)
    return f", from {start} to {end}"


def _station(units: UnitSystem, at: JointId | float) -> str:
    return at if isinstance(at, str) else f"{length_text(units, at)}{'' if units == 'us' else ' mm'} along it"


def counted(number: int, one: str, many: str | None = None) -> str:
    """A number with its noun: `1 joint`, `2 joints`."""
    return f"{number} {one if number == 1 else many or one + 's'}"
