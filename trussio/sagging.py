"""Sag that a survey measured beside what the model lets expect: dead load by creep, other load, slip, less camber.

The line of a record is moved as its joints are. Lasting load (dead) grows its deflection by the creep factor; the
rest of that day's load acts as it is; slip of connections comes on top, stated at a stick's end or following from
the fasteners and holes that the document states. What is measured is the shape as found; nothing here moves a
joint or changes a force.

Creep 2 for sawn timber put in green, 1.5 for glulam and steel: after NDS 2018 clause 3.5.2, from memory, check
against the licensed text. What counts as a large disagreement: common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final, NamedTuple

from trussio.analysis.fastener_slip import by_fasteners
from trussio.analysis.run import analyse
from trussio.analysis.slip import without_slip
from trussio.audit.wording import length, listed, pointer, rounded
from trussio.errors import CannotAnalyseError
from trussio.late import loaded
from trussio.model.finding import Finding
from trussio.model.loading import RunId

if TYPE_CHECKING:
    from collections.abc import Callable

    from trussio.model.forces import RunForces
    from trussio.model.sag import Sag
    from trussio.model.truss import Idealisation, JointId, Truss

GREEN, SEASONED = 2.0, 1.5
PART: Final = 0.5
"""Measured and expected disagree where they are apart by more than this part of the larger of them..."""
OF_LINE: Final = 1 / 1000
"""...and by more than this part of the line; a string is not read more closely."""
LASTING, PASSING, TOGETHER = RunId("lasting"), RunId("passing"), RunId("together")


class Expected(NamedTuple):
    """What the model lets expect, base lengths: at once under lasting load, under the rest, and by slip."""

    lasting: float
    passing: float
    slip: float
    creep: float
    camber: float

    @property
    def all(self) -> float:
        """All of it together."""
        return self.creep * self.lasting + self.passing + self.slip - self.camber


def sag_findings(truss: Truss, idealisation: Idealisation) -> list[Finding]:
    """A finding for each sag record of a truss in its state."""
    before = _before_work(truss)
    return [_finding(before, name, sag, idealisation) for name, sag in truss.sags.items()]


def expected(truss: Truss, sag: Sag, *, idealisation: Idealisation) -> Expected:
    """What a truss lets expect of a measurement.

    Raises CannotAnalyseError where it cannot be analysed under that day's load, or a joint is not there.
    """
    gone = [joint for joint in (sag.start, sag.end, sag.at) if joint is not None and joint not in truss.joints]
    if gone:
        raise CannotAnalyseError(
            "joint-not-there",
            what=f"{listed(gone)} is not there in this state.",
            do="Name joints that are there.",
        )
    rigid = without_slip(truss)
    runs = _runs(rigid, sag, idealisation)
    lasting, passing = (_off(truss, sag, runs.get(run)) for run in (LASTING, PASSING))
    slip = 0.0
    slipping = by_fasteners(truss, every=True)
    if any(member.slip or member.play for member in slipping.members.values()):
        together = _runs(slipping, sag, idealisation).get(TOGETHER)
        slip = _off(truss, sag, together) - lasting - passing
    return Expected(
        lasting=lasting,
        passing=passing,
        slip=slip,
        creep=_usual_creep(truss) if sag.creep is None else sag.creep,
        camber=sag.camber,
    )


def _before_work(truss: Truss) -> Truss:
    """The truss as the survey saw it, before the first stage of any work."""
    if not truss.stages and not truss.tendons:
        return truss
    first: Callable[[Truss], Truss] = loaded("trussio.model.history:at_first")
    return first(truss)


def _runs(truss: Truss, sag: Sag, idealisation: Idealisation) -> dict[RunId, RunForces]:
    dead = [name for name, case in truss.loads.cases.items() if case.kind == "dead"]
    on = dict.fromkeys(dead, 1.0) if sag.load is None else dict(sag.load)
    sums = {
        LASTING: {case: factor for case, factor in on.items() if case in dead and factor},
        PASSING: {case: factor for case, factor in on.items() if case not in dead and factor},
        TOGETHER: {case: factor for case, factor in on.items() if factor},
    }
    asked = {run: factors for run, factors in sums.items() if factors}
    alone = replace(truss, loads=replace(truss.loads, combinations=asked))
    return analyse(alone, idealisation=idealisation, runs=list(asked)) if asked else {}


def _off(truss: Truss, sag: Sag, forces: RunForces | None) -> float:
    """How far a run moves the joint of a record off its line."""
    if forces is None:
        return 0.0
    at, start = forces.joints[sag.at], forces.joints[sag.start]
    if sag.end is None:
        return at.dx - start.dx
    end, share = forces.joints[sag.end], _share(truss, sag.start, sag.end, sag.at)
    return start.dy + share * (end.dy - start.dy) - at.dy


def _share(truss: Truss, start: JointId, end: JointId, at: JointId) -> float:
    """Which part of the way along a string line lies beside a joint."""
    first, last, here = truss.joints[start], truss.joints[end], truss.joints[at]
    return (here.x - first.x) / (last.x - first.x)


def _usual_creep(truss: Truss) -> float:
    kinds = {material.kind for name in truss.members if (material := truss.material_of(name)) is not None}
    return SEASONED if kinds and kinds <= {"glulam", "steel"} else GREEN


def _finding(truss: Truss, name: str, sag: Sag, idealisation: Idealisation) -> Finding:
    """What there is to say of one record."""
    try:
        model = expected(truss, sag, idealisation=idealisation)
    except CannotAnalyseError as error:
        return _told(name, "sag-not-compared", f"{_measured(truss, sag)}, which is not compared: {error.what}", {})
    evidence = {
        "measured": rounded(sag.off),
        "expected": rounded(model.all),
        "lasting": rounded(model.lasting),
        "passing": rounded(model.passing),
        "slip": rounded(model.slip),
        "creep": model.creep,
        "camber": model.camber,
    }
    code = "sag-differs" if _apart(truss, sag, model.all) else "sag-agrees"
    return _told(name, code, f"{_measured(truss, sag)}; {_expected(truss, sag, model)}.", evidence)


def _apart(truss: Truss, sag: Sag, model: float) -> bool:
    start, other = truss.joints[sag.start], truss.joints[sag.at if sag.end is None else sag.end]
    line = max(abs(other.x - start.x), abs(other.y - start.y))
    apart = abs(sag.off - model)
    return apart > PART * max(abs(sag.off), abs(model)) and apart > OF_LINE * line


def _told(name: str, code: str, says: str, evidence: dict[str, float]) -> Finding:
    do = {
        "sag-differs": "Ask what moved it besides: connections that slipped or crushed, a break that was mended, "
        "a load that is not entered or was once heavier, camber; or measure again.",
        "sag-agrees": "Measure again after the next heavy snow, at the same joints.",
        "sag-not-compared": "Cure what keeps the truss from being analysed, then compare.",
    }
    return Finding(
        code=code,
        level="note" if code == "sag-agrees" else "query",
        where=(pointer("sags", name),),
        says=says,
        do=do[code],
        evidence={**evidence},
    )


def _measured(truss: Truss, sag: Sag) -> str:
    size = length(abs(sag.off), truss.units)
    if sag.end is None:
        side = "right" if sag.off >= 0 else "left"
        return f"a plumb line at {sag.start} shows {sag.at} {size} to the {side} on {sag.date}"
    side = "below" if sag.off >= 0 else "above"
    return f"a string line from {sag.start} to {sag.end} shows {sag.at} {size} {side} it on {sag.date}"


def _expected(truss: Truss, sag: Sag, model: Expected) -> str:
    """How the expectation comes about."""

    def told(value: float) -> str:
        return f"{'' if value >= 0 else '-'}{length(abs(value), truss.units)}"

    grown = told(model.creep * model.lasting)
    said = [f"{told(model.lasting)} by lasting load at once, {grown} with creep {model.creep:g}"]
    if model.passing:
        said.append(f"{told(model.passing)} by the rest of that day's load")
    said.append(f"{told(model.slip)} by slip" if model.slip else "no slip of connections is stated")
    said.append(f"less a camber of {told(model.camber)}" if model.camber else "built without camber, as taken")
    words = "to the right" if sag.end is None else "below"
    return f"the model lets expect {told(model.all)} {words}: {', '.join(said)}"
