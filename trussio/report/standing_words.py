"""Words for standings, the same on the page and on a terminal: elements, what is open, the few that are worst."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from trussio.drawing.quantities import force_letter, force_scale
from trussio.report.wording import counted, place_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from trussio.model.check import Check
    from trussio.model.standing import Carried, Checks, Standing
    from trussio.model.truss import Truss

IF_HELD: Final = "if every panel point were held"
WITH_FACTORS: Final = "with the factors as written"
"""Beginnings of the remarks that tell what an open check would give."""
LIMIT: Final = (
    "The limit is 100 % of one allowable, or 1.00 where several stresses interact. Nothing over it is acceptable, "
    "and what is not evaluated proves nothing."
)
OVER_BY_DEAD_LOAD: Final = "over-by-dead-load"
LOAD_RULES: Final = (OVER_BY_DEAD_LOAD, "sign-changed", "uneven-load", "load-case")
STRENGTH_RULES: Final = (
    "section-lost",
    "too-slender",
    "slenderness",
    "cut-ply",
    "wood-first",
    "splice",
    "pushing-web",
    "old-stamp",
    "axial-or-bending",
    "strength",
    "buckles",
)
"""Rules whose sentences a short account tells, the most telling first, one of each sort."""


@dataclass(frozen=True, kw_only=True)
class Open:
    """What is open for one reason in one stick, or at joints: elements, kinds of check, the greatest force."""

    owner: str
    elements: tuple[str, ...]
    whats: tuple[str, ...]
    reason: str
    remark: str
    carried: Carried | None
    at: str


def element_words(element: str) -> str:
    """An element in words: a segment by its id, all else by the trade's word for its place."""
    return place_words(element) if element.startswith("/") else element


def over(checks: Checks) -> tuple[Standing, ...]:
    """Elements over their limit."""
    return tuple(one for one in checks.standings if one.verdict == "not met")


def rest(checks: Checks) -> tuple[Standing, ...]:
    """Elements within their limit as far as they were evaluated."""
    return tuple(one for one in checks.standings if one.verdict in {"met", "met in part"})


def over_by_dead_load(checks: Checks) -> tuple[Standing, ...]:
    """Elements that permanent loads alone take over their limit."""
    return tuple(one for one in over(checks) if any(cause.rule == OVER_BY_DEAD_LOAD for cause in one.causes))


def dead_load_open(checks: Checks) -> bool:
    """Whether nothing, or not all dead load alone, was evaluated."""
    nothing = all(one.governs.ratio is None for one in checks.standings)
    return nothing or any(one.element == "/loads" and one.open for one in checks.standings)


def worst(checks: Checks, count: int = 5) -> tuple[Standing, ...]:
    """The worst elements that were evaluated, of each stick its worst segment."""
    seen: set[str] = set()
    found = []
    for one in checks.standings:
        owner = owner_of(one.element)
        if one.governs.ratio is not None and owner not in seen:
            seen.add(owner)
            found.append(one)
    return tuple(found[:count])


def owner_of(element: str) -> str:
    """The stick of a segment; any other element by itself."""
    return element if element.startswith("/") else element.partition(":")[0]


def counts_words(checks: Checks) -> str:
    """How many elements are over, not evaluated, evaluated in part and within."""
    verdicts = [one.verdict for one in checks.standings]
    return (
        f"{counted(len(verdicts), 'element')}: {verdicts.count('not met')} over the limit, "
        f"{verdicts.count('not evaluated')} not evaluated, {verdicts.count('met in part')} evaluated in part, "
        f"{verdicts.count('met')} within it."
    )


def short_cause(one: Standing) -> str:
    """Why an element stands where it does, in one or two sentences: its load, and its strength."""
    told = {cause.rule: cause.says for cause in one.causes}
    chosen = (next((told[rule] for rule in rules if rule in told), "") for rules in (LOAD_RULES, STRENGTH_RULES))
    return " ".join(filter(None, chosen))


