"""Invented trusses, sound by construction: `sound(rng)` draws one of the usual forms, in sizes of roofs."""

from __future__ import annotations

from math import cos, radians, sin
from typing import TYPE_CHECKING, Final

from tests.audit import older_forms
from tests.audit.plan import INCH, Plan, Sound
from trussio.model.truss import Curve

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from random import Random


def sound(rng: Random) -> Sound:
    """One of the usual forms, of a size that timber roofs have."""
    form = rng.choice(sorted(FORMS))
    return FORMS[form](rng, Plan(units=rng.choice(["us", "si"])))


def _chords(rng: Random, plan: Plan, panels: int, panel: float, heights: list[float]) -> None:
    """Joints of both chords and the bottom chord, whole or spliced at one joint off the middle on either side."""
    plan.joints |= {f"B{k}": (k * panel, 0.0) for k in range(panels + 1)}
    plan.joints |= {f"T{k}": (k * panel, heights[k]) for k in range(1, panels)}
    bottom = [f"B{k}" for k in range(panels + 1)]
    cut = rng.choice([None, panels // 2]) if panels > 3 else None
    if cut is None:
        plan.stick("bottom", "bottom-chord", *bottom)
    else:
        plan.stick("bottom-left", "bottom-chord", *bottom[: cut + 1])
        plan.stick("bottom-right", "bottom-chord", *bottom[cut:])


def _posts_and_braces(rng: Random, plan: Plan, panels: int) -> None:
    """Posts at every inner panel point, and a brace in every inner panel, falling or rising to the middle."""
    for k in range(1, panels):
        plan.stick(f"p{k}", "web", f"B{k}", f"T{k}")
    falling = rng.random() < 0.5
    for k in range(1, panels - 1):
        left = k < panels // 2
        down = left == falling
        pair = (f"T{k}", f"B{k + 1}") if down else (f"B{k}", f"T{k + 1}")
        plan.stick(f"d{k}", "web", *pair)


def _pitched(rng: Random, plan: Plan) -> Sound:
    panels, panel = rng.choice([4, 6, 8]), float(rng.randint(70, 110))
    rise = rng.uniform(0.35, 0.7) * panel
    _chords(rng, plan, panels, panel, [min(k, panels - k) * rise for k in range(panels + 1)])
    half = panels // 2
    plan.stick("top-left", "top-chord", "B0", *(f"T{k}" for k in range(1, half + 1)))
    plan.stick("top-right", "top-chord", *(f"T{k}" for k in range(half, panels)), f"B{panels}")
    _posts_and_braces(rng, plan, panels)
    return Sound(form="pitched", truss=plan.truss("Invented pitched truss", ("B0", f"B{panels}")))


def _parallel(rng: Random, plan: Plan) -> Sound:
    panels, panel = rng.choice([4, 6, 8, 10]), float(rng.randint(70, 110))
    _chords(rng, plan, panels, panel, [rng.uniform(0.8, 1.3) * panel] * (panels + 1))
    plan.stick("end-left", "top-chord", "B0", "T1")
    plan.stick("top", "top-chord", *(f"T{k}" for k in range(1, panels)))
    plan.stick("end-right", "top-chord", f"T{panels - 1}", f"B{panels}")
    _posts_and_braces(rng, plan, panels)
    return Sound(form="parallel", truss=plan.truss("Invented parallel truss", ("B0", f"B{panels}")))


def _warren(rng: Random, plan: Plan) -> Sound:
    panels, panel = rng.choice([3, 4, 5, 6]), float(rng.randint(90, 140))
    height = rng.uniform(0.6, 1.0) * panel
    plan.joints |= {f"B{k}": (k * panel, 0.0) for k in range(panels + 1)}
    plan.joints |= {f"T{k}": ((k - 0.5) * panel, height) for k in range(1, panels + 1)}
    plan.stick("bottom", "bottom-chord", *(f"B{k}" for k in range(panels + 1)))
    plan.stick("top", "top-chord", *(f"T{k}" for k in range(1, panels + 1)))
    for k in range(panels):
        plan.stick(f"up{k}", "web", f"B{k}", f"T{k + 1}")
        plan.stick(f"down{k}", "web", f"T{k + 1}", f"B{k + 1}")
    return Sound(form="warren", truss=plan.truss("Invented web-only truss", ("B0", f"B{panels}")))


def _fink(rng: Random, plan: Plan) -> Sound:
    span = float(rng.randint(300, 480))
    rise = rng.uniform(0.2, 0.35) * span
    plan.joints |= {
        "B0": (0.0, 0.0),
        "B1": (span / 3, 0.0),
        "B2": (2 * span / 3, 0.0),
        "B3": (span, 0.0),
        "T1": (span / 4, rise / 2),
        "T2": (span / 2, rise),
        "T3": (3 * span / 4, rise / 2),
    }
    plan.stick("bottom", "bottom-chord", "B0", "B1", "B2", "B3")
    plan.stick("top-left", "top-chord", "B0", "T1", "T2")
    plan.stick("top-right", "top-chord", "T2", "T3", "B3")
    for name, first, last in (("w1", "T1", "B1"), ("w2", "B1", "T2"), ("w3", "T2", "B2"), ("w4", "B2", "T3")):
        plan.stick(name, "web", first, last)
    return Sound(form="fink", truss=plan.truss("Invented truss with four webs", ("B0", "B3")))


def _bowstring(rng: Random, plan: Plan) -> Sound:
    panels = rng.choice([6, 8, 10])
    radius = float(rng.randint(500, 900))
    half = radius * sin(radians(rng.uniform(28, 33)))
    panel = 2 * half / panels
    centre = -((radius**2 - half**2) ** 0.5)
    heights = [centre + (radius**2 - (k * panel - half) ** 2) ** 0.5 for k in range(panels + 1)]
    _chords(rng, plan, panels, panel, heights)
    curve = Curve(radius=radius * INCH[plan.units], bows="up")
    plan.stick("top", "top-chord", "B0", *(f"T{k}" for k in range(1, panels)), f"B{panels}", curve=curve)
    _posts_and_braces(rng, plan, panels)
    return Sound(form="bowstring", truss=plan.truss("Invented bowstring truss", ("B0", f"B{panels}")))


def _queen_post(rng: Random, plan: Plan) -> Sound:
    side, middle = float(rng.randint(80, 130)), float(rng.randint(90, 150))
    height = side * sin(radians(30)) / cos(radians(30)) * rng.uniform(0.9, 1.5)
    span = 2 * side + middle
    plan.joints |= {
        "B0": (0.0, 0.0),
        "B1": (side, 0.0),
        "B2": (side + middle, 0.0),
        "B3": (span, 0.0),
        "T1": (side, height),
        "T2": (side + middle, height),
    }
    plan.stick("bottom", "bottom-chord", "B0", "B1", "B2", "B3")
    plan.stick("left", "top-chord", "B0", "T1")
    plan.stick("straining", "top-chord", "T1", "T2")
    plan.stick("right", "top-chord", "T2", "B3")
    plan.stick("q1", "web", "B1", "T1")
    plan.stick("q2", "web", "B2", "T2")
    truss = plan.truss("Invented queen-post truss", ("B0", "B3"))
    return Sound(form="queen-post", truss=truss, triangulated=False)


FORMS: Final[Mapping[str, Callable[[Random, Plan], Sound]]] = {
    "pitched": _pitched,
    "parallel": _parallel,
    "warren": _warren,
    "fink": _fink,
    "bowstring": _bowstring,
    "queen-post": _queen_post,
    "king-post": older_forms.king_post,
    "scissors": older_forms.scissors,
    "attic": older_forms.attic,
    "lean-to": older_forms.lean_to,
    "ridge off the middle": older_forms.saltbox,
    "fan": older_forms.fan,
    "K": older_forms.k_webs,
    "crossed": older_forms.crossed,
    "one end hangs out": older_forms.cantilever,
}
