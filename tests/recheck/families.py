"""Trusses of other families than `tests.strategies` makes, by a seed, and what a table of their forces may hold.

Scissors, bowstrings with curved chords, heels that hang over their bearings, queen posts with rods that carry
tension alone, a repair stage by stage, tendons. Invented; nothing here is taken from a real roof.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import sqrt
from typing import TYPE_CHECKING, Final

from trussio.model.loading import JointLoad, LineLoad, Load, LoadCase, Loads, RunId, SelfWeight, Target
from trussio.model.material import Material, Section
from trussio.model.staging import Add, Jack, PutOn, Release, Replace, Shore, Stage, Tension
from trussio.model.tendon import Point, Tendon, TendonLoad
from trussio.model.truss import (
    Acts,
    Curve,
    Joint,
    JointId,
    MaterialId,
    Member,
    MemberId,
    SectionId,
    Support,
    Truss,
)
from trussio.units import NEWTON_PER_POUND

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from random import Random

    from trussio.model.loading import CaseKind
    from trussio.model.truss import Idealisation
    from trussio.units import UnitSystem

D, S, LIVE, PT = (RunId(name) for name in ("D", "S", "L", "PT"))
PIN: Final = Support(holds=("x", "y"))
ROLLER: Final = Support(holds=("y",))
KINDS: Final[Mapping[RunId, CaseKind]] = {D: "dead", S: "snow", LIVE: "live", PT: "post-tension"}
WOOD, STEEL = MaterialId("wood"), MaterialId("steel")


@dataclass(kw_only=True)
class Drawn:
    """A truss on the drawing board: `inch` and `pound` are those units in the truss's own."""

    rng: Random
    units: UnitSystem
    span: float
    inch: float
    pound: float
    joints: dict[JointId, Joint] = field(default_factory=dict)
    members: dict[MemberId, Member] = field(default_factory=dict)

    def joint(self, name: str, x: float, y: float) -> None:
        self.joints[JointId(name)] = Joint(x=x, y=y)

    def stick(
        self, name: str, *through: str, of: str = "chord", curve: Curve | None = None, acts: Acts | None = None
    ) -> None:
        self.members[MemberId(name)] = Member(
            through=tuple(JointId(joint) for joint in through),
            section=SectionId(of),
            material=STEEL if of == "rod" else WOOD,
            curve=curve,
            acts=acts,
        )

    def truss(
        self,
        top: list[str],
        bottom: list[str],
        *,
        bearings: tuple[str, str],
        more: dict[RunId, tuple[Load, ...]] | None = None,
        runs: Mapping[str, tuple[RunId, ...]] | None = None,
        tendons: dict[str, Tendon] | None = None,
        stages: tuple[Stage, ...] = (),
    ) -> Truss:
        """With dead load on both chords and its own weight, uneven snow, and what else there is."""
        rng, line = self.rng, self.pound / self.inch
        q = 17.0 * rng.uniform(0.6, 1.6) * line
        dead: list[Load] = [SelfWeight(of="all")]
        dead += [_down(name, q) for name in top] + [_down(name, 0.3 * q) for name in bottom]
        snow = tuple(
            LineLoad(
                on=Target(member=MemberId(name)),
                direction="down",
                value=(q * rng.uniform(0.5, 2.5), q * rng.uniform(0.2, 2.0)),
                per="plan",
            )
            for name in top
        )
        cases = {D: tuple(dead), S: snow, **(more or {})}
        area, inertia = self.inch**2, self.inch**4
        return Truss(
            title="Invented",
            units=self.units,
            joints=self.joints,
            members=self.members,
            supports={JointId(bearings[0]): PIN, JointId(bearings[1]): ROLLER},
            sections={
                SectionId("chord"): Section(width=5.5 * self.inch, depth=9.25 * self.inch),
                SectionId("web"): Section(width=3.0 * self.inch, depth=5.5 * self.inch),
                SectionId("sister"): Section(width=2.0 * self.inch, depth=9.25 * self.inch),
                SectionId("rod"): Section(area=0.8 * area, inertia=0.05 * inertia),
            },
            materials={
                WOOD: Material(
                    kind="sawn", E=rng.uniform(1.2e6, 1.9e6) * self.pound / area, density=self._weight(28.0)
                ),
                STEEL: Material(kind="steel", E=2.9e7 * self.pound / area, density=self._weight(490.0)),
            },
            loads=Loads(
                cases={name: LoadCase(kind=KINDS[name], loads=loads) for name, loads in cases.items()},
                combinations={
                    RunId(name): dict.fromkeys(of, 1.0) for name, of in (runs or {"D+S": (D, S)}).items()
                },
            ),
            assumptions={},
            tendons=tendons or {},
            stages=stages,
        )

    def _weight(self, pcf: float) -> float:
        return pcf if self.units == "us" else 16.018 * pcf


