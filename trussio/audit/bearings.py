"""Queries and notes over the whole: size, bearings, assumptions that nobody has confirmed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.audit.wording import FEW, counted, length, listed, pointer, rounded
from trussio.model.finding import Finding
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject
    from trussio.model.truss import Support

SPAN: Final = (2000.0, 80000.0)
"""The longer side of a timber roof truss, mm: common practice, no source (bowstrings reach some 50 m)."""


def size(subject: Subject) -> Iterator[Finding]:
    """A truss too small or too large for a roof: its unit is likely wrong."""
    scale = MM_PER_INCH if subject.truss.units == "us" else 1.0
    if subject.truss.joints and not SPAN[0] <= subject.extent * scale <= SPAN[1]:
        unit = "in" if subject.truss.units == "us" else "mm"
        yield Finding(
            code="odd-size",
            level="query",
            where=("/joints",),
            says=f"The truss is {length(subject.extent, subject.truss.units)} long: no roof truss is.",
            do=f"See in which unit it was drawn; the document counts in {unit}.",
            evidence={"extent": rounded(subject.extent)},
        )


def bearings(subject: Subject) -> Iterator[Finding]:
    """Both ends held sideways, turning holds where nothing turns with the joint."""
    truss = subject.truss
    sideways = [name for name, support in truss.supports.items() if _holds_sideways(support)]
    if len(sideways) > 1:
        yield Finding(
            code="held-both-ways",
            level="note",
            where=tuple(pointer("supports", name) for name in sideways),
            says=f"{listed(sideways)} are all held in x. Walls give way, and what they are taken to hold back is "
            "missing in the bottom chord: its tension may be under-stated.",
            do="Let all but one roll, unless the walls are known to hold.",
            evidence={"supports": [*sideways]},
        )
    for name, support in truss.supports.items():
        turning = "turn" in support.holds or "turn" in support.springs
        if turning and name not in subject.view.idealised.shared:
            why = "in `pinned` nothing turns" if subject.asked == "pinned" else "no stick turns with the joint"
            yield Finding(
                code="turn-hold-idle",
                level="note",
                where=(pointer("supports", name),),
                says=f"The bearing at {name} holds against turning, but {why}: that hold does nothing.",
                do="Delete it, or fix the stick at that end (`fixed`).",
                evidence={"support": name},
            )


def assumptions(subject: Subject) -> Iterator[Finding]:
    """What was assumed and not confirmed."""
    open_ones = [name for name, known in subject.truss.assumptions.items() if not known.confirmed]
    if open_ones:
        told = [f"{name}: {subject.truss.assumptions[name].what.rstrip('.')}" for name in open_ones[:FEW]]
        told += [f"and {len(open_ones) - FEW} more"] if len(open_ones) > FEW else []
        yield Finding(
            code="unconfirmed",
            level="query",
            where=tuple(pointer("assumptions", name) for name in open_ones),
            says=f"{counted(len(open_ones), 'assumption')} that nobody has confirmed. {'; '.join(told)}.",
            do="Confirm each by survey, with initials and date in `confirmed`, or correct it.",
            evidence={"assumptions": [*open_ones]},
        )


def _holds_sideways(support: Support) -> bool:
    return "x" in support.holds or "x" in support.springs
