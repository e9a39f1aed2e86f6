"""Generators of trusses: everything a document can hold, stable in both idealisations, by a seed.

`random_truss(rng, ...)` makes one truss record from a `random.Random`; `trusses(...)` is the same for
hypothesis. A truss has a bottom chord B0..Bn, a top chord T1..T(n-1) that comes down to B0 and Bn, a post at every
inner panel point and a diagonal (or two, crossing freely or bolted at M) in every inner panel. Chords are cut
into sticks at random; points S on straight sticks are stations. Nothing here is taken from a real roof.

`idealisation` decides what may stand in it: `continuous` adds joint moments, fixed ends and turning holds,
which have no meaning in a pinned truss; None and `pinned` leave out the moments and the turning holds.
"""

from __future__ import annotations

from itertools import pairwise
from math import hypot
from random import Random
from typing import TYPE_CHECKING, Final, Literal

from hypothesis import strategies as st

from tests.sketch import FORCE, PANEL, Sketch
from tests.sketch_loads import loads_on
from trussio.model.material import Material, Section
from trussio.model.truss import (
    Curve,
    Direction,
    Idealisation,
    Joint,
    JointId,
    MaterialId,
    Member,
    MemberId,
    Role,
    SectionId,
    Support,
    Truss,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

Profile = Literal["parallel", "pitched", "bow"]
PROFILES: Final[tuple[Profile, ...]] = ("parallel", "pitched", "bow")


def seeded(seed: int) -> Random:
    """A source of choices that gives the same ones again for the same seed."""
    return Random(seed)  # noqa: S311  (a failure must be repeatable; nothing here is secret)


def random_truss(
    rng: Random,
    *,
    idealisation: Idealisation | None = None,
    panels: int | None = None,
    curved: bool | None = None,
    stations: bool = True,
    redundant: bool = True,
) -> Truss:
    """A stable truss with a dead, a snow, a wind and an imposed case and two combinations.

    `curved` decides whether the top chord is of arcs (None: at random), `stations` whether joints may stand on
    straight sticks, `redundant` whether panels may have two diagonals and more than three holds.
    """
    panels = rng.randint(2, 6) if panels is None else panels
    sketch = Sketch(rng=rng, units=rng.choice(["us", "si"]), panels=panels)
    curved = rng.random() < 0.4 if curved is None else curved
    profile = rng.choice(PROFILES)
    _panel_points(sketch, profile)
    fixed = idealisation != "pinned"
    for name, role, line in _chords(panels):
        _chord(sketch, name, role, line, curved=curved and role == "top-chord", fixed=fixed, stations=stations)
    for panel in range(1, panels):
        _web(sketch, f"p{panel}", [JointId(f"B{panel}"), JointId(f"T{panel}")], stations=stations)
        if panel < panels - 1:
            _diagonals(sketch, panel, redundant=redundant, stations=stations)
    supports = _supports(sketch, redundant=redundant, turn=idealisation == "continuous")
    moment_at = _turning(sketch.members) if idealisation == "continuous" else None
    return Truss(
        title=f"Invented, {profile}, {panels} panels",
        units=sketch.units,
        joints=sketch.joints,
        members=sketch.members,
        supports=supports,
        sections=_sections(sketch),
        materials=_materials(sketch),
        loads=loads_on(sketch, supports, moment_at),
        assumptions={},
    )


def trusses(
    *,
    idealisation: Idealisation | None = None,
    curved: bool | None = None,
    stations: bool = True,
    redundant: bool = True,
    most_panels: int = 6,
) -> st.SearchStrategy[Truss]:
    """Trusses for hypothesis; they shrink towards few panels."""
    return st.builds(
        lambda seed, panels: random_truss(
            seeded(seed),
            idealisation=idealisation,
            panels=panels,
            curved=curved,
            stations=stations,
            redundant=redundant,
        ),
        st.integers(0, 2**32 - 1),
        st.integers(2, most_panels),
    )


def frame(seed: int, *, joints: int = 40, idealisation: Idealisation = "continuous") -> Truss:
    """A truss of about so many joints and without stations, for comparisons of accuracy and of speed."""
    return random_truss(seeded(seed), idealisation=idealisation, panels=joints // 2, curved=False, stations=False)


def _panel_points(sketch: Sketch, profile: Profile) -> None:
    rng, panels, panel = sketch.rng, sketch.panels, PANEL[sketch.units]
    rise = panel * rng.uniform(0.6, 1.0) * min(panels, 8) / 2
    camber = panel * rng.choice([0.0, 0.0, 0.05])
    for i in range(panels + 1):
        shift = panel * rng.uniform(-0.1, 0.1) if 0 < i < panels else 0.0
        part = i / panels
        bow = 4 * part * (1 - part)
        height = {"parallel": 0.6, "pitched": min(part, 1 - part) * 2, "bow": bow}[profile]
        x = i * panel + shift
        sketch.add_joint(f"B{i}", x, camber * bow)
        if 0 < i < panels:
            sketch.add_joint(f"T{i}", x + panel * rng.uniform(-0.1, 0.1), camber * bow + rise * height)


def _chords(panels: int) -> list[tuple[str, Role, list[JointId]]]:
    bottom = [JointId(f"B{i}") for i in range(panels + 1)]
    top = [bottom[0], *(JointId(f"T{i}") for i in range(1, panels)), bottom[-1]]
    return [("bottom", "bottom-chord", bottom), ("top", "top-chord", top)]


def _chord(
    sketch: Sketch, name: str, role: Role, line: list[JointId], *, curved: bool, fixed: bool, stations: bool
) -> None:
    """A chord, cut into one to three sticks; curved ones are arcs of one radius that bow up or down."""
    rng = sketch.rng
    cuts = sorted(rng.sample(range(1, len(line) - 1), k=min(rng.randint(0, 2), len(line) - 2)))
    for number, (start, end) in enumerate(zip([0, *cuts], [*cuts, len(line) - 1], strict=True)):
        through = line[start : end + 1]
        curve = _curve(sketch, through) if curved else None
        if curve is None and stations:
            through = _with_stations(sketch, f"{name}{number}", through)
        sketch.add_member(f"{name}{number}", role, through, curve=curve, fixed=fixed)


def _curve(sketch: Sketch, through: list[JointId]) -> Curve | None:
    points = [sketch.joints[joint] for joint in through]
    pairs = list(pairwise(points))
    if any(abs(b.x - a.x) < PANEL[sketch.units] / 10 for a, b in pairs):
        return None
    longest = max(hypot(b.x - a.x, b.y - a.y) for a, b in pairs)
    radius = longest * sketch.rng.choice([0.5001, 0.8, 2.0, 5.0, 20.0])
    return Curve(radius=radius, bows="up" if sketch.rng.random() < 0.8 else "down")


def _with_stations(sketch: Sketch, name: str, through: list[JointId]) -> list[JointId]:
    """The same stick with a joint or two on some of its segments, on the line to rounding."""
    points = [through[0]]
    for number, joint in enumerate(through[1:]):
        first, last = sketch.joints[points[-1]], sketch.joints[joint]
        for which in range(sketch.rng.choice([0, 0, 0, 0, 1, 2])):
            part = (which + sketch.rng.uniform(0.3, 0.7)) / 2
            station = JointId(f"S{name}.{number}.{which}")
            sketch.joints[station] = Joint(
                x=first.x + part * (last.x - first.x), y=first.y + part * (last.y - first.y)
            )
            points.append(station)
        points.append(joint)
    return points


def _web(sketch: Sketch, name: str, through: list[JointId], *, stations: bool) -> None:
    if stations and sketch.rng.random() < 0.2:
        through = _with_stations(sketch, name, through)
    sketch.add_member(name, "web", through)


def _diagonals(sketch: Sketch, panel: int, *, redundant: bool, stations: bool) -> None:
    """One diagonal, two that pass each other, or two bolted where they cross."""
    rising = [JointId(f"B{panel}"), JointId(f"T{panel + 1}")]
    falling = [JointId(f"T{panel}"), JointId(f"B{panel + 1}")]
    choice = sketch.rng.choice(["rising", "falling", "passing", "bolted"] if redundant else ["rising", "falling"])
    if choice == "bolted":
        middle = _crossing(sketch, rising, falling, f"M{panel}")
        rising.insert(1, middle)
        falling.insert(1, middle)
    if choice != "falling":
        _web(sketch, f"r{panel}", rising, stations=stations and choice != "bolted")
    if choice != "rising":
        _web(sketch, f"f{panel}", falling, stations=stations and choice != "bolted")


def _crossing(sketch: Sketch, rising: list[JointId], falling: list[JointId], name: str) -> JointId:
    a, b, c, d = (sketch.joints[joint] for joint in (*rising, *falling))
    along = ((c.x - a.x) * (d.y - c.y) - (c.y - a.y) * (d.x - c.x)) / (
        (b.x - a.x) * (d.y - c.y) - (b.y - a.y) * (d.x - c.x)
    )
    sketch.joints[JointId(name)] = Joint(x=a.x + along * (b.x - a.x), y=a.y + along * (b.y - a.y))
    return JointId(name)


def _supports(sketch: Sketch, *, redundant: bool, turn: bool) -> dict[JointId, Support]:
    rng, last = sketch.rng, JointId(f"B{sketch.panels}")
    stiffness = FORCE[sketch.units] * rng.choice([0.3, 5.0, 100.0])
    ends: list[Support] = [
        Support(holds=("y",)),
        Support(holds=((rng.uniform(-0.4, 0.4), 1.0),)),
        Support(springs={"y": stiffness}),
    ]
    if redundant:
        ends += [Support(holds=("x", "y")), Support(holds=("y",), springs={"x": stiffness})]
    first = Support(holds=("x", "y", "turn") if turn and rng.random() < 0.5 else ("x", "y"))
    supports = {JointId("B0"): first, last: rng.choice(ends)}
    if redundant and sketch.panels > 2 and rng.random() < 0.3:
        springs: dict[Direction, float] = {"y": stiffness}
        if turn:
            springs["turn"] = stiffness * 1e4
        supports[JointId("B1")] = Support(springs=springs)
    return supports


def _turning(members: Mapping[MemberId, Member]) -> JointId | None:
    """A joint with a rotation of its own to put a moment on, or None."""
    for member in members.values():
        if len(member.through) > 2:
            joint = member.through[1]
            if sum(joint in other.through[1:-1] for other in members.values()) == 1:
                return joint
        if "first" in member.fixed:
            return member.through[0]
    return None


def _sections(sketch: Sketch) -> dict[SectionId, Section]:
    inch = 1.0 if sketch.units == "us" else 25.4
    shear = sketch.rng.choice([None, 12 * inch**2])
    return {
        SectionId("bottom"): Section(
            width=1.625 * inch, depth=9.5 * inch, plies=2, gap=2.625 * inch, joined="bolted"
        ),
        SectionId("top"): Section(
            width=5.5 * inch, depth=1.5 * inch, plies=6, arranged="stacked", joined="glued", shear_area=shear
        ),
        SectionId("web"): Section(area=8.9375 * inch**2, inertia=1.97 * inch**4),
    }


def _materials(sketch: Sketch) -> dict[MaterialId, Material]:
    stress, density = (1.0, 34.0) if sketch.units == "us" else (0.00689475, 545.0)
    return {
        MaterialId("timber"): Material(kind="sawn", E=1.6e6 * stress, density=density, expansion=2e-6),
        MaterialId("glulam"): Material(
            kind="glulam", E=1.8e6 * stress, G=1.1e5 * stress, density=density, expansion=3e-6
        ),
    }
