"""Tables of the page on how near each element is to its allowable, what is open, and the arithmetic."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.report.derivation_words import HOW_TO_READ, figure, mark, quotient
from trussio.report.elements import Column, el, listed, table, words
from trussio.report.standing_words import (
    LIMIT,
    counts_words,
    element_words,
    force_to_carry,
    greatest_force,
    open_words,
    opened,
    over,
    remarks_of,
    rest,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.model.check import Check
    from trussio.model.standing import Checks, Failure, Standing
    from trussio.model.truss import Truss
    from trussio.report.elements import Content, Element

LACKING = "Not evaluated: nothing was set against its allowable."
OTHERS = (
    "Shown is the check that governs each element; `trussio check --element` and the checks document give every "
    "other kind too."
)


def checks_part(truss: Truss, checks: Checks | None) -> list[Element]:
    """The whole table, worst first, what is open, and the derivation of every element that was evaluated."""
    if checks is None:
        return words([LACKING])
    exceeded, within = over(checks), rest(checks)
    parts = words([counts_words(checks), LIMIT])
    if exceeded:
        parts += [_table("Over the limit", exceeded), *_explanations(exceeded)]
    else:
        parts += words(["Nothing evaluated is over its limit."])
    parts += _broken(checks)
    parts += _open_part(truss, checks)
    parts += [_table("Within the limit, as far as evaluated", within)] if within else []
    remarks = remarks_of(checks.standings)
    parts += [el("h3", "What holds for these ratios"), listed(remarks)] if remarks else []
    evaluated = (*exceeded, *within)
    if evaluated:
        parts += [el("h3", "The arithmetic"), *words([OTHERS, HOW_TO_READ])]
        parts += [_details(truss, one) for one in evaluated]
    return parts


def _table(caption: str, standings: Sequence[Standing]) -> Element:
    columns = [Column(head="element", kind="name"), Column(head="ratio")]
    heads = ("run", "check and clause", "grade assumed", "load to the limit")
    columns += [Column(head=head, kind="words") for head in heads]
    return table(caption, columns, [_row(one) for one in standings])


def _row(one: Standing) -> list[Content]:
    check = one.governs
    part = ", in part" if one.verdict == "met in part" else ""
    return [
        el("span", element_words(one.element), class_="id"),
        el("b", check.reads) if one.verdict == "not met" else f"{check.reads}{part}",
        check.run or "—",
        ", ".join(filter(None, (check.what, check.clause))),
        check.subject.grade or "—",
        one.limit.says if one.limit is not None else "—",
    ]


def _explanations(exceeded: Sequence[Standing]) -> list[Element]:
    """Why each is over its limit, and what would have to change."""
    told = [
        el("li", el("b", f"{element_words(one.element)}, {one.governs.reads}. "), " ".join(_explained(one)))
        for one in exceeded
    ]
    return [el("h3", "Why, and what would have to change"), el("ul", told)]


def _explained(one: Standing) -> list[str]:
    """Why an element stands where it does, and what it lacks."""
    reason = one.governs.reason
    told = [f"{reason}."] if reason and not any(cause.rule == "buckles" for cause in one.causes) else []
    told += [cause.says for cause in one.causes]
    needs = f"It would need {'; or '.join(one.needs)}." if one.needs else ""
    return [*told, needs] if needs else told or ["No rule explains it: look at it on site."]


def _broken(checks: Checks) -> list[Element]:
    """What the survey found broken, and how it stood as built."""
    if not checks.failures:
        return []
    told = [
        el("li", el("b", f"{element_words(one.built.element)}: {one.seen}. "), " ".join(_told(one)))
        for one in checks.failures
    ]
    return [el("h3", "Found broken, and how it stood as built"), el("ul", told)]


def _told(one: Failure) -> list[str]:
    if one.look:
        return [one.says, f"Look on site at: {'; '.join(one.look)}."]
    return [one.says, *(cause.says for cause in one.built.causes)]


def _open_part(truss: Truss, checks: Checks) -> list[Element]:
    groups = opened(checks)
    if not groups:
        return words(["Every check that was looked for was evaluated."])
    columns = [Column(head="not evaluated", kind="name")]
    columns += [Column(head=head, kind="words") for head in ("must carry", "why, and what to enter")]
    rows: list[list[Content]] = [
        [
            open_words(group),
            force_to_carry(truss, group) or "—",
            el("div", words([group.reason, *filter(None, [group.remark])])),
        ]
        for group in groups
    ]
    return [table("Not evaluated, which proves nothing", columns, rows)]


def _details(truss: Truss, one: Standing) -> Element:
    """The derivation of the check that governs an element, folded until somebody opens it."""
    check = one.governs
    name = f"{element_words(one.element)}: {check.reads}"
    where = ", ".join(filter(None, (check.what, check.clause, f"run {check.run}" if check.run else "")))
    told = [f"{where}; {greatest_force(truss, one)}.", *(cause.says for cause in one.causes)]
    return el("details", el("summary", name), words(told), _lines(name, check))


def _lines(name: str, check: Check) -> Element:
    columns = [Column(head="symbol", kind="name"), Column(head="value")]
    columns += [Column(head=head, kind="words") for head in ("unit", "formula", "clause and source")]
    rows = [
        [line.symbol, figure(line.value), line.unit, line.formula, mark(line)] for line in check.derivation.lines
    ]
    last = quotient(check)
    rows += [["ratio", "", "", last, ""]] if last else []
    return table(f"{check.what}, step by step", columns, rows, key=f"Arithmetic of {name}")
