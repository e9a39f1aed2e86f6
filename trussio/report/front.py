"""What a reader must see first, in that order: the first screen of the page, and the summary on a terminal.

Each entry says only what the assessment holds. What is not there is said to be not evaluated, in words.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.lengths import length_text
from trussio.drawing.quantities import force_text
from trussio.drawing.sheet import IDEALISATIONS, STATES
from trussio.drawing.sticks import span_of
from trussio.report.entry import Entry, few
from trussio.report.extremes import acting_runs, common_scale, largest, reversals, told_size
from trussio.report.nearness import (
    ASK_NOW,
    brief_open,
    nearest,
    not_known,
    open_checks,
    over_the_limit,
    overloaded,
)
from trussio.report.totals import brief_loads, load_lines
from trussio.report.wording import counted, short_digest

if TYPE_CHECKING:
    from trussio.model.assessment import Assessment
    from trussio.model.finding import Finding, Level

SECOND_METHOD = (
    "The forces follow from this model by a second method; survey, loads, idealisation and allowables are not "
    "rechecked."
)
NOT_THE_WORST = "How near each is to what it may carry is not evaluated: these are forces, not the worst members."
LIMITS = (
    "Plane truss, linear elastic but for members that act one way, small movements. Not in it: slip of "
    "connections where none is stated, the whole truss buckling sideways, creep, fire, earthquake detailing, and "
    "everything that the document does not hold. Local codes and the engineer in responsible charge decide."
)
BRIEF_LIMITS = (
    "Plane truss, linear elastic; no slip unless stated, sway out of plane, creep, fire, earthquake. The engineer "
    "decides."
)
CONDITION = "Condition of the wood (decay, splits, broken parts) beyond what the document holds."
DANGEROUS = frozenset({"parts", "severed", "missing"})
"""Findings that are a danger if the roof stands as the model says: parts severed from the rest, sticks gone."""
TOLD_ELSEWHERE = frozenset({"unconfirmed", "not-evaluated"})
"""Findings whose matter has an entry or a line of its own."""


def front(assessment: Assessment) -> tuple[Entry, ...]:
    """The entries in their order."""
    return (
        _identity(assessment),
        _danger(assessment),
        Entry(
            heading="Not evaluated",
            lines=not_evaluated(assessment),
            brief=(*brief_open(assessment), *_other_open(assessment)),
        ),
        _to_settle(assessment),
        load_lines_entry(assessment),
        _recheck(assessment),
        largest_forces(assessment) if assessment.checks is None else nearest(assessment.checks),
        Entry(heading="Limits", lines=(LIMITS,), brief=(BRIEF_LIMITS,)),
    )


def _identity(assessment: Assessment) -> Entry:
    truss = assessment.truss
    left, bottom, right, top = span_of(truss)
    wide, high = length_text(truss.units, right - left), length_text(truss.units, top - bottom)
    unit = "" if truss.units == "us" else " mm"
    source = truss.source
    read = f" Read from {source.drawing}." if source is not None and source.drawing != assessment.name else ""
    counts = f"{counted(len(truss.joints), 'joint')}, {counted(len(truss.members), 'stick')}"
    name = f"{assessment.name}, document {short_digest(assessment.digest)}"
    state, ideal = STATES[assessment.state], IDEALISATIONS[assessment.idealisation]
    return Entry(
        heading="Truss",
        lines=(
            f"{name}.{read} Taken {state}, {ideal}.",
            f"{wide}{unit} wide and {high}{unit} high between joints: {counts} in {len(truss.segments)} segments.",
            "View and survey date: not stated in the document.",
        ),
        brief=(f"{name}, {state}; {wide} x {high}{unit}; view and survey date not stated.",),
    )


def _danger(assessment: Assessment) -> Entry:
    """What asks for shoring now; and that damage and overload are not known, where they are not."""
    alarms = [f"{finding.says} {ASK_NOW}" for finding in _found(assessment) if finding.code in DANGEROUS]
    overload, beyond = overloaded(assessment), over_the_limit(assessment)
    despite = assessment.results.despite if assessment.results is not None else ()
    if despite:
        alarms.insert(0, f"Calculated over a stop ({', '.join(despite)}): no force here may be relied on.")
    calm, unknown = not_known(assessment)
    ask = f"Where the survey saw a broken member or joint: {ASK_NOW[0].lower()}{ASK_NOW[1:]}"
    short = unknown.replace("anything over its allowable under", "overload by")
    brief = f"{short}: not evaluated. Broken? Ask the engineer now about shoring, closing the area."
    return Entry(
        heading="Danger",
        lines=(*alarms, *(line for line, _ in overload), *beyond, f"{calm}{unknown}: not evaluated. {ask}"),
        brief=(*alarms, *(line for _, line in overload), *beyond, brief),
        urgent=len(alarms) + len(overload) + len(beyond),
    )


def _found(assessment: Assessment) -> tuple[Finding, ...]:
    return assessment.findings.findings if assessment.findings is not None else ()


def not_evaluated(assessment: Assessment) -> tuple[str, ...]:
    """Everything that a reader might take for done and that is not, in words."""
    return (*open_checks(assessment), *_other_open(assessment))


def _other_open(assessment: Assessment) -> list[str]:
    """What else a reader might take for done."""
    lines = [CONDITION]
    kinds = {case.kind for case in assessment.truss.loads.cases.values()}
    if "snow" not in kinds:
        lines.append("Snow: no load case of that kind.")
    if "wind" not in kinds:
        lines.append("Wind, not evaluated: uplift and all else; no load case of that kind.")
    if assessment.findings is None:
        lines.append("The audit of the model.")
    lines += [finding.says for finding in _found(assessment) if finding.code == "not-evaluated"]
    if assessment.results is None:
        lines.append("Forces, reactions and movements: not calculated.")
    else:
        reasons = assessment.results.not_evaluated
        lines += [f"Forces {why}" for why in reasons.values()]
        left = [
            run for run in assessment.truss.loads.runs if run not in assessment.results.runs and run not in reasons
        ]
        lines += [f"Forces in {counted(len(left), 'run')}: {', '.join(left)}."] if left else []
    if assessment.check_record is None:
        lines.append("The recheck by a second method.")
    return lines


def _to_settle(assessment: Assessment) -> Entry:
    """Stops, open questions, queries, and how much rests on what nobody has confirmed."""
    found = _found(assessment)
    stops = [f"Stop: {finding.says} {finding.do}" for finding in found if finding.level == "stop"]
    asked = [f"Ask: {question.asks} Taken: {question.taken}" for question in assessment.questions]
    queries = [f"Query: {f.says}" for f in found if f.level == "query" and f.code not in TOLD_ELSEWHERE]
    return Entry(
        heading="To settle",
        lines=(*stops, _counts(assessment), *few(asked), *few(queries), *_assumed(assessment)),
        urgent=len(stops),
    )


def _counts(assessment: Assessment) -> str:
    if assessment.findings is None:
        return "Stops and queries: not evaluated."
    levels = [finding.level for finding in _found(assessment)]
    plural: dict[Level, str] = {"stop": "stops", "query": "queries", "note": "notes"}
    numbers = ", ".join(counted(levels.count(level), level, many) for level, many in plural.items())
    return f"{numbers}; {counted(len(assessment.questions), 'open question')} to the surveyor."


def _assumed(assessment: Assessment) -> list[str]:
    open_ones = [a.what for a in assessment.truss.assumptions.values() if not a.confirmed]
    if not open_ones:
        return []
    return few([f"Assumed, not confirmed: {what}" for what in open_ones])


def load_lines_entry(assessment: Assessment) -> Entry:
    """Loads with their totals, and the pencil check; what does not add up comes first."""
    wrong, lines = load_lines(assessment)
    return Entry(
        heading="Loads", lines=(*wrong, *lines), brief=(*wrong, *brief_loads(assessment)), urgent=len(wrong)
    )


def _recheck(assessment: Assessment) -> Entry:
    record = assessment.check_record
    if record is None:
        return Entry(heading="Recheck", lines=("Not evaluated: no second method was run on these forces.",))
    if record.verdict == "agrees":
        agrees = f"Agrees with {record.compared}"
        brief = f"{agrees}, by a second method; survey, loads, idealisation and allowables are not rechecked."
        return Entry(heading="Recheck", lines=(f"{agrees}. {SECOND_METHOD}",), brief=(brief,))
    word = "Disagrees with" if record.verdict == "disagrees" else "Cannot tell of"
    says = f"{word} {record.compared}: {record.says} Do not use these forces before this is settled."
    return Entry(heading="Recheck", lines=(says,), urgent=1)


def largest_forces(assessment: Assessment) -> Entry:
    """The largest tensions and compressions, and the segments that change sign."""
    truss, results = assessment.truss, assessment.results
    if results is None or not results.runs:
        return Entry(heading="Largest", lines=("Not evaluated.",))
    scale, runs = common_scale(truss, results), acting_runs(truss, results)
    pulls = largest(results, runs, sign=1, scale=scale)
    pushes = largest(results, runs, sign=-1, scale=scale)
    turned = reversals(truss, results, runs, scale)
    lines = [NOT_THE_WORST] if assessment.checks is None else []
    lines += [f"Tension {scale.text(e.axial)} in {e.segment}, run {e.run}." for e in pulls]
    lines += [f"Compression {scale.text(-e.axial)} in {e.segment}, run {e.run}." for e in pushes]
    if turned:
        lines.append(f"Change sign between runs: {', '.join(r.tension.segment for r in turned)}.")
    worst = sorted((*pulls, *pushes), key=lambda extreme: -told_size(scale, extreme.axial))[:5]
    told = "; ".join(f"{force_text(scale, e.axial)} {e.segment} ({e.run})" for e in worst)
    brief = [f"In {scale.unit}: {told}."]
    brief += [f"Change sign: {', '.join(r.tension.segment for r in turned)}."] if turned else []
    return Entry(heading="Largest", lines=tuple(lines), brief=tuple(brief), short=True)