def force_words(truss: Truss, element: str, carried: Carried) -> str:
    """A force that an element must carry, with T or C at a segment, and its run."""
    scale = force_scale(truss.units, abs(carried.force))
    letter = "" if element.startswith("/") else f" {force_letter(scale, carried.force)}"
    return f"{scale.text(abs(carried.force))}{letter}, run {carried.run}"


def greatest_force(truss: Truss, one: Standing) -> str:
    """The greatest axial force of an element over the runs that are checked."""
    if one.carried is None:
        return "no force was looked for"
    return f"greatest force {force_words(truss, one.element, one.carried)}"


def opened(checks: Checks) -> tuple[Open, ...]:
    """Everything that was not evaluated, gathered by stick and reason, the greatest force first."""
    groups: dict[tuple[str, str], list[tuple[Standing, Check]]] = {}
    for one in checks.standings:
        for check in one.open:
            groups.setdefault((_group_of(one.element), check.reason), []).append((one, check))
    found = [_gathered(owner, reason, members) for (owner, reason), members in groups.items()]
    return tuple(sorted(found, key=lambda group: -abs(group.carried.force) if group.carried else 0.0))


def _group_of(element: str) -> str:
    if element.startswith(("/joints/", "/supports/")):
        return element.split("/")[1]
    if element.startswith("/members/"):
        return place_words(element).removeprefix("member ")
    return owner_of(element)


def _gathered(owner: str, reason: str, members: Sequence[tuple[Standing, Check]]) -> Open:
    known = [one for one, _ in members if one.carried is not None]
    most = max(known, key=lambda one: abs(one.carried.force) if one.carried else 0.0, default=None)
    remarks = [
        f"{check.what}, {remark}"
        for one, check in members
        for remark in check.remarks
        if one is most and remark.startswith((IF_HELD, WITH_FACTORS))
    ]
    return Open(
        owner=owner,
        elements=tuple(dict.fromkeys(one.element for one, _ in members)),
        whats=tuple(dict.fromkeys(check.what for _, check in members)),
        reason=reason,
        remark="; ".join(dict.fromkeys(remarks)),
        carried=None if most is None else most.carried,
        at="" if most is None else most.element,
    )


def open_words(group: Open, *, named: bool = True) -> str:
    """What is open, and where; without `named`, joints are only counted where they are many."""
    if group.owner in {"joints", "supports"}:
        one = group.owner.removesuffix("s")
        names = [element_words(element).removeprefix(f"{one} ") for element in group.elements]
        where = f"at {_some(names, one) if named else counted(len(names), one)}"
    else:
        segments = [element for element in group.elements if not element.startswith("/")]
        owner = element_words(group.owner)
        where = f"of {owner}" + (f", {counted(len(segments), 'segment')}" if len(segments) > 1 else "")
        where = f"of {segments[0]}" if len(segments) == 1 else where
    return f"{', '.join(group.whats)} {where}"


def force_to_carry(truss: Truss, group: Open) -> str:
    """The greatest force that must be carried there, where and in which run."""
    if group.carried is None:
        return ""
    force = force_words(truss, group.at, group.carried)
    return f"up to {force}, at {element_words(group.at)}" if len(group.elements) > 1 else force


def _some(names: Sequence[str], one: str) -> str:
    """Names in a row, counted where they are many."""
    return f"{counted(len(names), one)}: {', '.join(names)}" if len(names) > 1 else f"{one} {names[0]}"


def grades_of(standings: Iterable[Standing]) -> tuple[str, ...]:
    """The grades that ratios rest on, each once."""
    named = (one.governs.subject.grade for one in standings if one.governs.ratio is not None)
    return tuple(dict.fromkeys(filter(None, named)))


def remarks_of(standings: Iterable[Standing]) -> tuple[str, ...]:
    """What must be seen beside ratios, each once."""
    return tuple(
        dict.fromkeys(
            remark
            for one in standings
            if one.governs.ratio is not None
            for remark in one.governs.remarks
            if not remark.startswith("buckling ")
        )
    )
