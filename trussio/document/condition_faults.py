"""What a schema cannot say of the condition of a truss: that it names sticks, places and sections that are there.

Each check enters its faults in the ledger and goes on.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from trussio.document.positions import escaped
from trussio.model.condition import Bow, Lost, LostSection, Missing, Parted, Released, Severed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.document.ledger import Ledger
    from trussio.document.sticks import Sticks
    from trussio.model.condition import Condition
    from trussio.model.material import Section
    from trussio.model.truss import Truss

AT_JOINT = 1e-6
"""A cut nearer to a joint than this part of the stick does not say on which side of the joint it is."""


def check_condition(truss: Truss, sticks: Sticks, ledger: Ledger) -> None:
    """That every entry can be applied to the stick it names, and no two of them contradict each other.

    An entry of a stick that is not there is at fault already and not judged.
    """
    sound = {name: one for name, one in truss.condition.items() if one.member in truss.members}
    stretches: dict[str, tuple[float, float]] = {}
    for name, one in sound.items():
        where = f"/condition/{escaped(name)}"
        match one:
            case Severed():
                _check_cut(one, sticks, where, ledger)
            case Released() | Parted():
                sticks.distance(one.member, one.at, f"{where}/at", ledger)
            case LostSection():
                stretch = _stretch(one, sticks, where, ledger)
                if stretch is not None:
                    stretches[name] = stretch
                named = truss.members[one.member].section
                if named is None or named in truss.sections:  # else the stick is at fault already
                    for place, what, do in _section_faults(one, truss.section_of(one.member)):
                        ledger.add(f"{where}/{place}", what, do)
            case Bow():
                _check_bow(truss, one, where, ledger)
            case Missing():
                pass
    _check_pairs(sound, stretches, ledger)


def _check_cut(one: Severed, sticks: Sticks, where: str, ledger: Ledger) -> None:
    at = sticks.distance(one.member, one.at, f"{where}/at", ledger)
    along = sticks.along(one.member)
    if at is None or not along:
        return
    near = min(along, key=lambda joint: abs(along[joint] - at))
    if abs(along[near] - at) <= AT_JOINT * max(along.values()):
        what = f'"{one.member}" is cut at "{near}" itself, which does not say on which side of the joint.'
        ledger.add(f"{where}/at", what, "Move the cut to its side, or write parted where the stick has come away.")


def _stretch(one: LostSection, sticks: Sticks, where: str, ledger: Ledger) -> tuple[float, float] | None:
    start = sticks.distance(one.member, one.start, f"{where}/from", ledger)
    end = sticks.distance(one.member, one.end, f"{where}/to", ledger)
    if start is None or end is None:
        return None
    if start < end:
        return start, end
    place = "from" if one.start is not None else "to"
    what = f'the stretch does not run forward along "{one.member}".'
    ledger.add(f"{where}/{place}", what, "Swap the two; leave both out for the whole stick.")
    return None


def _section_faults(one: LostSection, section: Section | None) -> Iterator[tuple[str, str, str]]:
    """Place, what and what to do where the loss does not fit the section."""
    what = one.what
    if not isinstance(what, Lost):
        return
    if not (what.plus_y or what.minus_y or what.width or what.plies):
        yield "lost", "nothing is lost.", "Say what is gone, or take the entry out."
    if section is None:
        yield "lost", f'"{one.member}" has no section that something could be lost of.', 'Write what is "left".'
    elif section.width is None or section.depth is None or section.area or section.inertia:
        yield "lost", "the section is no plain rectangle.", 'Write what is "left": its area and inertia.'
    elif section.arranged == "stacked" and section.plies > 1:
        yield "lost", "the plies are stacked, so that depth is lost of some only.", 'Write what is "left".'
    elif section.depth <= what.plus_y + what.minus_y or section.width <= what.width or section.plies <= what.plies:
        yield "lost", "nothing is left of the section.", "Write that the stick is severed or missing."


def _check_bow(truss: Truss, one: Bow, where: str, ledger: Ledger) -> None:
    member = truss.members[one.member]
    if member.curve is not None:
        what = f'"{one.member}" is curved; what is out of line there is its radius or a joint.'
        ledger.add(where, what, "Give the radius as surveyed, or more joints along the curve.")
    pairs = [*zip(member.through, member.through[1:], strict=False)]
    if one.between is None:
        if len(pairs) != 1:
            what = f'"{one.member}" has {len(pairs)} segments, and this does not say which one bows.'
            ledger.add(where, what, 'Write "between" with the two joints.')
    elif one.between not in pairs and one.between[::-1] not in pairs and all(one.between):
        what = f'no segment of "{one.member}" lies between "{one.between[0]}" and "{one.between[1]}".'
        ledger.add(f"{where}/between", what, "Name two joints that follow each other on the stick.")


def _check_pairs(sound: dict[str, Condition], stretches: dict[str, tuple[float, float]], ledger: Ledger) -> None:
    for (first, one), (name, other) in combinations(sound.items(), 2):
        if one.member == other.member and _clash(one, other, stretches.get(first), stretches.get(name)):
            what = f'this and "{first}" say two things of one place of "{one.member}".'
            ledger.add(f"/condition/{escaped(name)}", what, "Put what was seen there into one entry.")


def _clash(
    one: Condition,
    other: Condition,
    stretch: tuple[float, float] | None,
    second: tuple[float, float] | None,
) -> bool:
    if isinstance(one, Missing) or isinstance(other, Missing):
        return True
    if isinstance(one, (Released, Parted)) and isinstance(other, (Released, Parted)):
        return one.at == other.at
    if isinstance(one, Bow) and isinstance(other, Bow):
        return set(one.between or ()) == set(other.between or ())
    if isinstance(one, Severed) and isinstance(other, Severed):
        return one.at == other.at
    return stretch is not None and second is not None and stretch[0] < second[1] and second[0] < stretch[1]
