"""What an independent checker should be given: the model with its loads, what to find, and no result.

A table to fill in lists every run and segment; the words say by what criteria its figures will be judged.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.recheck.claims import LARGEST_PART, OWN_PART

if TYPE_CHECKING:
    from trussio.model.truss import Idealisation, Json, State, Truss

HEADER: Final = "run,segment,axial"
CRITERIA: Final = (
    "find the axial force of every segment in every run from the model alone; tension is positive",
    "axial is the component along the segment's joint-to-joint line, averaged over that line",
    "give what you have: a run that is left out is not compared, a segment that is left out of a run disagrees",
    f"figures are held to their own rounding, {OWN_PART:g} of the force and {LARGEST_PART:g} of the run's largest",
    "not rechecked: the survey, the loads as stated, the idealisation, allowables",
)


def handover(
    truss: Truss, document: Json, *, idealisation: Idealisation, state: State, model_digest: str
) -> dict[str, Json]:
    """A blind hand-over: `document` is the truss document itself, which holds no result."""
    unit = "lbf" if truss.units == "us" else "N"
    return {
        "format": "trussio/handover",
        "version": 1,
        "model": model_digest,
        "idealisation": idealisation,
        "state": state,
        "criteria": [
            *CRITERIA,
            f"the unit of force is {unit} unless the column says otherwise (axial_kip, axial_kN)",
        ],
        "table": [HEADER, *(f"{run},{segment.id}," for run in truss.loads.runs for segment in truss.segments)],
        "truss": document,
    }
