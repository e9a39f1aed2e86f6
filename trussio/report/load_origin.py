"""Where generated loads come from: each case with its clause, diagram, numbers, and how its rule is known.

Beside the sum of its loads stands a pencil check, area times intensity. What somebody edited since says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.drawing import svg
from trussio.drawing.quantities import force_scale
from trussio.drawing.sheet_loads import load_sheet
from trussio.model.generated import edited, outdated
from trussio.report.derivation_words import figure
from trussio.report.elements import Column, el, listed, table, words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.drawing.quantities import Scale
    from trussio.model.assessment import Assessment
    from trussio.model.loading import RunId
    from trussio.model.site import Edition, Generated, LoadBasis, PencilCheck, Spread
    from trussio.model.truss import Truss
    from trussio.report.elements import Content, Element

EDITIONS: Final[Mapping[Edition, str]] = {
    "asce7-10": "ASCE/SEI 7-10",
    "asce7-16": "ASCE/SEI 7-16",
    "asce7-22": "ASCE/SEI 7-22",
    "en1991": "EN 1991-1-3 and EN 1990, recommended values",
}
SPREADS: Final[Mapping[Spread, str]] = {
    "as-stated": "at purlins where a surface names them, else along the chord",
    "chord": "along the chord, which bends between its joints",
    "panel-points": "at panel points, by the lever",
    "purlins": "at purlins, by the lever",
}
EDITED: Final = "edited since it was generated; clause and numbers no longer stand behind it"
OUTDATED: Final = (
    "Site, surfaces or geometry have changed since these loads were generated: they are those of another roof."
)
AGREES: Final = 1e-6
"""Two sums agree within this share of the larger."""


def edition_line(truss: Truss) -> str:
    """The rules by which loads were generated, and what no longer stands behind them."""
    basis = truss.loads.basis
    if basis is None:
        return "Edition of the load rules: not stated; loads are as the document gives them."
    changed = edited(truss.loads)
    told = [f"Edition of the load rules: {EDITIONS[basis.edition]}."]
    told += [f"Edited since they were generated: {', '.join(changed)}."] if changed else []
    told += [OUTDATED] if outdated(truss) else []
    return " ".join(told)


def area_line(assessment: Assessment) -> str:
    """The sums of generated loads against area times intensity, in a sentence; empty where none was generated."""
    truss = assessment.document or assessment.truss
    checks = {run: one for run, one in assessment.pencil.items() if None not in one}
    if not checks:
        return ""
    scale = _scale(truss, assessment.pencil)
    apart = [run for run, one in checks.items() if not agrees(one)]
    if apart:
        told = ", ".join(f"{run} {_sums(assessment.pencil[run], scale)}" for run in apart)
        return f"Sum of generated loads against area times intensity: they differ in {told}."
    told = ", ".join(f"{run} {scale.text(one.by_loads or 0.0)}" for run, one in checks.items())
    return f"Sum of generated loads against area times intensity: alike in every case ({told})."


def agrees(check: PencilCheck) -> bool:
    """Whether both sums are the same."""
    if check.by_loads is None or check.by_area is None:
        return False
    return abs(check.by_loads - check.by_area) <= AGREES * max(abs(check.by_loads), abs(check.by_area))


def load_origin(assessment: Assessment) -> list[Element]:
    """The whole account of generated loads; nothing where none were generated."""
    truss = assessment.document or assessment.truss
    basis = truss.loads.basis
    if basis is None:
        return []
    said = [edition_line(truss), f"Area loads reach the sticks {SPREADS[basis.spread]}."]
    return [
        el("h3", "Where the loads come from"),
        *words(said),
        _cases(truss, assessment.pencil, basis),
        *_diagrams(truss, basis),
        *(_details(str(run), told) for run, told in basis.cases.items() if told.lines),
        *_combinations(truss, basis),
        *_left_out(basis),
    ]


def _cases(truss: Truss, checks: Mapping[RunId, PencilCheck], basis: LoadBasis) -> Element:
    changed, scale = set(edited(truss.loads)), _scale(truss, checks)
    columns = [
        Column(head="case", kind="name"),
        Column(head="what it is", kind="words"),
        Column(head="sum of its loads"),
        Column(head="area times intensity"),
        *(Column(head=head, kind="words") for head in ("clause", "how the rule is known")),
    ]
    rows: list[list[Content]] = []
    for run, told in basis.cases.items():
        check = checks.get(run)
        sums = ["taken out", "—"] if check is None else [_force(check.by_loads, scale), _by_area(check, scale)]
        says: Content = told.says
        if run in changed:
            says = el("div", words([told.says]), el("p", el("strong", f"{EDITED.capitalize()}.")))
        rows.append([str(run), says, *sums, told.clause, told.mark])
    return table("Generated load cases, forces downward", columns, rows)


def _by_area(check: PencilCheck, scale: Scale) -> Content:
    text = _force(check.by_area, scale)
    return text if check.by_area is None or agrees(check) else el("b", f"{text}, which differs")


def _force(value: float | None, scale: Scale) -> str:
    return "not evaluated" if value is None else scale.text(value)


def _sums(check: PencilCheck, scale: Scale) -> str:
    return f"({_force(check.by_loads, scale)} against {_force(check.by_area, scale)})"


def _scale(truss: Truss, checks: Mapping[RunId, PencilCheck]) -> Scale:
    return force_scale(truss.units, max((abs(one.by_loads or 0.0) for one in checks.values()), default=0.0))


def _diagrams(truss: Truss, basis: LoadBasis) -> list[Element]:
    """Every diagram, small and to one scale."""
    drawn = {run: told for run, told in basis.cases.items() if len(told.diagram) > 1}
    largest = max((load for told in drawn.values() for _, load in told.diagram), default=0.0)
    unit = "psf" if truss.units == "us" else "kPa"
    figures = [
        el(
            "figure",
            svg.element(load_sheet(truss, str(run), told.diagram, largest=largest), prefix=f"load-{number}"),
            el("figcaption", el("b", f"{run}. "), told.says),
        )
        for number, (run, told) in enumerate(drawn.items(), start=1)
    ]
    if not figures:
        return []
    caption = f"Load diagrams, {unit} of horizontal area, all to one scale over the sticks of the truss."
    return [el("p", caption), el("div", figures, class_="small")]


def _details(run: str, told: Generated) -> Element:
    """The numbers that entered, folded until somebody opens them."""
    columns = [Column(head="symbol", kind="name"), Column(head="value")]
    columns += [Column(head=head, kind="words") for head in ("unit", "formula", "clause", "how it is known")]
    rows = [
        [line.symbol, figure(line.value), line.unit, line.formula, line.clause, line.source] for line in told.lines
    ]
    numbers = table(f"Numbers that entered case {run}", columns, rows)
    return el("details", el("summary", f"{run}: the numbers that entered"), numbers)


def _combinations(truss: Truss, basis: LoadBasis) -> list[Element]:
    changed = set(edited(truss.loads))
    columns = [Column(head="combination", kind="name")]
    columns += [Column(head=head, kind="words") for head in ("what it is", "clause", "how the rule is known")]
    rows = [
        [str(run), f"{told.says} {EDITED.capitalize()}." if run in changed else told.says, told.clause, told.mark]
        for run, told in basis.combinations.items()
    ]
    return [table("Generated combinations", columns, rows)] if rows else []


def _left_out(basis: LoadBasis) -> list[Element]:
    if not basis.not_evaluated:
        return []
    return [el("p", "Not evaluated by these rules:"), listed(basis.not_evaluated)]