def board(rng: Random) -> Drawn:
    """An empty drawing board in either system of units."""
    units: UnitSystem = "us" if rng.random() < 0.5 else "si"
    inch, pound = (1.0, 1.0) if units == "us" else (25.4, NEWTON_PER_POUND)
    return Drawn(rng=rng, units=units, span=rng.uniform(240.0, 720.0) * inch, inch=inch, pound=pound)


def _down(name: str, value: float) -> LineLoad:
    return LineLoad(on=Target(member=MemberId(name)), direction="down", value=value)


def _either(rng: Random) -> Idealisation:
    return "continuous" if rng.random() < 0.5 else "pinned"


def scissors(rng: Random) -> tuple[Truss, Idealisation]:
    """Rafters, two ties from heel to the other rafter that are bolted where they cross, a rod from there up."""
    drawn, left = board(rng), rng.uniform(0.45, 0.6)
    half, rise = drawn.span / 2, drawn.span * rng.uniform(0.3, 0.5)
    right = left if rng.random() < 0.6 else rng.uniform(0.45, 0.6)
    drawn.joint("A", 0.0, 0.0)
    drawn.joint("B", 2 * half, 0.0)
    drawn.joint("R", half, rise)
    drawn.joint("P", left * half, left * rise)
    drawn.joint("Q", (2 - right) * half, right * rise)
    one, other = right / (2 - right), left / (2 - left)
    x = 2 * half * other / (one + other)
    drawn.joint("X", x, x * one * rise / half)
    drawn.stick("left", "A", "P", "R")
    drawn.stick("right", "B", "Q", "R")
    drawn.stick("tie", "A", "X", "Q")
    drawn.stick("other", "B", "X", "P")
    drawn.stick("king", "X", "R", of="rod")
    return drawn.truss(["left", "right"], [], bearings=("A", "B")), _either(rng)


def bowstring(rng: Random) -> tuple[Truss, Idealisation]:
    """A top chord of two arcs of one radius, uprights, diagonals some of which lie the other way."""
    drawn, panels = board(rng), rng.choice([6, 8, 10])
    span, rise, middle = drawn.span, drawn.span * rng.uniform(0.12, 0.2), panels // 2
    radius = (span**2 / 4 + rise**2) / (2 * rise)
    for panel in range(panels + 1):
        x = span * panel / panels
        drawn.joint(f"B{panel}", x, 0.0)
        if 0 < panel < panels:
            drawn.joint(f"T{panel}", x, sqrt(radius**2 - (x - span / 2) ** 2) - radius + rise)
    arc = Curve(radius=radius, bows="up")
    drawn.stick("bow", "B0", *(f"T{panel}" for panel in range(1, middle + 1)), curve=arc)
    drawn.stick("wob", *(f"T{panel}" for panel in range(middle, panels)), f"B{panels}", curve=arc)
    drawn.stick("tie", *(f"B{panel}" for panel in range(panels + 1)))
    for panel in range(1, panels):
        drawn.stick(f"v{panel}", f"B{panel}", f"T{panel}", of="web")
    for panel in range(1, panels - 1):
        rising = (panel < middle) != (rng.random() < 0.2)
        ends = (f"B{panel}", f"T{panel + 1}") if rising else (f"T{panel}", f"B{panel + 1}")
        drawn.stick(f"d{panel}", *ends, of="web")
    return drawn.truss(["bow", "wob"], ["tie"], bearings=("B0", f"B{panels}")), "continuous"


def overhanging(rng: Random) -> tuple[Truss, Idealisation]:
    """Heels that hang over their bearings, as far as a tenth of the span."""
    drawn, panels = board(rng), rng.choice([6, 8])
    span, over, rise = drawn.span, drawn.span * rng.uniform(0.05, 0.12), drawn.span * rng.uniform(0.12, 0.25)
    middle, slope = panels // 2, rise / (drawn.span / 2 + over)
    drawn.joint("H", -over, 0.0)
    drawn.joint("K", span + over, 0.0)
    for panel in range(panels + 1):
        x = span * panel / panels
        drawn.joint(f"B{panel}", x, 0.0)
        drawn.joint(f"T{panel}", x, slope * (min(x, span - x) + over))
    drawn.stick("left", "H", *(f"T{panel}" for panel in range(middle + 1)))
    drawn.stick("right", *(f"T{panel}" for panel in range(middle, panels + 1)), "K")
    drawn.stick("bottom", "H", *(f"B{panel}" for panel in range(panels + 1)), "K")
    for panel in range(panels + 1):
        drawn.stick(f"v{panel}", f"B{panel}", f"T{panel}", of="web")
    for panel in range(panels):
        ends = (f"T{panel}", f"B{panel + 1}") if panel < middle else (f"B{panel}", f"T{panel + 1}")
        drawn.stick(f"d{panel}", *ends, of="web")
    return drawn.truss(["left", "right"], ["bottom"], bearings=("B0", f"B{panels}")), _either(rng)


