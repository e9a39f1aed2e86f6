"""The page: one self-contained file that says what is known of one truss, the urgent things first.

No script, no network, one style sheet inside, allowed by its hash. Every string of the model goes in as text.
"""

from __future__ import annotations

import hashlib
from base64 import b64encode
from importlib.resources import files
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError
from trussio.report.cautions import cautions
from trussio.report.check_tables import checks_part
from trussio.report.elements import el, listed, section, serialised, words
from trussio.report.extremes import common_scale
from trussio.report.figures import force_figures, model_figure, ratio_figure
from trussio.report.force_tables import force_tables, moment_tables, movement_tables, reaction_tables
from trussio.report.front import LIMITS, front, largest_forces
from trussio.report.load_origin import load_origin
from trussio.report.model_tables import load_tables, model_tables
from trussio.report.record_tables import (
    assumptions_part,
    changes_part,
    findings_part,
    questions_part,
    recheck_part,
    rests_words,
    statics_part,
)
from trussio.report.stages import stages_part
from trussio.report.taken import taken
from trussio.report.uneven_table import uneven_part
from trussio.report.ways import way_lines
from trussio.report.wording import short_digest

if TYPE_CHECKING:
    from trussio.model.assessment import Assessment
    from trussio.report.elements import Element
    from trussio.report.entry import Entry

STANDING: Final = (
    "Prepared with an open-source tool to support an engineer's own judgement. It is not an engineering opinion. "
    "The engineer in responsible charge decides whether model, values and checks fit this building, and signs for "
    "them."
)
PAPER: Final = {"us": "letter", "si": "A4"}


def page(assessment: Assessment) -> str:
    """The page as the text of an HTML file, the same for the same assessment.

    Raises UsageError `other-model` where results, findings or check record belong to another document.
    """
    refuse_strangers(assessment)
    style = _style(assessment)
    title = assessment.truss.title
    parts = _parts(assessment)
    main = el(
        "main",
        el("h1", title),
        _front(front(assessment)),
        _contents(parts),
        parts,
    )
    head = el(
        "head",
        el("meta", charset="utf-8"),
        el("meta", http_equiv="Content-Security-Policy", content=_policy(style)),
        el("meta", name="viewport", content="width=device-width, initial-scale=1"),
        el("title", f"{title}: model, per cent of allowable, forces and what is not evaluated"),
        el("style", style),
    )
    return serialised(el("html", head, el("body", main), lang="en"))


def refuse_strangers(assessment: Assessment) -> None:
    """Refuse results, findings, checks and check records of another document."""
    named = {
        "results": assessment.results,
        "findings": assessment.findings,
        "check record": assessment.check_record,
        "checks": assessment.checks,
    }
    ours = short_digest(assessment.digest)
    for name, one in named.items():
        if one is not None and one.model != assessment.digest:
            raise UsageError(
                "other-model",
                where=assessment.name,
                what=f"The {name} of document {short_digest(one.model)} cannot stand beside document {ours}.",
                do="Calculate them again from this document.",
            )


def _style(assessment: Assessment) -> str:
    sheet = files("trussio.report").joinpath("page.css").read_text(encoding="utf-8")
    paper = PAPER[assessment.truss.units]
    mark = "".join(c for c in short_digest(assessment.digest) if c.isalnum())
    return sheet.replace("PAPER", paper).replace("MARK", f"document {mark}")


def _policy(style: str) -> str:
    """Nothing may be loaded or run; the one style sheet is allowed by its hash."""
    digest = b64encode(hashlib.sha256(style.encode()).digest()).decode("ascii")
    return f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


def _front(entries: tuple[Entry, ...]) -> Element:
    """The first screen: headings at the left, what to know at the right, urgent lines marked."""
    rows = [
        el(
            "div",
            el("dt", entry.heading),
            el(
                "dd",
                [_line(line, urgent=at < entry.urgent) for at, line in enumerate(entry.lines)],
                class_="short" if entry.short else "long",
            ),
            class_="urgent" if entry.urgent else "plain",
        )
        for entry in entries
    ]
    return section("first", "What to know first", el("dl", rows, class_="first"))


def _line(line: str, *, urgent: bool) -> Element:
    return el("p", el("strong", line)) if urgent else el("p", line)


def _contents(parts: list[Element]) -> Element:
    links = [el("li", el("a", part[0].text or "", href=f"#{part[0].get('id')}")) for part in parts]
    return el("nav", el("ul", links), aria_label="Contents")


def _parts(assessment: Assessment) -> list[Element]:
    """Everything after the first screen, in order."""
    truss, document = assessment.truss, assessment.document or assessment.truss
    work = [section("stages", "Stages", stages_part(document, assessment.results))]
    asked = [section("questions", "Open questions", questions_part(assessment.questions))]
    return [
        section("model", "The model", model_figure(assessment)),
        section(
            "checks", "Per cent of allowable", ratio_figure(assessment), checks_part(truss, assessment.checks)
        ),
        *_calculated(assessment),
        *(work if document.stages else []),
        section("findings", "Findings", findings_part(assessment.findings)),
        section("statics", "Statics", statics_part(assessment.findings)),
        section("recheck", "Recheck", recheck_part(assessment)),
        section("assumptions", "Assumptions", assumptions_part(truss)),
        *(asked if assessment.questions else []),
        section("changes", "Changes made in reading", changes_part(truss)),
        section(
            "loads",
            "Loads",
            load_origin(assessment),
            load_tables(truss) or words(["The document holds no loads."]),
        ),
        section("taken", "How it was taken to act", words(taken(document, assessment.idealisation))),
        section("entered", "What was entered", model_tables(truss)),
        section("cautions", "Cautions", listed(cautions(assessment))),
        section("limits", "Limits", words([LIMITS, STANDING])),
    ]


def _calculated(assessment: Assessment) -> list[Element]:
    """Forces, reactions and movements, or that they are not evaluated."""
    truss, results = assessment.truss, assessment.results
    if results is None or not results.runs:
        lacking = "Not evaluated: no forces were calculated."
        return [section("forces", "Forces, reactions and movements", words([lacking]))]
    despite = f"Calculated over a stop ({', '.join(results.despite)}): no force here may be relied on."
    said = [*([despite] if results.despite else []), *filter(None, [rests_words(assessment)])]
    return [
        section(
            "forces",
            "Forces",
            words(said),
            [] if assessment.checks is None else listed(largest_forces(assessment).lines),
            words(way_lines(truss.units, results, common_scale(truss, results))),
            uneven_part(truss, results),
            force_figures(assessment, results),
            force_tables(truss, results),
            moment_tables(truss, results),
        ),
        section("reactions", "Reactions", reaction_tables(truss, results)),
        section("movements", "Movements", movement_tables(truss, results)),
    ]
