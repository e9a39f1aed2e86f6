"""Reading scored on drawings by another hand, and on drawings that hold no truss: a small sample of them.

Set TRUSSIO_OTHER_HAND to a number for a longer run by hand: so many times as many drawings.
"""

from __future__ import annotations

import os
import sys
from io import StringIO
from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.faulty.scoring import Score, scored
from tests.faulty.truth import truth_of
from tests.otherhand.around import AROUND, SUPPORTS
from tests.otherhand.hand import draw, pen, saved, write_sizes
from tests.otherhand.roofs import ROOFS
from tests.otherhand.strangers import STRANGERS, drawing_of
from trussio.drawing.reading import read_drawing
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tests.faulty.truth import Truth
    from tests.otherhand.hand import Style

TIMES = int(os.environ.get("TRUSSIO_OTHER_HAND", "1"))


def drawn(seed: int, style: Style, around: Iterable[str] | None = None) -> tuple[bytes, Truth, str]:
    """A drawing, its truth, and what it is; up to four things stand around the truss, chosen by chance."""
    rng = Random(f"{seed}-{style}")  # noqa: S311  # not for secrets
    roof = rng.choice(list(ROOFS))
    plan = ROOFS[roof](rng)
    held = pen(plan, rng, style)
    draw(held)
    write_sizes(held)
    chosen = list(around) if around is not None else _some(rng)
    for name in chosen:
        AROUND[name](held)
    return saved(held, binary=rng.random() < 0.15), truth_of(plan), ", ".join((roof, *held.drawn, *chosen))


def _some(rng: Random) -> list[str]:
    chosen = rng.sample(list(AROUND), rng.randint(0, 4))
    supports = [name for name in chosen if name in SUPPORTS]
    return [name for name in chosen if name not in supports[1:]]


def share(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found)


def score_of(data: bytes, truth: Truth) -> Score:
    return scored(lambda: read_drawing(data), truth)


@pytest.mark.parametrize(("style", "least"), [("single", 0.98), ("double", 0.95)])
def test_drawings_by_another_hand_are_read_right(style: Style, least: float) -> None:
    scores = []
    for seed in range(30 * TIMES):
        data, truth, what = drawn(seed, style)
        score = score_of(data, truth)
        scores.append(score)
        if score.segments < 1 or score.sizes < 1 or score.quiet:
            sys.stdout.write(f"  {seed} {what}: {score}\n")
    assert share(score.joints for score in scores) >= least
    assert share(score.segments for score in scores) >= least
    assert share(score.roles for score in scores) >= least
    assert share(score.sizes for score in scores) >= least
    assert share(not score.quiet for score in scores) >= 0.98


@pytest.mark.parametrize("support", SUPPORTS)
@pytest.mark.parametrize("style", ["single", "double"])
def test_what_a_truss_stands_on_is_no_part_of_it(style: Style, support: str) -> None:
    for seed in range(2 * TIMES):
        data, truth, what = drawn(seed, style, [support])
        score = score_of(data, truth)
        assert (score.joints, score.segments) == (1, 1), what
        assert score.handling == "ask", what


@pytest.mark.parametrize("kind", STRANGERS)
def test_no_truss_is_invented(kind: str) -> None:
    for seed in range(4 * TIMES):
        stream = StringIO()
        drawing_of(Random(f"{kind}-{seed}"), kind).write(stream)  # noqa: S311  # not for secrets
        with pytest.raises(UnreadableError) as refusal:
            read_drawing(stream.getvalue().encode())
        assert refusal.value.code in {"no-truss", "linework-too-dense"}, seed
