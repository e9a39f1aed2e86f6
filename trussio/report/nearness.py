"""What the first screen says of allowables: overload by dead load, what is open, and the five worst."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.report.entry import Entry, few
from trussio.report.standing_words import (
    counts_words,
    dead_load_open,
    element_words,
    force_to_carry,
    open_words,
    opened,
    over,
    over_by_dead_load,
    short_cause,
    worst,
)

if TYPE_CHECKING:
    from trussio.model.assessment import Assessment
    from trussio.model.standing import Checks, Standing

ASK_NOW = "Ask the engineer now about shoring and closing the area."


def overloaded(assessment: Assessment) -> list[tuple[str, str]]:
    """One line for what dead load alone takes over its limit, whole and in fewer words."""
    found = over_by_dead_load(assessment.checks) if assessment.checks is not None else ()
    if not found:
        return []
    named = ", ".join(f"{element_words(one.element)} ({one.governs.reads})" for one in found[:4])
    brief = ", ".join(element_words(one.element) for one in found[:4])
    more = f" and {len(found) - 4} more" if len(found) > 4 else ""
    return [
        (
            f"Over its allowable under dead load alone: {named}{more}. {ASK_NOW}",
            f"Over under dead load alone: {brief}{more}. {ASK_NOW}",
        )
    ]


def over_the_limit(assessment: Assessment) -> list[str]:
    """One line for all that any run takes over its limit, with the worst of it."""
    found = over(assessment.checks) if assessment.checks is not None else ()
    if not found or assessment.checks is None:
        return []
    first = found[0]
    run = "" if first.governs.run is None else f", run {first.governs.run}"
    worst_one = f"{element_words(first.element)}, {first.governs.reads}{run}"
    return [f"Over the limit: {len(found)} of {len(assessment.checks.standings)} elements, worst {worst_one}."]


def not_known(assessment: Assessment) -> tuple[str, str]:
    """What is calm about overload by dead load, if anything, and what is not known of danger."""
    checks = assessment.checks
    if checks is None or dead_load_open(checks):
        return "", "Severed parts, and anything over its allowable under dead load alone"
    if over_by_dead_load(checks):
        return "", "Damage that the document does not hold"
    slender = any(one.governs.what.startswith("slenderness") for one in over(checks))
    but = " but slenderness, which no load changes" if slender else ""
    calm = f"Nothing that was evaluated is over its allowable under dead load alone{but}. "
    return calm, "Damage that the document does not hold"


def open_checks(assessment: Assessment) -> list[str]:
    """What could not be set against its allowable, with the force that must be carried."""
    if assessment.checks is None:
        return ["Per cent of allowable of members and connections."]
    lines = []
    for group in opened(assessment.checks):
        force = force_to_carry(assessment.truss, group)
        carry = f"; must carry {force}" if force else ""
        what = open_words(group)
        lines.append(f"{what[0].upper()}{what[1:]}{carry}: {group.reason}.")
    return few(lines, 5)


def brief_open(assessment: Assessment) -> list[str]:
    """The same for a terminal: what is open and the greatest force there, without why."""
    if assessment.checks is None:
        return open_checks(assessment)
    told = []
    for group in opened(assessment.checks):
        force = force_to_carry(assessment.truss, group)
        words = open_words(group, named=False)
        told.append(f"{words[0].upper()}{words[1:]}{f', {force}' if force else ''}.")
    return few(told, 4)


def nearest(checks: Checks) -> Entry:
    """The five worst, members and connections mixed, each with run, clause and cause."""
    found = worst(checks)
    if not found:
        return Entry(heading="Five worst", lines=(f"Not evaluated. {counts_words(checks)}",))
    lines = [f"{_nearest_words(one)} {short_cause(one)}".rstrip() for one in found]
    brief = [
        f"{element_words(one.element)} {one.governs.reads}, {one.governs.run}, {one.governs.clause}"
        for one in found
    ]
    return Entry(heading="Five worst", lines=(counts_words(checks), *lines), brief=(*brief, counts_words(checks)))


def _nearest_words(one: Standing) -> str:
    """One of the five worst: its ratio, run, check and clause, and the load to its limit."""
    check = one.governs
    part = " in part" if one.verdict == "met in part" else ""
    clause = ", ".join(filter(None, (check.what, check.clause)))
    load = f"; {one.limit.says}" if one.limit is not None else ""
    return f"{element_words(one.element)}: {check.reads}{part}, run {check.run}, {clause}{load}."
