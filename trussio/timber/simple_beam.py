"""Moment, shear and deflection of a beam on two supports, or over two equal spans, under a few plain loads.

Any consistent units (lbf, in, psi or N, mm, MPa); amounts without sign. Shear deformation is left out.
Source: statics of elastic beams.
"""

from __future__ import annotations

from typing import NamedTuple

from trussio.errors import UsageError
from trussio.model.check import Derivation
from trussio.timber.working import STATICS, derived, require_positive, step


class BeamForces(NamedTuple):
    """The greatest moment and shear, and the greatest deflection where E and I are given."""

    moment: Derivation
    shear: Derivation
    deflection: Derivation | None


def simple_beam(
    *, span: float, even: float = 0.0, centre: float = 0.0, spans: int = 1, EI: float | None = None
) -> BeamForces:
    """A beam under an `even` load per length and a load at the `centre` of each span.

    Two spans are equal, loaded alike and continuous; their greatest moment stands over the middle support. Raises
    UsageError `unknown-beam` for more spans.
    """
    require_positive("beam", {"span": span, **({} if EI is None else {"EI": EI})})
    if spans not in (1, 2):
        raise UsageError(
            "unknown-beam", where="beam", what=f"{spans} spans.", do="Enter 1 or 2; analyse the truss for more."
        )
    steps = (step("w", even, ""), step("P", centre, ""), step("L", span, ""))
    if spans == 1:
        moment, shear = even * span**2 / 8 + centre * span / 4, even * span / 2 + centre / 2
        bend, cut, sag = "w L^2 / 8 + P L / 4", "w L / 2 + P / 2", "5 w L^4 / (384 EI) + P L^3 / (48 EI)"
        sinks = 5 * even * span**4 / 384 + centre * span**3 / 48
    else:
        moment, shear = even * span**2 / 8 + 3 * centre * span / 16, 5 * even * span / 8 + 11 * centre / 16
        bend, cut, sag = "w L^2 / 8 + 3 P L / 16", "5 w L / 8 + 11 P / 16", "w L^4 / (185 EI) + P L^3 / (107 EI)"
        sinks = even * span**4 / 184.6 + centre * span**3 / 107.3
    return BeamForces(
        moment=derived("M", moment, "", bend, "", *steps, source=STATICS),
        shear=derived("V", shear, "", cut, "", *steps, source=STATICS),
        deflection=None
        if EI is None
        else derived("delta", sinks / EI, "", sag, "", *steps, step("EI", EI, ""), source=STATICS),
    )
