"""Every case of a truss in order: dead, live, single hung loads, and what lies on the roof."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from trussio.loads.asce_cases import asce_cases
from trussio.loads.case import Covered, stated
from trussio.loads.chords import chord_of, members_of, plan_loads, summed, surface_chords
from trussio.loads.diagram import largest, settled
from trussio.loads.eurocode_cases import eurocode_cases
from trussio.loads.measures import tidy
from trussio.loads.roof_line import roof_line
from trussio.loads.sources import STATED, weakest
from trussio.loads.standing import dead_case, live_case, panel_points
from trussio.model.generated import case_digest
from trussio.model.loading import JointLoad, LoadCase, RunId
from trussio.model.site import Generated

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.loads.case import RoofCase
    from trussio.loads.chords import Chord
    from trussio.loads.diagram import Diagram
    from trussio.loads.roof_line import RoofLine
    from trussio.loads.standing import StandingCase
    from trussio.model.check import Line
    from trussio.model.site import Pattern, Site, Spread
    from trussio.model.truss import MemberId, Truss

SNAP = 1e-7
"""Part of the span within which a point of a diagram is moved on to a joint."""


class Made(NamedTuple):
    """A generated case with what is told of it, and the part it plays in combinations."""

    case: LoadCase
    told: Generated
    accidental: bool = False
    panel: bool = False


def made_cases(truss: Truss, site: Site, spread: Spread) -> tuple[dict[RunId, Made], Covered]:
    """The generated cases by id, with what the rules leave out and what was assumed."""
    chords = surface_chords(truss, site.spacing, spread)
    european = site.edition == "en1991"
    standing: tuple[tuple[str, Pattern, StandingCase | None], ...] = (
        ("G" if european else "D", "dead", dead_case(truss, site, chords)),
        ("Q" if european else "L", "live", live_case(truss, site, chords)),
    )
    found = {RunId(name): _standing(pattern, one) for name, pattern, one in standing if one is not None}
    found |= dict(_panel_loads(truss, site))
    snowy = _snow_chords(truss, site, spread)
    if not snowy:
        return found, Covered(left_out=("Snow and roof live load: no surface is stated to carry them.",))
    line = roof_line(truss, [member for members, _ in snowy for member in members], "/surfaces")
    covered = (eurocode_cases if european else asce_cases)(line, site, truss.units)
    bare = []
    for case in covered.cases:
        diagram = _placed(case.diagram, line)
        if largest(diagram) > 0:
            found[RunId(case.name)] = _on_roof(case, diagram, [chord for _, chord in snowy])
        else:
            bare.append(
                f"{case.name}: by {case.rule.clause} nothing lies on slopes like these ({case.rule.mark})."
            )
    return found, covered._replace(left_out=(*bare, *covered.left_out))


def _snow_chords(truss: Truss, site: Site, spread: Spread) -> list[tuple[tuple[MemberId, ...], Chord]]:
    """The sticks under snow with their chords, surface by surface, each stick once."""
    claimed: set[MemberId] = set()
    found = []
    for name, surface in truss.surfaces.items():
        members = tuple(one for one in members_of(truss, surface) if one not in claimed)
        if surface.has_snow and members:
            claimed.update(members)
            found.append((members, chord_of(truss, name, members, site.spacing, spread)))
    return found


def _placed(diagram: Diagram, line: RoofLine) -> Diagram:
    """A diagram whose points lie on joints where they are as good as there."""
    joints = [*(piece.x0 for piece in line.pieces), line.right]
    return tuple((x, tidy(load)) for x, load in settled(diagram, joints, SNAP * line.span))


def _on_roof(case: RoofCase, diagram: Diagram, chords: Sequence[Chord]) -> Made:
    loads = summed(load for chord in chords for load in plan_loads(chord, diagram))
    made = LoadCase(kind=case.kind, loads=loads)
    told = Generated(
        pattern=case.pattern,
        says=case.says,
        clause=case.rule.clause,
        mark=case.rule.mark,
        digest=case_digest(made),
        lines=_tidied(case.lines),
        diagram=diagram,
    )
    return Made(made, told, accidental=case.accidental)


def _standing(pattern: Pattern, one: StandingCase) -> Made:
    told = Generated(
        pattern=pattern,
        says=one.says,
        clause=one.clause,
        mark=weakest(one.lines, STATED),
        digest=case_digest(one.case),
        lines=_tidied(one.lines),
    )
    return Made(one.case, told)


def _panel_loads(truss: Truss, site: Site) -> Iterator[tuple[RunId, Made]]:
    """One case for each panel point that the single hung load may hang from."""
    if not site.panel_load:
        return
    unit = "lb" if truss.units == "us" else "N"
    clause = "stated" if site.edition == "en1991" else "ASCE 7 table 4.3-1"
    for joint in panel_points(truss):
        case = LoadCase(kind="live", loads=(JointLoad(joint=joint, fy=-site.panel_load),))
        line = stated("single hung load", site.panel_load, unit, clause, STATED)
        told = Generated(
            pattern="panel-load",
            says=f"A single weight hung from {joint}.",
            clause=clause,
            mark=STATED,
            digest=case_digest(case),
            lines=(line,),
        )
        yield RunId(f"P-{joint}"), Made(case, told, panel=True)


def _tidied(lines: Sequence[Line]) -> tuple[Line, ...]:
    return tuple(line._replace(value=tidy(line.value)) for line in lines)
