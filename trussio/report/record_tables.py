"""Tables of what was found, asked, assumed and changed, of the counts of statics, and of the recheck."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing.lengths import length_text
from trussio.drawing.sheet import IDEALISATIONS
from trussio.report.elements import Column, el, listed, table, words
from trussio.report.extremes import common_scale
from trussio.report.wording import counted, places_words

if TYPE_CHECKING:
    from trussio.drawing.quantities import Scale
    from trussio.model.assessment import Assessment
    from trussio.model.change import Change, Question
    from trussio.model.check_record import CheckRecord, RunCheck
    from trussio.model.finding import Findings
    from trussio.model.truss import Idealisation, Truss
    from trussio.report.elements import Content, Element

LEAST = 0.001
"""Kips or kilonewtons under which a difference is not told in figures."""


def findings_part(findings: Findings | None) -> list[Element]:
    """Every finding, most urgent first, numbered as on the sheet of the model."""
    if findings is None:
        return words(["Not evaluated: the model was not audited."])
    if not findings.findings:
        return words(["No rule of the audit found anything. That is no proof that the model is the roof."])
    columns = [
        Column(head="number", kind="name"),
        *(Column(head=head, kind="words") for head in ("level", "what is so", "what to do", "where", "rule")),
    ]
    rows: list[list[Content]] = [
        [
            str(number),
            el("b", found.level) if found.level != "note" else found.level,
            found.says,
            found.do,
            places_words(found.where),
            found.code,
        ]
        for number, found in enumerate(findings.findings, start=1)
    ]
    return [table("Findings: stop, no force may be believed; query, ask or confirm; note", columns, rows)]


def statics_part(findings: Findings | None) -> list[Element]:
    """The counts of both idealisations side by side."""
    if findings is None or not findings.statics:
        return words(["Not evaluated: the model was not audited."])
    names: list[Idealisation] = [name for name in ("continuous", "pinned") if name in findings.statics]
    both = [findings.statics[name] for name in names]
    columns = [Column(head="count", kind="name"), *(Column(head=IDEALISATIONS[name]) for name in names)]
    rows = [
        ["joints", *(str(one.joints) for one in both)],
        ["segments", *(str(one.segments) for one in both)],
        ["restraints", *(str(one.holds) for one in both)],
        ["unknown forces and restraints less equations", *(str(one.count) for one in both)],
        ["independent equations (rank)", *(str(one.rank) for one in both)],
        ["mechanisms", *(str(one.mechanisms) for one in both)],
        ["degree of indeterminacy", *(str(one.self_stress) for one in both)],
        ["joints free to move", *(", ".join(one.moving) or "none" for one in both)],
    ]
    return [table("Statics of the model under both idealisations", columns, rows)]


def recheck_part(assessment: Assessment) -> list[Element]:
    """The check record: verdict by run, what was independent, what was not rechecked, and empty boxes to sign."""
    record, results = assessment.check_record, assessment.results
    if record is None:
        return words(["Not evaluated: no second method was run on these forces."])
    scale = None if results is None else common_scale(assessment.truss, results)
    columns = [
        Column(head="run", kind="name"),
        Column(head="verdict", kind="words"),
        Column(head="largest difference"),
        Column(head="in", kind="words"),
        Column(head="largest imbalance at a joint"),
        Column(head="at", kind="words"),
        Column(head="in words", kind="words"),
    ]
    rows = [_run_row(str(run), check, scale) for run, check in record.runs.items()]
    return [
        el("p", el("b", f"{record.verdict.capitalize()}. "), record.says),
        table(f"Recheck of {record.compared}, run by run", columns, rows),
        *_listed_under("What was independent", record.independent),
        *_listed_under("What was not rechecked", record.not_rechecked),
        _signatures(record),
    ]


def _run_row(run: str, check: RunCheck, scale: Scale | None) -> list[Content]:
    def force(value: float | None) -> str:
        if value is None or scale is None:
            return "—"
        size = abs(value) / scale.base
        return f"{size:.3g} {scale.unit}" if size >= LEAST else f"under {LEAST} {scale.unit}"

    return [
        run,
        el("b", check.verdict or "not compared"),
        force(check.largest_difference),
        str(check.largest_at or "—"),
        force(check.residual),
        str(check.residual_at or "—"),
        check.says,
    ]


def _listed_under(heading: str, items: tuple[str, ...]) -> list[Element]:
    return [el("h3", heading), listed(items)] if items else []


def _signatures(record: CheckRecord) -> Element:
    """Boxes that stay empty until a person fills them in."""
    signers = {"originator": record.originator, "checker": record.checker}
    rows = [[who, initials or " ", " "] for who, initials in signers.items()]
    columns = [Column(head="person", kind="name")]
    columns += [Column(head=head, kind="words") for head in ("initials", "date")]
    return el("div", table("To be filled in by hand, by two different persons", columns, rows), class_="sign")


def assumptions_part(truss: Truss) -> list[Element]:
    """What was taken as true, on what it rests, and who confirmed it."""
    if not truss.assumptions:
        return words(["The document lists no assumption. Whatever was not surveyed is assumed all the same."])
    heads = ("assumed", "rests on", "decides", "confirmed")
    columns = [Column(head="name", kind="name"), *(Column(head=head, kind="words") for head in heads)]
    rows: list[list[Content]] = [
        [name, one.what, one.rests_on, places_words(one.touches), one.confirmed or el("b", "not confirmed")]
        for name, one in truss.assumptions.items()
    ]
    return [table("What is assumed, and who confirmed it", columns, rows)]


def questions_part(questions: tuple[Question, ...]) -> list[Element]:
    """What only the surveyor can settle, and what was taken meanwhile."""
    heads = ("asked", "taken meanwhile", "how to settle it")
    columns = [Column(head="number", kind="name"), *(Column(head=head, kind="words") for head in heads)]
    rows = [[str(number), q.asks, q.taken, q.settle] for number, q in enumerate(questions, start=1)]
    return [table("What only the surveyor can settle", columns, rows)]


def changes_part(truss: Truss) -> list[Element]:
    """Where the model was read from, and each step by which reading altered the linework."""
    if truss.source is None:
        return words(["The model was not read from a drawing, or its document does not say so."])
    source = truss.source
    lines = words([f"Read from {source.drawing} ({source.digest}). Scale: {source.scale}"])
    if not source.changes:
        return [*lines, *words(["Reading changed nothing in the linework."])]
    columns = [
        Column(head="number", kind="name"),
        Column(head="change", kind="words"),
        Column(head="where (right, up)", kind="words"),
        Column(head="moved by"),
        Column(head="entities of the drawing", kind="words"),
    ]
    rows = [
        [str(number), change.says, *_place(truss, change), ", ".join(change.handles) or "—"]
        for number, change in enumerate(source.changes, start=1)
    ]
    return [*lines, table("Steps of reading that altered the linework", columns, rows)]


def _place(truss: Truss, change: Change) -> tuple[str, str]:
    unit = "in." if truss.units == "us" else "mm"
    where = "—"
    if change.where is not None:
        where = ", ".join(length_text(truss.units, part) for part in change.where)
    return where, "—" if change.distance is None else f"{change.distance:.3g} {unit}"


def rests_words(assessment: Assessment) -> str:
    """On which unconfirmed assumptions the results rest."""
    rests = assessment.results.rests_on if assessment.results is not None else ()
    if not rests:
        return ""
    names = ", ".join(pointer.rpartition("/")[2].replace("~0", "~") for pointer in rests)
    return f"The forces rest on {counted(len(rests), 'assumption')} that nobody has confirmed: {names}."
