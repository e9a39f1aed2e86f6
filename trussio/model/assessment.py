"""The assessment: everything known of one truss, from which the page and the summary are made.

The chain that runs the jobs fills it. What is None or empty was not done or not handed over, and is shown as
`not evaluated`, never as nothing found.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from trussio.model.change import Question
    from trussio.model.check_record import CheckRecord
    from trussio.model.finding import Findings
    from trussio.model.forces import Results
    from trussio.model.loading import RunId
    from trussio.model.site import PencilCheck
    from trussio.model.standing import Checks
    from trussio.model.truss import Idealisation, JointId, State, Truss


@dataclass(frozen=True, kw_only=True)
class Assessment:
    """One truss, and what each job found out about it.

    `truss` is in the state asked for; `document` is the truss as its document says it, None where it is the same.
    `name` is that of the document or drawing, `digest` that of the document; results, findings, checks and check
    record must carry the same digest. `applied` gives, for each run, the forces (x, y) in base units that its
    loads put on the joints, loads along a segment brought to its two joints by the lever; it must come from the
    loads and not from the reactions, since the page sets one against the other. `pencil` gives the sums of
    generated cases. `questions` are those that reading the drawing left open; what reading changed stands in the
    truss's own `source`.
    """

    name: str
    truss: Truss
    digest: str
    idealisation: Idealisation
    state: State
    findings: Findings | None = None
    results: Results | None = None
    check_record: CheckRecord | None = None
    checks: Checks | None = None
    applied: Mapping[RunId, Mapping[JointId, tuple[float, float]]] = field(default_factory=dict)
    pencil: Mapping[RunId, PencilCheck] = field(default_factory=dict)
    questions: tuple[Question, ...] = ()
    document: Truss | None = None
