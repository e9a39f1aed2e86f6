"""Says how dimension texts fare under the unit that was settled, each misfit with both numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.drawing.feet_inches import write_feet_inches
from trussio.drawing.witnesses import consensus
from trussio.model.change import Change, Question
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.witnesses import Witness

MOST_TOLD: Final = 20
ALIKE: Final = 2
"""Texts that must differ by one factor before it is told as one."""


def compared(
    witnesses: Sequence[Witness], inches: float, *, asked: bool
) -> tuple[tuple[Change, ...], tuple[Question, ...]]:
    """What agrees, and each text that does not with both numbers.

    A dimension that differs is a question. A text that is no dimension object is reported, and so are texts that
    all differ by one factor where the user has settled the scale (`asked` is False).
    """
    if not witnesses:
        return (), ()
    misfits = [witness for witness in witnesses if not witness.agrees(inches)]
    changes = [_summary(witnesses, misfits), *_bare_marks(witnesses)]
    factor = _one_factor(misfits, witnesses, inches)
    if factor is not None and not asked:
        says = f"All dimension texts are {factor:.6g} times what the drawing measures at the scale that was given."
        return (*changes, Change(kind="scale-differs", says=says, handles=_handles(misfits))), ()
    changes += [_told(witness, inches) for witness in misfits if witness.exploded][:MOST_TOLD]
    dimensions = [witness for witness in misfits if not witness.exploded]
    questions = [_question(witness, inches) for witness in dimensions[:MOST_TOLD]]
    if len(dimensions) > MOST_TOLD:
        questions.append(_rest(dimensions[MOST_TOLD:]))
    return tuple(changes), tuple(questions)


def _summary(witnesses: Sequence[Witness], misfits: Sequence[Witness]) -> Change:
    agree = len(witnesses) - len(misfits)
    says = f"{len(witnesses)} dimension texts compared with the drawing: {agree} agree, {len(misfits)} do not."
    return Change(kind="dimensions-compared", says=says, handles=_handles(witnesses))


def _bare_marks(witnesses: Sequence[Witness]) -> list[Change]:
    bare = [witness for witness in witnesses if witness.stated.bare]
    if not bare:
        return []
    says = f"Texts like {bare[0].says!r}, without foot and inch marks, were read as feet and inches."
    return [Change(kind="bare-feet-inches", says=says, where=bare[0].where, handles=_handles(bare))]


def _one_factor(misfits: Sequence[Witness], witnesses: Sequence[Witness], inches: float) -> float | None:
    """The factor by which all texts differ, None where they do not."""
    stated = [witness for witness in misfits if witness.stated.inches is not None]
    if len(misfits) < len(witnesses) or len(stated) < ALIKE:
        return None
    voice = consensus(stated, ())
    return voice[0] / inches if voice is not None and voice[1] == len(stated) else None


def _told(witness: Witness, inches: float) -> Change:
    return Change(
        kind="dimension-text-differs",
        says=f"{_both(witness, inches)} The text is no dimension, so it is left aside.",
        where=witness.where,
        handles=(witness.handle,),
    )


def _question(witness: Witness, inches: float) -> Question:
    return Question(
        code="dimension-disagrees",
        asks=f"{_both(witness, inches)} Which is right?",
        taken="the drawing",
        settle="Correct the drawing, or answer the drawing in the answers file where the text is wrong.",
        where=witness.where,
        handles=(witness.handle,),
    )


def _rest(misfits: Sequence[Witness]) -> Question:
    return Question(
        code="dimension-disagrees",
        asks=f"{len(misfits)} more dimensions say other lengths than the drawing measures. Which are right?",
        taken="the drawing",
        settle="Correct the drawing, or answer the drawing in the answers file where the texts are wrong.",
        handles=_handles(misfits),
    )


def _both(witness: Witness, inches: float) -> str:
    """Both numbers, in the unit of the text."""
    real, stated = witness.measured * inches, witness.stated
    says = " ".join(witness.says.split())
    if stated.inches is None:
        return f"Dimension {witness.handle} says {says} where the drawing measures {witness.measured:.6g} units."
    if stated.metric:
        mm = f"{stated.inches * MM_PER_INCH:.6g} mm", f"{real * MM_PER_INCH:.6g} mm"
    else:
        mm = f"{stated.inches:.6g} in", f"{write_feet_inches(real)} ({real:.6g} in)"
    return f"Dimension {witness.handle} says {says} ({mm[0]}) where the drawing measures {mm[1]}."


def _handles(witnesses: Sequence[Witness]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(witness.handle for witness in witnesses))[:MOST_TOLD]