def queen_post(rng: Random) -> tuple[Truss, Idealisation]:
    """Two rods hang the tie from a straining beam, two more cross between them; rods carry tension alone."""
    drawn, share = board(rng), rng.uniform(0.28, 0.36)
    span, rise = drawn.span, drawn.span * rng.uniform(0.18, 0.3)
    for name, at, high in (("A", 0, 0), ("B", share, 0), ("C", 0.5, 0), ("E", 1 - share, 0), ("F", 1, 0)):
        drawn.joint(name, at * span, high * rise)
    drawn.joint("P", share * span, rise)
    drawn.joint("Q", (1 - share) * span, rise)
    drawn.stick("left", "A", "P")
    drawn.stick("beam", "P", "Q")
    drawn.stick("right", "Q", "F")
    drawn.stick("tie", "A", "B", "C", "E", "F")
    for name, ends in (("r1", "BP"), ("r2", "EQ"), ("c1", "BQ"), ("c2", "EP")):
        drawn.stick(name, *ends, of="rod", acts="tension")
    hung = (JointLoad(joint=JointId("B"), fy=-rng.uniform(500.0, 2000.0) * drawn.pound),)
    runs = {"D+S": (D, S), "D+L": (D, LIVE)}
    top = ["left", "beam", "right"]
    return drawn.truss(top, ["tie"], bearings=("A", "F"), more={LIVE: hung}, runs=runs), "continuous"


def _pitched(rng: Random, panels: int) -> Drawn:
    drawn, middle = board(rng), panels // 2
    span, rise = drawn.span, drawn.span * rng.uniform(0.2, 0.35)
    for panel in range(panels + 1):
        drawn.joint(f"B{panel}", span * panel / panels, 0.0)
        if 0 < panel < panels:
            drawn.joint(f"T{panel}", span * panel / panels, rise * 2 * min(panel, panels - panel) / panels)
    drawn.stick("left", "B0", *(f"T{panel}" for panel in range(1, middle + 1)))
    drawn.stick("right", *(f"T{panel}" for panel in range(middle, panels)), f"B{panels}")
    drawn.stick("bottom", *(f"B{panel}" for panel in range(panels + 1)))
    for panel in range(1, panels):
        drawn.stick(f"v{panel}", f"B{panel}", f"T{panel}", of="web")
    for panel in range(1, panels - 1):
        ends = (f"T{panel}", f"B{panel + 1}") if panel < middle else (f"B{panel}", f"T{panel + 1}")
        drawn.stick(f"d{panel}", *ends, of="web")
    return drawn


def repaired(rng: Random) -> tuple[Truss, Idealisation]:
    """Shored and jacked under dead load, a web replaced, the bottom chord sistered with slip, lowered."""
    drawn = _pitched(rng, 6)
    drawn.stick("new", "T2", "B3")
    drawn.stick("sister", "B2", "B3", "B4", of="sister")
    under = (JointId("B2"),)
    slip = rng.uniform(1e4, 1e5) * drawn.pound / drawn.inch
    add = Add((MemberId("sister"),), beside=MemberId("bottom"), slip=slip)
    stages = (
        Stage("shore", (PutOn((D,)), Shore(under, both_ways=True), Jack(under, force=500.0 * drawn.pound))),
        Stage("web", (Replace(MemberId("d2"), MemberId("new")),)),
        Stage("sister", (add,)),
        Stage("lower", (Release(under),)),
    )
    return drawn.truss(["left", "right"], ["bottom"], bearings=("B0", "B6"), stages=stages), _either(rng)


def stressed(rng: Random) -> tuple[Truss, Idealisation]:
    """A tendon along the bottom chord or draped from the first panel points, at once or in a stage."""
    panels = rng.choice([6, 8])
    drawn = _pitched(rng, panels)
    first, last = ("T1", f"T{panels - 1}") if rng.random() < 0.4 else ("B0", f"B{panels}")
    path = tuple(Point(JointId(name)) for name in (first, "B2", f"B{panels - 2}", last))
    rope = Tendon(
        path=path,
        area=0.3 * drawn.inch**2,
        E=2.9e7 * drawn.pound / drawn.inch**2,
        acts="member" if rng.random() < 0.5 else "force",
    )
    pull = (TendonLoad("t", force=rng.uniform(2e3, 9e3) * drawn.pound),)
    stages = (Stage("stress", (PutOn((D,)), Tension(("t",)))),) if rng.random() < 0.5 else ()
    made = drawn.truss(
        ["left", "right"],
        ["bottom"],
        bearings=("B0", f"B{panels}"),
        more={PT: pull},
        runs={"D+PT": (D, PT), "D+S+PT": (D, S, PT)},
        tendons={"t": rope},
        stages=stages,
    )
    return made, _either(rng)


FAMILIES: Final[tuple[Callable[[Random], tuple[Truss, Idealisation]], ...]] = (
    scissors,
    bowstring,
    overhanging,
    queen_post,
    repaired,
    stressed,
)
