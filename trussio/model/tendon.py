"""Tendons: strands, bars or rods stressed against the truss from outside.

Terms: a tendon has a *path* of points at joints; the first and last are its *anchors*, those between *deviators*.
A *leg* runs straight from one point to the next. Its force is set with a jack at one anchor and stays when that is
*locked off*. What friction at deviators, the draw-in of the anchor (*slip*) and time take from it are losses.
Every run holds the tendon with its greatest force: no loss but those that the document states. A second run, of
the same name with ` (least)` behind it, holds it with the least: every loss, by the defaults below where nobody
stated it. Those are assumptions.
Signs: tension positive; an offset counts towards local +y of the stick that the point bears on. Base units.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, Literal, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.model.loading import LoadCase, Loads, RunId
    from trussio.model.truss import End, JointId, MemberId, Notes, Truss

FRICTION: Final = 0.24
"""Loss per radian turned: strand on dry steel outside the section, EN 1992-1-1 table 5.1 (from memory)."""
SLIP: Final = 0.0
"""Draw-in of the anchor: a stated force is taken for what stays after it (own judgement, no source)."""
LOSS: Final = 0.15
"""Share lost with time to creep, shrinkage under anchors and relaxation (own judgement, no source)."""


class Point(NamedTuple):
    """Where a tendon is anchored or turned: at a joint, or `offset` from it.

    `bears_on` is the stick that it presses on; None means the joint as a whole, as a shoe does that every stick
    meets. An offset is given only with a stick. `bearing` is the area of wood under an anchor's plate, less its
    holes and slots.
    """

    joint: JointId
    bears_on: MemberId | None = None
    offset: float = 0.0
    bearing: float | None = None


class Tendon(NamedTuple):
    """A tendon; `area` is that of one of its `strands` (wires, bars, rods).

    `friction` is the loss per radian turned, `wobble` that per length, both as exponents; `slip` is the draw-in at
    the anchor that is `stressed`, `loss` the share of the force after lock-off that time takes. `acts` says what
    it is after lock-off: a `member` that later loads stretch or leave slack, or its `force`. `steel` says by which
    rules its stress is limited, `fu` is its tensile strength. None: nobody said.
    """

    path: tuple[Point, ...]
    area: float | None = None
    strands: int = 1
    E: float | None = None
    stressed: End = "first"
    friction: float | None = None
    wobble: float = 0.0
    slip: float | None = None
    loss: float | None = None
    acts: Literal["member", "force"] = "member"
    label: str | None = None
    notes: Notes | None = None
    steel: Literal["strand", "bar"] | None = None
    fu: float | None = None


class TendonLoad(NamedTuple):
    """A tendon is stressed at the jack to a `force`, or to a `stress` of its whole area; exactly one is given."""

    tendon: str
    force: float | None = None
    stress: float | None = None
    notes: Notes | None = None


class Default(NamedTuple):
    """A field of a tendon that nobody stated, what is taken for it, and why, in a sentence."""

    field: str
    value: float
    says: str


def jacking_force(tendon: Tendon, load: TendonLoad) -> float:
    """The force at the jack."""
    if load.force is not None:
        return load.force
    return (load.stress or 0.0) * (tendon.area or 0.0) * tendon.strands


def loads_of(case: LoadCase) -> Iterator[TendonLoad]:
    """What a case does to tendons."""
    return (load for load in case.loads if isinstance(load, TendonLoad))


def stressing(loads: Loads) -> dict[str, tuple[RunId, ...]]:
    """The cases that stress each tendon that is stressed at all."""
    found: dict[str, tuple[RunId, ...]] = {}
    for name, case in loads.cases.items():
        for load in loads_of(case):
            found[load.tendon] = (*found.get(load.tendon, ()), name)
    return found


def stiff(tendon: Tendon) -> bool:
    """Whether it is known how a tendon stretches."""
    return bool(tendon.area and tendon.E)


def defaults(tendon: Tendon) -> tuple[Default, ...]:
    """What is taken for the losses that nobody stated; all of it enters the least force alone."""
    found = []
    if tendon.friction is None and len(tendon.path) > 2:
        found.append(Default("friction", FRICTION, f"friction takes {FRICTION:g} a radian at its deviators"))
    if tendon.slip is None:
        found.append(Default("slip", SLIP, "its force is what stays after its anchor has drawn in"))
    if tendon.loss is None:
        found.append(Default("loss", LOSS, f"time takes {100 * LOSS:g} % of its force"))
    return tuple(found)


def loses(tendon: Tendon) -> bool:
    """Whether its least force is less than its greatest."""
    return tendon.loss != 0.0 or (tendon.friction is None and len(tendon.path) > 2)


def taken_for_granted(truss: Truss) -> tuple[str, ...]:
    """The JSON Pointers of everything that is taken for tendons because nobody stated it."""
    return tuple(
        f"/tendons/{name.replace('~', '~0')}/{one.field}"
        for name, tendon in truss.tendons.items()
        for one in defaults(tendon)
    )
