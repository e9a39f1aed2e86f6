"""More sound trusses: king post, scissors, attic, lean-to, ridge off the middle, fan, K and crossed webs."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from tests.audit.plan import Plan, Sound

if TYPE_CHECKING:
    from random import Random

    Place = tuple[float, float]


def king_post(rng: Random, plan: Plan) -> Sound:
    half, rise = float(rng.randint(100, 200)), float(rng.randint(70, 150))
    plan.joints |= {"B0": (0.0, 0.0), "B1": (half, 0.0), "B2": (2 * half, 0.0), "T2": (half, rise)}
    plan.joints |= {"T1": (half / 2, rise / 2), "T3": (1.5 * half, rise / 2)}
    plan.stick("tie", "bottom-chord", "B0", "B1", "B2")
    plan.stick("left", "top-chord", "B0", "T1", "T2")
    plan.stick("right", "top-chord", "T2", "T3", "B2")
    plan.stick("king", "web", "B1", "T2")
    plan.stick("s1", "web", "B1", "T1")
    plan.stick("s2", "web", "B1", "T3")
    return Sound(form="king-post", truss=plan.truss("Invented king-post truss", ("B0", "B2")))


def scissors(rng: Random, plan: Plan) -> Sound:
    """Ties that cross under the ridge and end at the rafters, with a tie from wall to wall or without."""
    half, rise = float(rng.randint(120, 240)), float(rng.randint(90, 160))
    share = rng.uniform(0.45, 0.65)
    tied = rng.random() < 0.5
    plan.joints |= {"B0": (0.0, 0.0), "B1": (2 * half, 0.0), "T2": (half, rise)}
    plan.joints |= {"T1": (half * share, rise * share), "T3": (half * (2 - share), rise * share)}
    plan.joints["X"] = (half, rise * share / (2 - share))
    plan.stick("left", "top-chord", "B0", "T1", "T2")
    plan.stick("right", "top-chord", "T2", "T3", "B1")
    plan.stick("s1", "bottom-chord", "B0", "X", "T3")
    plan.stick("s2", "bottom-chord", "B1", "X", "T1")
    plan.stick("rod", "web", "X", "T2")
    if tied:
        plan.stick("tie", "other", "B0", "B1")
    truss = plan.truss("Invented scissors truss", ("B0", "B1"))
    return Sound(form="scissors", truss=truss, triangulated=not tied, quiet=frozenset({"small-angle"}))


def attic(rng: Random, plan: Plan) -> Sound:
    """A floor, knee walls with a brace to each rafter, and a collar: it stands by bending."""
    half, rise = float(rng.randint(150, 200)), float(rng.randint(130, 190))
    wall, collar = half * rng.uniform(0.38, 0.5), half * rng.uniform(0.66, 0.76)
    left: dict[str, Place] = {"T1": (wall / 2, 0.0), "T2": (wall, 0.0), "T3": (collar, 0.0)}
    left = {name: (x, rise * x / half) for name, (x, _) in left.items()}
    right = {f"T{7 - int(name[1])}": (2 * half - x, y) for name, (x, y) in left.items()}
    plan.joints |= {"B0": (0.0, 0.0), "B1": (wall, 0.0), "B2": (2 * half - wall, 0.0), "B3": (2 * half, 0.0)}
    plan.joints |= {**left, **right, "R": (half, rise)}
    plan.stick("floor", "bottom-chord", "B0", "B1", "B2", "B3")
    plan.stick("left", "top-chord", "B0", "T1", "T2", "T3", "R")
    plan.stick("right", "top-chord", "R", "T4", "T5", "T6", "B3")
    plan.stick("collar", "other", "T3", "T4")
    for name, pair in {"w1": ("B1", "T2"), "w2": ("B2", "T5"), "b1": ("B1", "T1"), "b2": ("B2", "T6")}.items():
        plan.stick(name, "web", *pair)
    return Sound(form="attic", truss=plan.truss("Invented attic truss", ("B0", "B3")), triangulated=False)


def lean_to(rng: Random, plan: Plan) -> Sound:
    panels, panel = rng.choice([3, 4, 5]), float(rng.randint(60, 100))
    heights = [k * panel * 0.4 for k in range(panels + 1)]
    falling = _one_way(rng, plan, panels, panel, heights, ridge=panels)
    plan.stick("top", "top-chord", "B0", *(f"T{k}" for k in range(1, panels + 1)))
    plan.stick(f"p{panels}", "web", f"B{panels}", f"T{panels}")
    last = (f"T{panels - 1}", f"B{panels}") if falling else (f"B{panels - 1}", f"T{panels}")
    plan.stick(f"d{panels - 1}", "web", *last)
    truss = plan.truss("Invented lean-to truss", ("B0", f"B{panels}"))
    return Sound(form="lean-to", truss=truss, alike=False)


def saltbox(rng: Random, plan: Plan) -> Sound:
    """A pitched truss whose ridge stands off the middle."""
    panels, panel = rng.choice([5, 6, 7]), float(rng.randint(60, 100))
    ridge = rng.choice([2, panels - 2])
    top = panel * panels * 0.22
    heights = [top * (k / ridge if k <= ridge else (panels - k) / (panels - ridge)) for k in range(panels + 1)]
    _one_way(rng, plan, panels, panel, heights, ridge=ridge)
    plan.stick("left", "top-chord", "B0", *(f"T{k}" for k in range(1, ridge + 1)))
    plan.stick("right", "top-chord", *(f"T{k}" for k in range(ridge, panels)), f"B{panels}")
    truss = plan.truss("Invented truss with a ridge off the middle", ("B0", f"B{panels}"))
    return Sound(form="ridge off the middle", truss=truss, alike=False)


def _one_way(rng: Random, plan: Plan, panels: int, panel: float, heights: list[float], *, ridge: int) -> bool:
    """A bottom chord with posts, and braces that fall or rise toward the ridge; gives whether they fall."""
    last = panels if ridge == panels else panels - 1
    plan.joints |= {f"B{k}": (k * panel, 0.0) for k in range(panels + 1)}
    plan.joints |= {f"T{k}": (k * panel, heights[k]) for k in range(1, last + 1)}
    plan.stick("bottom", "bottom-chord", *(f"B{k}" for k in range(panels + 1)))
    falling = rng.random() < 0.5
    for k in range(1, panels):
        plan.stick(f"p{k}", "web", f"B{k}", f"T{k}")
    for k in range(1, panels - 1):
        pair = (f"T{k}", f"B{k + 1}") if (k < ridge) == falling else (f"B{k}", f"T{k + 1}")
        plan.stick(f"d{k}", "web", *pair)
    return falling


def fan(rng: Random, plan: Plan) -> Sound:
    """Struts from two joints of the bottom chord to the rafters, like the ribs of a fan."""
    span, rise = float(rng.randint(320, 520)), float(rng.randint(80, 140))
    plan.joints |= {"B0": (0.0, 0.0), "B1": (span / 3, 0.0), "B2": (2 * span / 3, 0.0), "B3": (span, 0.0)}
    plan.joints |= {f"T{k}": (span * k / 6, rise * min(k, 6 - k) / 3) for k in range(1, 6)}
    plan.stick("bottom", "bottom-chord", "B0", "B1", "B2", "B3")
    plan.stick("left", "top-chord", "B0", "T1", "T2", "T3")
    plan.stick("right", "top-chord", "T3", "T4", "T5", "B3")
    for number, pair in enumerate(
        (("B1", "T1"), ("B1", "T2"), ("B1", "T3"), ("B2", "T3"), ("B2", "T4"), ("B2", "T5")), start=1
    ):
        plan.stick(f"w{number}", "web", *pair)
    return Sound(form="fan", truss=plan.truss("Invented fan truss", ("B0", "B3")))


def k_webs(rng: Random, plan: Plan) -> Sound:
    """Posts cut in the middle, from where two braces run to the chords."""
    panels, panel = 6, float(rng.randint(80, 110))
    height = panel * rng.uniform(1.2, 1.7)
    for k in range(panels + 1):
        plan.joints |= {f"B{k}": (k * panel, 0.0), f"T{k}": (k * panel, height)}
    plan.stick("bottom", "bottom-chord", *(f"B{k}" for k in range(panels + 1)))
    plan.stick("top", "top-chord", *(f"T{k}" for k in range(panels + 1)))
    for k in (0, 3, 6):
        plan.stick(f"p{k}", "web", f"B{k}", f"T{k}")
    for k, out in ((1, 0), (2, 1), (4, 5), (5, 6)):
        plan.joints[f"M{k}"] = (k * panel, height / 2)
        plan.stick(f"l{k}", "web", f"B{k}", f"M{k}")
        plan.stick(f"u{k}", "web", f"M{k}", f"T{k}")
        plan.stick(f"kl{k}", "web", f"M{k}", f"B{out}")
        plan.stick(f"ku{k}", "web", f"M{k}", f"T{out}")
    plan.stick("d2", "web", "B2", "T3")
    plan.stick("d4", "web", "T3", "B4")
    return Sound(form="K", truss=plan.truss("Invented truss with K webs", ("B0", "B6")))


def crossed(rng: Random, plan: Plan) -> Sound:
    """Parallel chords and two webs in every panel, which pass each other."""
    panels, panel = rng.choice([3, 4, 5]), float(rng.randint(70, 110))
    height = panel * rng.uniform(0.8, 1.3)
    for k in range(panels + 1):
        plan.joints |= {f"B{k}": (k * panel, 0.0), f"T{k}": (k * panel, height)}
        plan.stick(f"p{k}", "web", f"B{k}", f"T{k}")
    plan.stick("bottom", "bottom-chord", *(f"B{k}" for k in range(panels + 1)))
    plan.stick("top", "top-chord", *(f"T{k}" for k in range(panels + 1)))
    for k, (one, other) in enumerate(pairwise(range(panels + 1))):
        plan.stick(f"d{k}", "web", f"B{one}", f"T{other}")
        plan.stick(f"e{k}", "web", f"T{one}", f"B{other}")
    truss = plan.truss("Invented truss with crossed webs", ("B0", f"B{panels}"))
    return Sound(form="crossed", truss=truss, triangulated=False, quiet=frozenset({"crossing"}))


def cantilever(rng: Random, plan: Plan) -> Sound:
    """Parallel chords on one end bearing and one a panel inside the other end."""
    panels, panel = rng.choice([4, 6]), float(rng.randint(70, 110))
    height = panel * rng.uniform(0.8, 1.3)
    for k in range(panels + 1):
        plan.joints |= {f"B{k}": (k * panel, 0.0), f"T{k}": (k * panel, height)}
        plan.stick(f"p{k}", "web", f"B{k}", f"T{k}")
    plan.stick("bottom", "bottom-chord", *(f"B{k}" for k in range(panels + 1)))
    plan.stick("top", "top-chord", *(f"T{k}" for k in range(panels + 1)))
    for k in range(panels):
        plan.stick(f"d{k}", "web", *((f"T{k}", f"B{k + 1}") if k < panels / 2 else (f"B{k}", f"T{k + 1}")))
    truss = plan.truss("Invented truss that hangs out", ("B0", f"B{panels - 1}"))
    return Sound(form="one end hangs out", truss=truss, quiet=frozenset({"bearing-without-twin"}))
