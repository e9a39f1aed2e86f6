"""What the survey found broken: how it stood as the truss was built, and whether the model gives a reason for it.

A stick that is severed is looked up where it broke, one that parted from a joint by the connections that name it
there, or else by the joint itself with the force that it carried. Where the model has it within its limit, or
cannot tell, what to look at on site is listed.
Source: statics; what to look at is common practice, no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.model.condition import Parted, Severed
from trussio.model.standing import Failure
from trussio.timber.connection_facts import CONNECTIONS
from trussio.timber.limits import SLENDERNESS
from trussio.timber.review import bench_of, checks_of
from trussio.timber.standing import standing_of
from trussio.timber.working import urgency

if TYPE_CHECKING:
    from trussio.model.forces import Results
    from trussio.model.standing import Standing
    from trussio.model.truss import Truss
    from trussio.timber.bench import Bench, Conditions

LOADS: Final = "loads that the document lacks: equipment, ceilings, ponding, snow deeper than taken"
AT_BREAK: Final = (
    "knots, slope of grain and old splits at the break",
    "decay, insects and charring there",
    "holes, notches and cuts that the document lacks",
    LOADS,
)
IN_COMPRESSION: Final = ("a bow that it had before, and bracing that was gone or never held", *AT_BREAK)
AT_JOINT: Final = (
    "splits and plugs of wood round the fasteners",
    "fasteners that are missing, bent or rusted",
    "end distances, and gaps that shrinkage opened",
    LOADS,
)
RESERVE: Final = "An allowable holds a reserve, so ask also what load was there when it gave way."
BREAKS: Final = Severed | Parted


def broken(truss: Truss) -> bool:
    """Whether the survey found a stick severed or parted from a joint."""
    return any(isinstance(one, BREAKS) for one in truss.condition.values())


def failures(truss: Truss, results: Results, conditions: Conditions | None = None) -> tuple[Failure, ...]:
    """Each break of the condition of `truss`, whose `results` are those of it as built, in document order."""
    bench, _ = bench_of(truss, results, conditions)
    found = []
    for name, one in truss.condition.items():
        if isinstance(one, BREAKS):
            element = _element(bench, one)
            checks = sorted(checks_of(bench, element), key=urgency)
            if checks:
                built = standing_of(bench, element, checks)
                look = () if built.verdict == "not met" else _look(one, built)
                found.append(Failure(f"/condition/{name}", one.seen, built, _says(built), look))
    return tuple(found)


def _element(bench: Bench, one: Severed | Parted) -> str:
    """The segment that broke, or the connection or joint that gave way."""
    if isinstance(one, Severed):
        return _where(bench, one)
    named = [
        f"{CONNECTIONS}{name}"
        for name, connection in bench.truss.connections.items()
        if connection.joint == one.at and any(one.member in (p.member, p.meets) for p in connection.pieces)
    ]
    checks = [check for element in named for check in checks_of(bench, element)]
    return min(checks, key=urgency).element if checks else f"/joints/{one.at}"


def _where(bench: Bench, one: Severed) -> str:
    """The segment of the stick that the break lies on; one at a joint belongs to the segment before it."""
    along, last = 0.0, ""
    for segment in bench.truss.segments:
        if segment.member == one.member:
            along += bench.lengths[segment.id].panel
            last = segment.id
            if one.at <= along:
                break
    return last


def _says(built: Standing) -> str:
    check = built.governs
    if check.ratio is None:
        return f"The model cannot tell why: as built it was not evaluated ({check.reason})."
    by = ", ".join(filter(None, (f"run {check.run}" if check.run else "", check.what, check.clause)))
    if built.verdict == "not met":
        return f"As built it stood over its limit, at {check.reads} ({by}), which is a reason. {RESERVE}"
    part = " as far as it was evaluated" if built.verdict == "met in part" else ""
    return f"As built it stood within its limit{part}, at {check.reads} ({by}): the model does not explain it."


def _look(one: Severed | Parted, built: Standing) -> tuple[str, ...]:
    """What to look at on site, by what gave way and by what it was nearest to."""
    if isinstance(one, Parted):
        return AT_JOINT
    return IN_COMPRESSION if built.governs.what.startswith(("compression", SLENDERNESS)) else AT_BREAK
