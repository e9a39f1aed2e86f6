"""Settles which length one drawing unit is, and says on what that rests.

In this order: the user's word; the header, unless dimension texts or the size of the whole contradict it;
dimension texts against measured geometry; what a truss can measure. Every text that disagrees with the result is
asked about with both numbers. A header without a unit and no dimension to tell is a question with the likeliest
unit taken.
"""

from __future__ import annotations

from dataclasses import replace
from math import isfinite
from typing import TYPE_CHECKING

from trussio.drawing.drawing_units import SURVEY_FOOT, header_inches, inches_said, unit_name, unit_phrase
from trussio.drawing.plausibility import INCHES, likeliest
from trussio.drawing.records import Scale
from trussio.drawing.ruling import TWO, Case, Ruling, by_header, scaled, without_header
from trussio.drawing.sizing_up import size_up
from trussio.drawing.witness_accounts import compared
from trussio.drawing.witnesses import consensus, exploded_witnesses, known_inches, witnesses_of
from trussio.errors import UnreadableError, UsageError

if TYPE_CHECKING:
    from trussio.drawing.records import Linework
    from trussio.drawing.witnesses import Witness


def find_scale(
    linework: Linework, *, units: str | None = None, scale: float | None = None, answered: str | None = None
) -> Scale:
    """The length of one drawing unit.

    `units` is the user's word for it (`in`, `ft`, `mm`, `cm`, `m`, `us-survey-foot`, or `in at 1:24`), `scale` how
    many times longer the real thing is than drawn (24 for half an inch to the foot). `answered` is what an answers
    file says to the question `which-unit`, `unit-contradicted` or `unit-implausible`, heard where one is asked;
    the question stands beside it, with the answer as what was taken, so that both can be recorded.

    Raises UsageError `unknown-unit` or `bad-scale`, UnreadableError `survey-foot`.
    """
    _check(scale)
    if linework.header.insunits == SURVEY_FOOT and units is None:
        raise UnreadableError(
            "survey-foot",
            where=linework.name,
            what="The header says US survey feet, which no building is drawn in.",
            do="Say which unit it is: --units ft, or --units us-survey-foot where that is meant.",
        )
    case = _case(linework)
    if units is not None or scale is not None:
        ruling = _by_user(case, units, scale)
    elif case.header is not None:
        ruling = by_header(case, case.header)
    else:
        ruling = without_header(case)
    if answered is not None and ruling.questions:
        ruling = _as_answered(ruling, answered)
    changes, questions = compared(case.all, ruling.inches, asked=ruling.rests_on != "the user")
    return Scale(
        inches=ruling.inches,
        unit=unit_name(ruling.inches),
        rests_on=ruling.rests_on,
        says=f"1 drawing unit is {unit_phrase(ruling.inches)}: {ruling.because}.",
        changes=changes,
        questions=(*ruling.questions, *questions),
    )


def _check(scale: float | None) -> None:
    if scale is not None and not (isfinite(scale) and scale > 0):
        raise UsageError(
            "bad-scale",
            where=f"{scale:g}",
            what="A scale is a number above zero.",
            do="Give how many times longer the real thing is than drawn, such as 24.",
        )


def _as_answered(ruling: Ruling, answered: str) -> Ruling:
    """What an answer settles, the question kept with it."""
    inches = inches_said(answered)
    asked = tuple(replace(question, taken=unit_phrase(inches)) for question in ruling.questions)
    return Ruling(inches=inches, rests_on="the user", because=f"the answer is {answered}", questions=asked)


def _case(linework: Linework) -> Case:
    heard = witnesses_of(linework)
    with_unit = tuple(witness for witness in heard if witness.stated.inches is not None)
    bare = tuple(witness for witness in heard if witness.stated.inches is None)
    if not heard:
        with_unit = _agreeing(exploded_witnesses(linework))
    return Case(
        header=header_inches(linework.header.insunits),
        with_unit=with_unit,
        bare=bare,
        evidence=size_up(linework),
        voice=consensus(with_unit, known_inches()),
    )


def _agreeing(witnesses: tuple[Witness, ...]) -> tuple[Witness, ...]:
    """Exploded dimension texts are heard only where two of them, and most, agree on a common factor."""
    voice = consensus(witnesses, known_inches())
    if voice is None or voice[1] < max(TWO, len(witnesses) / 2) or voice[0] not in known_inches():
        return ()
    return witnesses


def _by_user(case: Case, units: str | None, scale: float | None) -> Ruling:
    if units is not None:
        base, said = inches_said(units), f"the user says {units}"
        if case.header not in {None, base}:
            said += f", against the header, which says {unit_name(case.header)}"
    elif case.header is not None:
        base, said = case.header, f"the header says {unit_name(case.header)}"
    else:
        guess = INCHES[likeliest(scaled(case.evidence, scale or 1.0))]
        base, said = guess, f"the header gives no unit and {unit_name(guess)} is likeliest"
    times = "" if scale is None else f", and the user says drawn at 1:{scale:g}"
    return Ruling(inches=base * (scale or 1.0), rests_on="the user", because=f"{said}{times}")
