"""What there is to say of each entry of a truss's condition, once it has been applied."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from trussio.analysis.lost_sections import left_of
from trussio.analysis.properties import pointer
from trussio.model.condition import Bow, LostSection, Missing, Parted, Released, Severed
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from trussio.analysis.moved_loads import Fate
    from trussio.model.condition import Condition
    from trussio.model.finding import Level
    from trussio.model.truss import Json, MemberId, Truss

CONFIRM = "See it confirmed in the roof before anything rests on these forces."
UNITS = {"us": "in", "si": "mm"}


def findings_of(truss: Truss, fates: Mapping[MemberId, Fate]) -> Iterator[Finding]:
    """One finding for each entry, in the order of the document."""
    for name, one in truss.condition.items():
        fate = fates[one.member]
        match one:
            case Severed():
                yield _finding(name, one, "severed", "query", _cut(truss, fate, one), at=one.at)
            case Missing():
                says = f"{one.member} is missing; loads on it go to its joints, its weight is left out"
                yield _finding(name, one, "missing", "query", says)
            case Parted():
                says = f"{one.member} has come away from {one.at}{_hanging(truss, fate)}"
                yield _finding(name, one, "severed", "query", says, at=one.at)
            case Released():
                says = f"{one.member} passes on no moment at {one.at}"
                yield _finding(name, one, "released", "note", says, at=one.at)
            case LostSection():
                yield _lost(truss, name, one)
            case Bow():
                says = f"{one.member} is {_length(truss, abs(one.by))} out of line, so that axial force bends it"
                yield _finding(name, one, "bow", "note", says, by=one.by)


def _finding(name: str, one: Condition, code: str, level: Level, says: str, **evidence: Json) -> Finding:
    seen = f" (seen: {one.seen.rstrip('.')})" if one.seen else ""
    return Finding(
        code=code,
        level=level,
        where=(pointer("condition", name), pointer("members", one.member)),
        says=f"{says}{seen}.",
        do=CONFIRM,
        evidence={"entry": name, **evidence},
    )


def _cut(truss: Truss, fate: Fate, one: Severed) -> str:
    """Where a stick is cut, and what came of it."""
    places, through = fate.stick.places, truss.members[one.member].through
    index = next(index for index, (low, high) in enumerate(pairwise(places)) if low <= one.at <= high)
    return (
        f"{one.member} is severed between {through[index]} and {through[index + 1]}, "
        f"{_length(truss, one.at - places[index])} from {through[index]}{_hanging(truss, fate)}"
    )


def _hanging(truss: Truss, fate: Fate) -> str:
    """What of a stick no longer carries."""
    gone = [stretch for stretch in fate.stretches if stretch.part is None and stretch.onto is not None]
    told = [f"{_length(truss, stretch.end - stretch.start)} of it hangs on {stretch.onto}" for stretch in gone]
    return f"; {' and '.join(told)} and carries nothing" if told else ""


def _lost(truss: Truss, name: str, one: LostSection) -> Finding:
    whole = truss.section_of(one.member)
    left, shift = left_of(whole, one.what)
    before = (None, None) if whole is None else (whole.gross_area, whole.bending_inertia)
    parts = [
        f"{100 * now / then:.0f} % of its {what}"
        for what, now, then in zip(
            ("area", "inertia"), (left.gross_area, left.bending_inertia), before, strict=True
        )
        if now and then
    ]
    start = "its first joint" if one.start is None else _place(truss, one.start)
    end = "its last" if one.end is None else _place(truss, one.end)
    says = f"{one.member} has {' and '.join(parts) or 'another section'} left from {start} to {end}"
    if shift:
        says += f", with its centroid {_length(truss, abs(shift))} aside; axial force bends it there"
    evidence: dict[str, Json] = {"area": left.gross_area, "inertia": left.bending_inertia, "shift": shift}
    return _finding(name, one, "lost-section", "note", says, **evidence)


def _place(truss: Truss, at: str | float) -> str:
    return at if isinstance(at, str) else f"{_length(truss, at)} along it"


def _length(truss: Truss, length: float) -> str:
    return f"{length:.4g} {UNITS[truss.units]}"
