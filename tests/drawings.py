"""Faulty drawings with known truth: one fault at a time, or several at once, from a seed.

The corpus on which reading is scored. Plans and their drawing stand in `tests.faulty`, as do the faults; all of
it is invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import TYPE_CHECKING, Final

from tests.faulty import annotation, crossings, curves, edges, ends, labels, places, repeats, surroundings
from tests.faulty.double import double_lines
from tests.faulty.files import written
from tests.faulty.plans import plan
from tests.faulty.sheets import single_lines
from tests.faulty.truth import FAULTS, truth_of

if TYPE_CHECKING:
    from types import ModuleType

    from tests.faulty.sheets import Style
    from tests.faulty.truth import Fault, Handling, Truth

MODULES: Final[tuple[ModuleType, ...]] = (
    ends,
    repeats,
    crossings,
    curves,
    annotation,
    surroundings,
    places,
    labels,
    edges,
)
"""Where faults are defined: loading them enters them in the table."""

STRICTER: Final[tuple[Handling, ...]] = ("silent", "report", "ask", "refuse")
WHOLE_SHEET: Final = (
    "key plan",
    "second truss on the sheet",
    "half truss with symmetry line",
    "second half mirrored",
    "array of two trusses",
    "far from the origin",
    "truss inside a block",
    "turned on the sheet",
)
"""Faults that take hold of all that is drawn so far: at most one of them in a mixture, and last."""
RIVALS: Final = ((11, 12), (53, 55), (6, 67, 68), (9, 10, 64, 67, 68), (9, 10, 29, 33))
"""Numbers of faults that undo each other or the truth of each other: at most one of each group in a mixture."""
DOUBLED: Final = (7, 8)
"""Numbers of the faults that draw lines twice: after those that alter lines, so that both copies are alike."""
TRIES: Final = 60


@dataclass(frozen=True, kw_only=True)
class Drawn:
    """A drawing as bytes, what it should be read as, and what is wrong with it."""

    data: bytes
    truth: Truth
    handling: Handling
    names: tuple[str, ...]


def faults_of(style: Style) -> list[Fault]:
    """Every fault that a style can have."""
    return [fault for fault in FAULTS if style in fault.fits]


def drawn(seed: int, style: Style, fault: Fault | None = None) -> Drawn | None:
    """A drawing with one fault, or none; None where no plan tried offers a place for the fault."""
    rng = Random(f"{fault.name if fault else ''}-{style}-{seed}")  # noqa: S311  # not for secrets
    for _ in range(TRIES):
        made = _drawn(rng, style, [] if fault is None else [fault])
        if made is not None:
            return made
    return None


def mixed(seed: int, style: Style) -> Drawn | None:
    """A drawing with two to five faults at once; None where none of them found a place."""
    rng = Random(f"mixture-{style}-{seed}")  # noqa: S311  # not for secrets
    chosen = rng.sample(faults_of(style), rng.randint(2, 5))
    whole = [fault for fault in chosen if fault.name in WHOLE_SHEET]
    rivals = [fault for items in RIVALS for fault in [one for one in chosen if one.item in items][1:]]
    twice = [fault for fault in chosen if fault.item in DOUBLED]
    rest = [fault for fault in chosen if fault not in whole and fault not in rivals and fault not in twice]
    return _drawn(rng, style, [*rest, *twice, *whole[:1]])


def _drawn(rng: Random, style: Style, faults: list[Fault]) -> Drawn | None:
    sheet = (single_lines if style == "single" else double_lines)(plan(rng), rng)
    truth = truth_of(sheet.plan)
    held = [fault for fault in faults if fault.apply(sheet, truth, rng)]
    if faults and not held:
        return None
    return Drawn(
        data=written(sheet),
        truth=truth,
        handling=max((fault.handling for fault in held), key=STRICTER.index, default="silent"),
        names=tuple(fault.name for fault in held),
    )
