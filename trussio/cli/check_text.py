"""Checks as text: over the limit, not evaluated, within it; or the arithmetic of one element line by line."""

from __future__ import annotations

from math import inf
from textwrap import wrap
from typing import TYPE_CHECKING, Final

from trussio.report.derivation_words import HOW_TO_READ, figure, mark, quotient
from trussio.report.standing_words import (
    LIMIT,
    counts_words,
    element_words,
    force_to_carry,
    grades_of,
    greatest_force,
    open_words,
    opened,
    over,
    remarks_of,
    rest,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.model.check import Check
    from trussio.model.standing import Checks, Standing
    from trussio.model.truss import Truss

WIDTH: Final = 118
GROWN: Final = 1.05
"""Growth of a design load from which rules for existing buildings commonly ask for today's loads."""


def checks_text(truss: Truss, checks: Checks) -> str:
    """Every element, worst first."""
    lines = [*_head(truss, checks), counts_words(checks), LIMIT]
    grades = grades_of(checks.standings)
    if len(grades) == 1:
        lines.append(f"Grade assumed throughout: {grades[0]}.")
    graded = len(grades) > 1
    lines += _table("OVER THE LIMIT", over(checks), explained=True, graded=graded)
    lines += _failures(checks)
    lines += _open(truss, checks)
    lines += _table("WITHIN THE LIMIT, as far as evaluated", rest(checks), explained=False, graded=graded)
    lines += [*_shares(truss, checks), *_grown(checks)]
    remarks = remarks_of(checks.standings)
    lines += ["", "Holds for every ratio, if not entered otherwise:"] if remarks else []
    lines += [row for remark in remarks for row in _wrapped(remark, "  - ")]
    lines += ["", "The arithmetic of one element: --element ID."]
    return "\n".join(lines) + "\n"


def _head(truss: Truss, checks: Checks) -> list[str]:
    how = f"{checks.idealisation}, as {checks.state}, model {checks.model[7:19]}"
    lines = [f"{truss.title} - per cent of allowable, {how}"]
    if checks.despite:
        lines.append(f"OVER A STOP ({', '.join(checks.despite)}): no ratio here may be relied on.")
    if checks.rests_on:
        lines.append(f"Rests on {len(checks.rests_on)} unconfirmed assumptions: {', '.join(checks.rests_on)}")
    return lines


def _table(heading: str, standings: Sequence[Standing], *, explained: bool, graded: bool) -> Iterator[str]:
    """A heading and a row for each element, with why and what would have to change where it is over."""
    yield ""
    yield f"{heading}: {len(standings) or 'none'}"
    rows = [_cells(one, graded=graded) for one in standings]
    if not rows:
        return
    heads = ("element", "ratio", "run", "load to the limit", *(["grade assumed"] * graded), "check, clause")
    wide = [max(len(row[at]) for row in (heads, *rows)) for at in range(len(heads))]
    yield _row(heads, wide)
    for one, row in zip(standings, rows, strict=True):
        yield _row(row, wide)
        if explained:
            yield from _explained(one)
        if one.low is not None and (explained or one.low.ratio > 1.0):
            yield from _wrapped(one.low.says, "      low: ")


def _cells(one: Standing, *, graded: bool) -> tuple[str, ...]:
    check = one.governs
    part = ", in part" if one.verdict == "met in part" else ""
    return (
        element_words(one.element),
        f"{check.reads}{part}",
        check.run or "-",
        one.limit.says if one.limit is not None else "-",
        *([check.subject.grade or "-"] if graded else []),
        f"{check.what}, {check.clause}" if check.clause else check.what,
    )


def _row(cells: Sequence[str], wide: Sequence[int]) -> str:
    return ("  " + "  ".join(f"{cell:<{width}}" for cell, width in zip(cells, wide, strict=True))).rstrip()


def _explained(one: Standing) -> Iterator[str]:
    if one.governs.reason and not any(cause.rule == "buckles" for cause in one.causes):
        yield from _wrapped(one.governs.reason, "      not met: ")
    for cause in one.causes:
        yield from _wrapped(cause.says, "      why: ")
    if one.needs:
        yield from _wrapped("; or ".join(one.needs), "      needs: ")


def _failures(checks: Checks) -> Iterator[str]:
    """What the survey found broken, how it stood as built, and what to look at where that explains nothing."""
    if not checks.failures:
        return
    yield ""
    yield f"FOUND BROKEN, and how it stood as built: {len(checks.failures)}"
    for one in checks.failures:
        yield from _wrapped(f"{element_words(one.built.element)}, {one.condition}: {one.seen}", "  ")
        yield from _wrapped(one.says, "      ")
        for cause in one.built.causes if not one.look else ():
            yield from _wrapped(cause.says, "      why: ")
        if one.look:
            yield from _wrapped(f"{'; '.join(one.look)}.", "      look on site at: ")


def _open(truss: Truss, checks: Checks) -> Iterator[str]:
    """What was not evaluated, with the force that must be carried and what to enter."""
    groups = opened(checks)
    yield ""
    yield f"NOT EVALUATED: {len(groups) or 'nothing'}"
    for group in groups:
        force = force_to_carry(truss, group)
        yield from _wrapped(f"{open_words(group)}{f'; must carry {force}' if force else ''}", "  ")
        yield from _wrapped(group.reason, "      ")
        if group.remark:
            yield from _wrapped(group.remark, "      ")


def _shares(truss: Truss, checks: Checks) -> Iterator[str]:
    """Which elements are over in how many variations of the survey."""
    if checks.variation is None:
        return
    tolerance, stiffness, samples = checks.variation
    unit = "in." if truss.units == "us" else "mm"
    spread = f", stiffness by {stiffness * 100:g} %" if stiffness else ""
    yield ""
    yield f"OVER THE LIMIT, of {samples:,} variations (joints off by up to {tolerance:g} {unit}{spread})"
    yield "  Forces and lengths between joints vary; sizes, values, bracing and connections stay."
    told = sorted((one for one in checks.standings if one.over_share), key=lambda one: -(one.over_share or 0.0))
    for one in told:
        yield f"  {element_words(one.element):<14} {(one.over_share or 0.0) * 100:.3g} %"
    yield "  none of the others" if told else "  none"


def _grown(checks: Checks) -> Iterator[str]:
    """Whose design load has grown by more than a little since before."""
    if checks.before is None:
        return
    told = [one for one in checks.standings if one.grown is not None and one.grown > GROWN]
    yield ""
    count = len(told) or "none"
    yield f"DESIGN LOAD AFTER OVER BEFORE (document {checks.before[7:19]}), where over {GROWN:g}: {count}"
    for one in sorted(told, key=lambda one: -(one.grown or 0.0)):
        times = "a force of a sense that it had not" if one.grown == inf else f"{one.grown:.2f}"
        yield f"  {element_words(one.element):<14} {times}"
    if told:
        yield "  The local rule for existing buildings may ask that these carry today's loads."


def _wrapped(text: str, lead: str) -> list[str]:
    return wrap(text, WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead))


