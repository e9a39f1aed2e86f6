"""A truss, with the forces of one run or its ratios where they are given, as strokes and labels on a sheet.

The *model sheet* shows joints, members with marks and sizes, supports and panel lengths; the *force sheet* of a
run shows the axial force of every segment with T or C beside it, and the reactions; the *sheet of ratios* how near
each is to its allowable. All hold one scale for x, y.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from trussio.drawing.framing import framed
from trussio.drawing.glyphs import joint_dot, support_symbol
from trussio.drawing.paper import Label, pointer, text_width
from trussio.drawing.placing import Spot, Wish, place
from trussio.drawing.sheet_differences import difference_content
from trussio.drawing.sheet_findings import findings_content
from trussio.drawing.sheet_forces import force_content
from trussio.drawing.sheet_model import model_content
from trussio.drawing.sheet_ratios import ratio_content
from trussio.drawing.sticks import arms, around, middle_of, runs, span_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from trussio.drawing.glyphs import Symbol
    from trussio.drawing.paper import Sheet
    from trussio.model.check_record import CheckRecord, RunCheck
    from trussio.model.finding import Findings
    from trussio.model.forces import RunForces
    from trussio.model.loading import RunId
    from trussio.model.standing import Checks
    from trussio.model.truss import Idealisation, State, Truss

WIDE, HIGH, AT_MOST_WIDE, AT_MOST_HIGH = 76.0, 44.0, 320.0, 180.0
"""Modules that a truss measures on its sheet; a truss of short panels may measure up to `AT_MOST`."""
PANEL = 5.2
"""Modules that an ordinary segment should be long, so that a force fits beside it."""

NAME_GAP = 0.3
"""Modules that a joint name keeps from all else."""
HELD_HEIGHT = 0.9
"""Letter height of what a support holds, in modules."""

CARRIES = "The document travels in this drawing. Once the drawing is edited, it is read afresh as linework."

IDEALISATIONS: dict[Idealisation, str] = {
    "continuous": "sticks continuous through their joints and pinned at their ends",
    "pinned": "every segment a bar between pins",
}
STATES: dict[State, str] = {"found": "as found", "built": "as built"}


def sheet(
    truss: Truss,
    *,
    digest: str,
    state: State = "found",
    idealisation: Idealisation | None = None,
    run: RunId | None = None,
    forces: RunForces | None = None,
    findings: Findings | None = None,
    check: RunCheck | None = None,
    audited: Findings | None = None,
    checks: Checks | None = None,
    differences: CheckRecord | None = None,
    full_size: bool = False,
) -> Sheet:
    """The model sheet; with `forces` that of a run, with `audited` the audit sheet, with `checks` that of ratios.

    With `differences` it is that of what a recheck found.
    `findings` puts the numbers of stops and queries beside what they are about, on the model sheet; `check`
    frames, on the force sheet, every force with which the second method does not agree. `digest` is that of the
    document, shown by its first 12 hex digits. `full_size` says that the sheet is drawn in the truss's own unit.
    """
    drawn, module = runs(truss), module_of(truss)
    unit = "inches" if truss.units == "us" else "millimetres"
    size = f"full size in {unit}" if full_size else "not to scale"
    what = "The model" if run is None else f"Forces in run {run}"
    symbols = {joint: support_symbol(truss, joint, module) for joint in truss.supports}
    if audited is not None:
        what = "What the audit found"
        content = findings_content(truss, drawn, audited, module=module)
    elif differences is not None:
        what = "What the recheck found, each segment in its worst run"
        content = difference_content(truss, drawn, differences, module=module)
    elif checks is not None:
        what = "Per cent of allowable, each in its worst run"
        content = ratio_content(truss, drawn, checks, module=module)
    elif forces is None:
        content = model_content(truss, drawn, findings, module=module)
    else:
        content = force_content(truss, drawn, symbols, forces, check, module=module)
    if full_size:
        content = replace(content, notes=(*content.notes, CARRIES))
    placed = place(
        (*_held_wishes(truss, symbols.values()), *content.wishes, *_name_wishes(truss, module)),
        boxes=(*(symbol.box for symbol in symbols.values()), *content.boxes),
        lines=content.lines,
        module=module,
    )
    return framed(
        title=truss.title,
        subtitle=(_subtitle(what, state, idealisation, digest, size),),
        content=content,
        strokes=(
            *content.strokes,
            *(stroke for symbol in symbols.values() for stroke in symbol.strokes),
            *(joint_dot(name, joint, module) for name, joint in truss.joints.items()),
            *placed.leaders,
        ),
        labels=placed.labels,
        left_out=tuple(label.text for label in placed.left_out),
        module=module,
    )


def module_of(truss: Truss) -> float:
    """The letter height in base lengths: by the size of the truss, finer where its panels are short."""
    left, bottom, right, top = span_of(truss)
    wide, high = right - left, top - bottom
    lengths = sorted(run.length for run in runs(truss))
    ordinary = lengths[len(lengths) // 4] if lengths else 0.0
    coarse = max(wide / WIDE, high / HIGH)
    return min(coarse, max(ordinary / PANEL, wide / AT_MOST_WIDE, high / AT_MOST_HIGH)) or 1.0


def _subtitle(what: str, state: State, idealisation: Idealisation | None, digest: str, size: str) -> str:
    ideal = [IDEALISATIONS[idealisation]] if idealisation else []
    document = f"document {digest.removeprefix('sha256:')[:12]}"
    return " · ".join((what, STATES[state], *ideal, document, size))


def _held_wishes(truss: Truss, symbols: Iterable[Symbol]) -> Iterator[Wish]:
    """What each support holds, in words under its symbol or beside it."""
    middle = middle_of(truss)
    for symbol in symbols:
        stand, half = symbol.stand, text_width(symbol.says) * HELD_HEIGHT / 2
        outer = -1.0 if stand.x <= middle[0] else 1.0
        spots = []
        for out in (symbol.reach + 0.8, symbol.reach + 2.0, symbol.reach + 3.2, symbol.reach / 2):
            x, y = stand.at(out, 0.0)
            sideways = half + 1.6 + abs(stand.away[0]) * symbol.reach / 2
            inner = [Spot(x, y), Spot(x - outer * half * stand.module, y)] if out > symbol.reach else []
            spots += [
                *inner,
                Spot(x - outer * sideways * stand.module, y),
                Spot(x + outer * sideways * stand.module, y),
            ]
        label = Label(text=symbol.says, x=0.0, y=0.0, holds="support", height=HELD_HEIGHT, of=symbol.strokes[0].of)
        yield Wish(label=label, spots=tuple(spots))


def _name_wishes(truss: Truss, module: float) -> Iterator[Wish]:
    leaving = arms(truss)
    for name in truss.joints:
        label = Label(text=name, x=0.0, y=0.0, holds="mark", bold=True, of=pointer("joints", name))
        spots = tuple(around(truss, name, leaving[name], module, text_width(name, bold=True) / 2))
        yield Wish(label=label, spots=spots, gap=NAME_GAP)
