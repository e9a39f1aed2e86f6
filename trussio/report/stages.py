"""The stages on the page: what is done in each, and what it does to shores, tendons and the largest forces."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.model.loading import RunId
from trussio.model.staging import NOW
from trussio.report.elements import Column, el, table
from trussio.report.extremes import common_scale, largest
from trussio.report.ways import tendon_words
from trussio.report.work_words import stage_words

if TYPE_CHECKING:
    from trussio.drawing.quantities import Scale
    from trussio.model.forces import Results
    from trussio.model.truss import Truss
    from trussio.report.elements import Element

HOW = (
    "Each stage works on the truss as those before left it: what comes in starts free of stress, what goes out "
    "hands its force to the rest, loads add what they add on the structure that is there. A run called stage/now "
    "holds what is on at that moment; stage/run is a case or combination after that stage; a run without a stage "
    "loads the structure after the last stage at once."
)


def stages_part(document: Truss, results: Results | None) -> list[Element]:
    """What is done, stage by stage, and the forces with what is on after each."""
    columns = [Column(head="stage", kind="name"), Column(head="what is done", kind="words")]
    if results is None or not results.runs:
        rows = [[stage.id, said] for stage, said in stage_words(document)]
        return [el("p", HOW), table("Stages in their order", columns, rows)]
    scale = common_scale(document, results)
    columns += [
        Column(head="largest tension, with what is on then", kind="words"),
        Column(head="largest compression", kind="words"),
        Column(head="shores push up", kind="words"),
        Column(head="tendons", kind="words"),
    ]
    told = [[stage.id, said, *_found(document, results, stage.id, scale)] for stage, said in stage_words(document)]
    return [el("p", HOW), table(f"Stages in their order, forces in {scale.unit}", columns, told)]


def _found(document: Truss, results: Results, stage: str, scale: Scale) -> tuple[str, str, str, str]:
    run = RunId(f"{stage}/{NOW}")
    if run not in results.runs:
        return ("not evaluated",) * 4
    ends = []
    for sign in (1, -1):
        worst = largest(results, (run,), sign=sign, scale=scale, count=1)
        ends += [f"{scale.number(abs(one.axial))} in {one.segment}" for one in worst] or ["none"]
    shores = [
        f"{joint} {scale.number(reaction.y)}"
        for joint, reaction in results.runs[run].reactions.items()
        if joint not in document.supports
    ]
    return ends[0], ends[1], ", ".join(shores) or "none", "; ".join(tendon_words(results, run, scale)) or "none"