def element_text(truss: Truss, checks: Checks, standings: Sequence[Standing]) -> str:
    """Every kind of check of some elements, each with its whole derivation."""
    lines = [*_head(truss, checks), LIMIT, HOW_TO_READ]
    for one in standings:
        lines += ["", f"{element_words(one.element)}: {one.governs.reads}; {greatest_force(truss, one)}"]
        if one.limit is not None:
            lines.append(f"  {one.limit.says}")
        lines += [row for cause in one.causes for row in _wrapped(cause.says, "  why: ")]
        lines += [] if one.low is None else _wrapped(one.low.says, "  low: ")
        lines += [row for need in one.needs for row in _wrapped(need, "  needs: ")]
        for check in (one.governs, *one.others):
            lines += ["", *_derivation(check)]
    return "\n".join(lines) + "\n"


def _derivation(check: Check) -> Iterator[str]:
    """One check: what it is, the lines, and the ratio."""
    where = ", ".join(filter(None, (check.clause, f"run {check.run}" if check.run else "", check.subject.grade)))
    yield f"  {check.what} ({where}): {check.reads}"
    if check.reason:
        yield from _wrapped(check.reason, "    ")
    lines = check.derivation.lines
    if lines:
        cells = [(line.symbol, figure(line.value), line.unit, line.formula) for line in lines]
        wide = [max(len(row[at]) for row in cells) for at in range(4)]
        for line, (symbol, value, unit, formula) in zip(lines, cells, strict=True):
            told = f"    {symbol:<{wide[0]}} = {value:>{wide[1]}} {unit:<{wide[2]}}  {formula:<{wide[3]}}"
            yield f"{told}  {mark(line)}".rstrip()
    if told := quotient(check):
        yield f"    {told}"
    for remark in check.remarks:
        yield from _wrapped(remark, "    - ")
