"""Dead and live cases: surfaces, the sticks' own weight, and what hangs from the truss at its real places."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.loads.case import stated
from trussio.loads.chords import members_of, plan_loads, slope_loads, summed
from trussio.loads.diagram import level
from trussio.loads.sources import ASCE, STATED
from trussio.model.loading import JointLoad, LineLoad, LoadCase, PointLoad, SelfWeight, Target

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from trussio.loads.chords import Chord
    from trussio.model.check import Line
    from trussio.model.loading import Load
    from trussio.model.site import AreaLoad, Hung, Site, Surface
    from trussio.model.truss import JointId, Truss
    from trussio.units import UnitSystem


class StandingCase(NamedTuple):
    """A case of loads that are given one by one, with a line for each."""

    case: LoadCase
    says: str
    clause: str
    lines: tuple[Line, ...]


def dead_case(truss: Truss, site: Site, chords: Mapping[str, Chord]) -> StandingCase | None:
    """Everything that is always there, or None where nothing is."""
    loads = [*_on_surfaces(truss, chords, "dead"), *_hung(site, "dead")]
    lines = [*_lines(truss, "dead"), *_hung_lines(site, truss.units, "dead")]
    if site.self_weight is not False:
        loads.append(SelfWeight(of="all"))
    if not loads:
        return None
    clause = "EN 1991-1-1" if site.edition == "en1991" else f"{ASCE[site.edition]} 3.1"
    own = "" if site.self_weight is False else ", the sticks' own weight from section and density"
    says = f"Dead load as stated{own}."
    return StandingCase(LoadCase(kind="dead", loads=summed(loads)), says, clause, tuple(lines))


def live_case(truss: Truss, site: Site, chords: Mapping[str, Chord]) -> StandingCase | None:
    """Everything that comes and goes and is no roof load, or None where nothing does."""
    loads = [*_on_surfaces(truss, chords, "live"), *_hung(site, "live")]
    lines = [*_lines(truss, "live"), *_hung_lines(site, truss.units, "live")]
    if not loads:
        return None
    clause = "EN 1991-1-1 6.3" if site.edition == "en1991" else f"{ASCE[site.edition]} 4.3"
    case = LoadCase(kind="live", loads=summed(loads))
    return StandingCase(case, "Live load as stated.", clause, tuple(lines))


def panel_points(truss: Truss) -> tuple[JointId, ...]:
    """The joints of the bottom chord that are no bearing."""
    lower = [member for member in truss.members.values() if member.role == "bottom-chord"]
    return tuple(
        dict.fromkeys(joint for member in lower for joint in member.through if joint not in truss.supports)
    )


def _entries(truss: Truss, kind: str) -> Iterator[tuple[str, Surface, str, AreaLoad]]:
    for name, surface in truss.surfaces.items():
        for what, load in ((surface.dead if kind == "dead" else surface.live) or {}).items():
            yield name, surface, what, load


def _on_surfaces(truss: Truss, chords: Mapping[str, Chord], kind: str) -> Iterator[Load]:
    """Area loads brought to the sticks; one line load for each where they lie along the chord."""
    for name, surface, what, load in _entries(truss, kind):
        chord = chords[name]
        targets = _targets(truss, surface)
        if load.per == "plan" and chord.way == "chord":
            value = load.value * chord.on_width
            made: list[Load] = [LineLoad(on=on, direction="down", value=value, per="plan") for on in targets]
        elif load.per == "plan":
            made = plan_loads(chord, level(chord.line.left, chord.line.right, load.value))
        else:
            made = slope_loads(chord, load.value, targets)
        yield from (_told(one, name, what) for one in made)


def _targets(truss: Truss, surface: Surface) -> list[Target]:
    """The role where every member that has it is meant, else the one stick."""
    if surface.role is not None:
        return [Target(role=surface.role)]
    return [Target(member=name) for name in members_of(truss, surface)]


def _told(load: Load, surface: str, what: str) -> Load:
    """A line load that says what it is; forces at joints and purlins are added up and cannot."""
    if isinstance(load, LineLoad):
        return LineLoad(
            on=load.on,
            direction=load.direction,
            value=load.value,
            start=load.start,
            end=load.end,
            per=load.per,
            notes={"surface": surface, "load": what},
        )
    return load


def _hung(site: Site, kind: str) -> Iterator[Load]:
    for name, hung in _hanging(site, kind):
        notes = {"hung": name}
        if hung.joint is not None:
            yield JointLoad(joint=hung.joint, fy=-hung.weight, notes=notes)
        elif hung.at is not None:
            yield PointLoad(on=Target(member=hung.member), at=hung.at, fy=-hung.weight, notes=notes)


def _hanging(site: Site, kind: str) -> Iterable[tuple[str, Hung]]:
    return [(name, hung) for name, hung in (site.hung or {}).items() if (hung.kind or "dead") == kind]


def _lines(truss: Truss, kind: str) -> Iterator[Line]:
    unit = "psf" if truss.units == "us" else "kPa"
    for name, _, what, load in _entries(truss, kind):
        per = "on plan" if load.per == "plan" else "on the surface"
        yield stated(f"{name}: {what}", load.value, unit, per, load.source or STATED)


def _hung_lines(site: Site, units: UnitSystem, kind: str) -> Iterator[Line]:
    for name, hung in _hanging(site, kind):
        unit = "lb" if units == "us" else "N"
        at = hung.joint or f"{hung.member} at {hung.at}"
        yield stated(f"hung: {name}", hung.weight, unit, f"from {at}", hung.source or STATED)
