"""Figures of the page: the model, the ratios, and the forces of every run, numbered and each in words too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.drawing import svg
from trussio.drawing.sheet import sheet
from trussio.model.forces import of_structure
from trussio.report.elements import el
from trussio.report.extremes import acting_runs
from trussio.report.wording import factors_words

if TYPE_CHECKING:
    from trussio.drawing.paper import Sheet
    from trussio.model.assessment import Assessment
    from trussio.model.forces import Results
    from trussio.model.loading import RunId
    from trussio.report.elements import Element


FITS = 135.0
"""Modules that a figure may be wide to be read at the width of the page; a wider one scrolls."""


def model_figure(assessment: Assessment) -> list[Element]:
    """The model with its marks and sizes, and the numbers of stops and queries on it."""
    drawn = sheet(assessment.truss, digest=assessment.digest, state=assessment.state, findings=assessment.findings)
    return [_figure(drawn, 1, "The model: joints, sticks with their sizes, supports, panel lengths.")]


def ratio_figure(assessment: Assessment) -> list[Element]:
    """How near every segment and connection is to its allowable, where that was looked for."""
    if assessment.checks is None:
        return []
    drawn = sheet(
        assessment.truss,
        digest=assessment.digest,
        state=assessment.state,
        idealisation=assessment.idealisation,
        checks=assessment.checks,
    )
    return [_figure(drawn, 2, "Per cent of allowable of every segment, each in its worst run.")]


def force_figures(assessment: Assessment, results: Results) -> list[Element]:
    """One figure for every run, those that act on the roof first."""
    record, truss = assessment.check_record, assessment.truss
    acting = acting_runs(truss, results)
    every = [*acting, *(run for run in results.runs if run not in acting)]
    runs = [run for run in every if of_structure(truss, results.runs[run])]
    made = []
    for number, run in enumerate(runs, start=2 if assessment.checks is None else 3):
        drawn = sheet(
            truss,
            digest=assessment.digest,
            state=results.state,
            idealisation=results.idealisation,
            run=run,
            forces=results.runs[run],
            check=record.runs.get(run) if record is not None else None,
        )
        made.append(_figure(drawn, number, f"Axial forces in run {run}{_what(assessment, run)}."))
    return made


def _what(assessment: Assessment, run: RunId) -> str:
    """What a combination adds up, or that a case stands alone."""
    factors = assessment.truss.loads.combinations.get(run)
    return f" ({factors_words(factors)})" if factors else ", a load case by itself"


def _figure(drawn: Sheet, number: int, caption: str) -> Element:
    picture = svg.element(drawn, prefix=f"figure-{number}")
    wide = drawn.right - drawn.left > FITS * drawn.module
    frame = el("div", picture, class_="frame wide", role="region", aria_label=caption, tabindex="0")
    return el("figure", frame if wide else picture, el("figcaption", el("b", f"Figure {number}. "), caption))
