"""Rods of steel or wrought iron: area at the root of the thread or the body, and tension against a stated stress.

The allowable stress of old rods is nobody's guess: it is stated with its source (a test, a mill mark, the rule of
the authority), or the check is not evaluated. Inches, lbf, psi.
Source: thread depth of the Unified and the older American thread, 1.3/n on the diameter, from memory.
"""

from __future__ import annotations

from math import pi

from trussio.errors import UsageError
from trussio.model.check import Check, Derivation, Subject
from trussio.timber.working import (
    SINGLE,
    STATICS,
    Figure,
    derived,
    not_evaluated,
    number,
    require_positive,
    set_against,
    shown,
    step,
)

THREAD_DEPTH = 1.299


def rod_area(
    *, diameter: float, threads_per_inch: float | None, upset_diameter: float | None = None
) -> Derivation:
    """Least area (in2) of a rod: at the root of the thread, or of the body where upset ends leave more.

    `threads_per_inch` is None for an unthreaded (welded, forged-eye) rod. An upset end carries its thread on
    `upset_diameter`. Raises UsageError `impossible-distance`.
    """
    require_positive("rod", {"diameter": diameter})
    body = pi * diameter**2 / 4
    shaft = step("D", diameter, "in")
    if threads_per_inch is None:
        return derived("A_rod", body, "in2", "pi D^2 / 4, no thread", "", shaft, source=STATICS)
    threaded = diameter if upset_diameter is None else upset_diameter
    root = threaded - THREAD_DEPTH / threads_per_inch
    require_positive("rod", {"threads per inch": threads_per_inch, "root diameter": root})
    if threaded < diameter:
        raise UsageError(
            "impossible-distance",
            where="rod",
            what=f"an upset end of {threaded:g} in is thinner than the body of {diameter:g} in.",
            do="Enter the diameter over the thread of the upset end.",
        )
    at_root = pi * root**2 / 4
    n = step("n", threads_per_inch, "1/in")
    end = step("D_thread", threaded, "in")
    formula = "least of pi (D_thread - 1.299/n)^2 / 4 and pi D^2 / 4"
    return derived("A_rod", min(body, at_root), "in2", formula, "", shaft, end, n)


def rod_check(*, force: float, area: Figure, allowable: Figure | None, of: Subject = SINGLE) -> Check:
    """Tension of a rod (lbf, tension positive): T / A against a stated allowable stress (psi).

    A rod in compression carries nothing: not met, whatever its strength. Without an allowable stress the check is
    not evaluated and shows the stress that it must carry.
    """
    clause, what = "stated allowable", "tension in a rod"
    steps = (step("T", force, "lbf"), step("A", area, "in2"))
    demand = derived("f", abs(force) / number(area), "psi", "T / A", "", *steps, source=STATICS)
    if force < 0:
        none = derived("F", 0.0, "psi", "a rod takes no compression", "", source=STATICS)
        reason = "the run puts the rod in compression; it goes slack and the truss works differently"
        return set_against(
            what=what, clause="statics", demand=demand, capacity=none, unit="psi", of=of, reason=reason
        )
    if allowable is None:
        reason = "enter the allowable tension of this steel or iron with its source"
        return not_evaluated(what=what, clause=clause, of=of, demand=demand, unit="psi", reason=reason)
    return set_against(
        what=what,
        clause=clause,
        demand=demand,
        capacity=shown("F", allowable, "psi"),
        unit="psi",
        of=of,
    )
