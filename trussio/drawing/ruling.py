"""Rules on the length of a drawing unit where the user has not: header, dimension texts, what trusses measure.

Terms: a *witness* is a dimension text; the *voice* of the witnesses is the unit on which most of those that state
one agree; *strain* is how far a unit puts span and letters outside what they can measure.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log
from typing import TYPE_CHECKING, Final, Literal

from trussio.drawing.drawing_units import same, settling, unit_name, unit_phrase
from trussio.drawing.plausibility import INCHES, METRIC_SCALES, PLOT_SCALES, Evidence, likeliest, strain
from trussio.drawing.witnesses import consensus
from trussio.model.change import Question
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from trussio.drawing.witnesses import Witness

DOUBTFUL: Final = log(2)
"""Strain beyond which a unit is doubted, and by which another must be better."""
TWO: Final = 2
"""Dimensions that must agree before they overrule a header."""
FACTORS: Final = (MM_PER_INCH, 1 / MM_PER_INCH, 12.0, 1 / 12, 304.8, 1 / 304.8, 1000.0, 0.001, 24.0, 48.0, 96.0)
"""By which drawings are scaled in error, or on purpose."""

RestsOn = Literal["the user", "the header", "dimensions", "plausibility"]


@dataclass(frozen=True, kw_only=True)
class Case:
    """What is known of a drawing's scale: witnesses that state a unit, those of bare numbers, and the sizes."""

    header: float | None
    with_unit: tuple[Witness, ...]
    bare: tuple[Witness, ...]
    evidence: Evidence
    voice: tuple[float, int] | None

    @property
    def all(self) -> tuple[Witness, ...]:
        """Every witness."""
        return (*self.with_unit, *self.bare)


@dataclass(frozen=True, kw_only=True)
class Ruling:
    """A unit in inches, on what it rests, the reason, and what must be asked."""

    inches: float
    rests_on: RestsOn
    because: str
    questions: tuple[Question, ...] = ()


def by_header(case: Case, header: float) -> Ruling:
    """The header's unit, unless dimension texts or the size of the whole contradict it."""
    name = unit_name(header)
    agree = sum(witness.agrees(header) for witness in case.with_unit)
    if case.voice is not None and agree < case.voice[1] and not same(case.voice[0], header):
        factor, support = case.voice
        better = strain(header, case.evidence) - strain(factor, case.evidence)
        if (support >= TWO and support > agree) or (not agree and better > DOUBTFUL):
            return _overruled(case, header, factor, f"{support} of {len(case.with_unit)} dimension texts")
    ratio = consensus(case.bare, (1.0, *map(float, PLOT_SCALES), *map(float, METRIC_SCALES)))
    if (
        not agree
        and ratio is not None
        and ratio[1] >= TWO
        and not same(ratio[0], 1.0)
        and not _shows(case, header)
    ):
        factor = header * ratio[0]
        return _overruled(case, header, factor, f"{ratio[1]} of {len(case.bare)} dimension texts")
    if not agree and strain(header, case.evidence) > DOUBTFUL:
        best = _likelier(case, header)
        if strain(best, case.evidence) < strain(header, case.evidence) - DOUBTFUL:
            return _implausible(case, header, best)
    heard = f", and {agree} of {len(case.with_unit)} dimension texts agree" if case.with_unit else ""
    return Ruling(inches=header, rests_on="the header", because=f"the header says {name}{heard}")


def without_header(case: Case) -> Ruling:
    """The unit that dimension texts state, or the likeliest one with a question."""
    guess = likeliest(case.evidence)
    if case.voice is not None:
        factor, support = case.voice
        because = f"the header gives no unit; {support} of {len(case.with_unit)} dimension texts say so"
        plain = any(same(factor, unit) for unit in INCHES.values())
        sure = support >= max(TWO, len(case.with_unit) / 2) or (
            support == len(case.with_unit) and strain(factor, case.evidence) < DOUBTFUL
        )
        asked = () if plain and sure else (_which_unit(factor, because),)
        return Ruling(inches=factor, rests_on="dimensions", because=because, questions=asked)
    ratio = consensus(case.bare, (1.0, *map(float, PLOT_SCALES), *map(float, METRIC_SCALES)))
    times = ratio[0] if ratio is not None and ratio[1] >= TWO and not same(ratio[0], 1.0) else 1.0
    if times != 1.0:
        guess = likeliest(scaled(case.evidence, times))
    inches = INCHES[guess] * times
    because = f"the header gives no unit; {unit_phrase(inches)} is likeliest by {_sizes(case, inches)}"
    return Ruling(
        inches=inches,
        rests_on="plausibility",
        because=because,
        questions=(_which_unit(inches, because),),
    )


def _overruled(case: Case, header: float, factor: float, who: str) -> Ruling:
    name, said = unit_phrase(factor), unit_phrase(header)
    question = Question(
        code="unit-contradicted",
        asks=f"The header says that a drawing unit is {said}; {who} say {name}, {factor / header:.6g} times "
        f"that. Which holds? {_sizes(case, factor).capitalize()} with the texts, {_sizes(case, header)} with the "
        "header.",
        taken=name,
        settle=settling(factor),
    )
    because = f"{who} say so against {said} in the header"
    return Ruling(inches=factor, rests_on="dimensions", because=because, questions=(question,))


def _implausible(case: Case, header: float, best: float) -> Ruling:
    name, said = unit_phrase(best), unit_phrase(header)
    question = Question(
        code="unit-implausible",
        asks=f"The header says that a drawing unit is {said}, which gives {_sizes(case, header)}. "
        f"Is it {name}, which gives {_sizes(case, best)}?",
        taken=name,
        settle=settling(best),
    )
    because = f"{_sizes(case, best)} is likelier than {_sizes(case, header)}, as the header's {said} would give"
    return Ruling(inches=best, rests_on="plausibility", because=because, questions=(question,))


def _which_unit(inches: float, because: str) -> Question:
    return Question(
        code="which-unit",
        asks=f"Which length is one drawing unit? {because[0].upper()}{because[1:]}.",
        taken=unit_phrase(inches),
        settle=settling(inches),
    )


def _likelier(case: Case, header: float) -> float:
    """The unit that strains least: a plain one, or the header's scaled as drawings are scaled in error."""
    candidates = (*INCHES.values(), *(header * factor for factor in FACTORS))
    return min(candidates, key=lambda unit: (round(strain(unit, case.evidence), 1), candidates.index(unit)))


def _shows(case: Case, header: float) -> bool:
    """Whether most bare numbers fit the header after all, in another unit of their own."""
    return 2 * sum(witness.agrees(header) for witness in case.bare) > len(case.bare)


def _sizes(case: Case, inches: float) -> str:
    """What a unit makes of the drawing, in words."""
    parts = []
    if case.evidence.span:
        parts.append(f"a drawing {case.evidence.span * inches / 12:.3g} ft wide")
    if case.evidence.letters:
        parts.append(f"letters {case.evidence.letters * inches:.2g} in high")
    return " and ".join(parts) or "nothing to measure"


def scaled(evidence: Evidence, scale: float) -> Evidence:
    """What was measured, as so many times longer."""
    return Evidence(
        span=None if evidence.span is None else evidence.span * scale,
        letters=None if evidence.letters is None else evidence.letters * scale,
        metric=evidence.metric,
    )
