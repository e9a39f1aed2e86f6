"""Reading scored on drawings by a third hand: eight families, two styles, three to six blunders at once.

Set TRUSSIO_THIRD_HAND to a number for a longer run by hand: so many times as many drawings.
"""

from __future__ import annotations

import os
import sys
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.faulty.scoring import Score, scored
from tests.faulty.truth import truth_of
from tests.thirdhand.blunders import BLUNDERS, RIVALS
from tests.thirdhand.drawer import board, saved
from tests.thirdhand.shapes import SHAPES
from trussio.drawing.reading import read_drawing

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tests.faulty.truth import Handling, Truth
    from tests.thirdhand.drawer import Style

TIMES = int(os.environ.get("TRUSSIO_THIRD_HAND", "1"))
STRICTNESS = {"silent": 0, "report": 0, "ask": 1, "refuse": 2}


def drawn(seed: int, style: Style, least: int = 3, most: int = 6) -> tuple[bytes, Truth, Handling, str]:
    """A drawing, its truth, how it is to be handled, and what it is."""
    rng = Random(f"third {seed} {style}")  # noqa: S311  # not for secrets
    shape = sorted(SHAPES)[seed % len(SHAPES)]
    plan = SHAPES[shape](rng)
    made = board(plan, rng, style)
    chosen = rng.sample(BLUNDERS, rng.randint(least, most))
    barred = {one for rivals in RIVALS for one in [two for two in chosen if two in rivals][1:]}
    kept = [one for one in BLUNDERS if one in chosen and one not in barred]
    found = {one.__name__: handling for one in kept if (handling := one(made)) is not None}
    worst: Handling = max(found.values(), key=lambda one: STRICTNESS[one], default="silent")
    return saved(made), truth_of(plan), worst, ", ".join((shape, style, *found))


def share(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found)


@pytest.mark.parametrize("style", ["single", "double"])
def test_a_drawing_by_the_third_hand_without_a_blunder_is_read_whole(style: Style) -> None:
    for seed in range(len(SHAPES)):
        data, truth, _, what = drawn(seed, style, 0, 0)
        score = scored(lambda data=data: read_drawing(data), truth)  # type: ignore[misc]  # bound while it is called
        assert (score.joints, score.segments, score.roles, score.sizes) == (1, 1, 1, 1), what
        assert score.handling != "ask", what


@pytest.mark.parametrize(("style", "least"), [("single", 0.98), ("double", 0.95)])
def test_mixtures_by_the_third_hand_are_read_right_or_asked_about(style: Style, least: float) -> None:
    scores: list[tuple[Score, Handling]] = []
    for seed in range(32 * TIMES):
        data, truth, handling, what = drawn(seed, style)
        score = scored(lambda data=data: read_drawing(data), truth)  # type: ignore[misc]  # bound while it is called
        scores.append((score, handling))
        if score.segments < 1 or score.quiet or STRICTNESS[score.handling] != STRICTNESS[handling]:
            sys.stdout.write(f"  {seed} {what} ({handling}): {score}\n")
    figures = {
        "joints": share(score.joints for score, _ in scores),
        "segments": share(score.segments for score, _ in scores),
        "roles": share(score.roles for score, _ in scores),
        "sizes": share(score.sizes for score, _ in scores),
        "handled": share(STRICTNESS[score.handling] == STRICTNESS[right] for score, right in scores),
        "aloud": share(not score.quiet for score, _ in scores),
    }
    sys.stdout.write(f"{style}: {len(scores)} drawings, {figures}\n")
    assert min(figures["joints"], figures["segments"]) >= least
    assert min(figures["roles"], figures["sizes"]) >= 0.97
    assert figures["handled"] >= 0.9
    assert figures["aloud"] >= 0.98
