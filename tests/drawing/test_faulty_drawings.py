"""Reading scored on faulty drawings of known truth, a small sample of them.

Set TRUSSIO_FAULTY_SEEDS to a number for a longer run by hand: so many drawings of each fault and 40 times as many
mixtures, for either style (`TRUSSIO_FAULTY_SEEDS=20 pytest tests/drawing/test_faulty_drawings.py -s`).
"""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

import pytest

from tests.drawings import drawn, faults_of, mixed
from tests.faulty.scoring import Score, scored
from trussio.drawing.reading import read_drawing

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tests.drawings import Drawn
    from tests.faulty.sheets import Style

SEEDS = int(os.environ.get("TRUSSIO_FAULTY_SEEDS", "1"))
MIXTURES = 40 * SEEDS
STRICTNESS = {"silent": 0, "report": 0, "ask": 1, "refuse": 2}


def share(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found)


def score_of(drawing: Drawn) -> Score:
    return scored(lambda: read_drawing(drawing.data), drawing.truth)


@pytest.mark.parametrize("style", ["single", "double"])
def test_a_sound_drawing_is_read_whole_and_asks_nothing(style: Style) -> None:
    for seed in range(6 * SEEDS):
        drawing = drawn(seed, style)
        assert drawing is not None
        score = score_of(drawing)
        assert (score.joints, score.segments, score.roles, score.sizes) == (1, 1, 1, 1), seed
        assert score.handling != "ask", seed


@pytest.mark.parametrize(("style", "least"), [("single", 0.98), ("double", 0.95)])
def test_each_fault_alone_is_read_right_or_asked_about(style: Style, least: float) -> None:
    pairs = [
        (drawing, score_of(drawing))
        for fault in faults_of(style)
        for seed in range(SEEDS)
        if (drawing := drawn(seed, style, fault)) is not None
    ]
    report(f"{style}, alone", pairs)
    assert len(pairs) >= 0.9 * SEEDS * len(faults_of(style))
    check(pairs, least)


@pytest.mark.parametrize(("style", "least"), [("single", 0.98), ("double", 0.95)])
def test_faults_in_mixtures_are_read_right_or_asked_about(style: Style, least: float) -> None:
    pairs = [
        (drawing, score_of(drawing)) for seed in range(MIXTURES) if (drawing := mixed(seed, style)) is not None
    ]
    report(f"{style}, mixed", pairs)
    assert len(pairs) >= 0.9 * MIXTURES
    check(pairs, least - 0.02)


def test_a_score_falls_where_a_joint_is_missing() -> None:
    drawing = drawn(0, "single")
    assert drawing is not None
    drawing.truth.joints.append((10.0, 500.0))
    score = score_of(drawing)
    assert score.joints < 1
    assert score.quiet == (f"joint {len(drawing.truth.joints) - 1} missing at 10.0, 500.0",)


def check(pairs: list[tuple[Drawn, Score]], least: float) -> None:
    assert share(score.joints for _, score in pairs) >= least
    assert share(score.segments for _, score in pairs) >= least
    assert share(score.roles for _, score in pairs) >= 0.97
    assert share(score.sizes for _, score in pairs) >= 0.97
    assert share(handled(*pair) for pair in pairs) >= 0.9
    assert share(not score.quiet for _, score in pairs) >= 0.98


def handled(drawing: Drawn, score: Score) -> bool:
    return STRICTNESS[score.handling] == STRICTNESS[drawing.handling]


def report(title: str, pairs: list[tuple[Drawn, Score]]) -> None:
    sys.stdout.write(
        f"\n{title}: {len(pairs)} drawings, joints {share(s.joints for _, s in pairs):.4f}, "
        f"segments {share(s.segments for _, s in pairs):.4f}, roles {share(s.roles for _, s in pairs):.4f}, "
        f"sizes {share(s.sizes for _, s in pairs):.4f}, handling {share(handled(*p) for p in pairs):.4f}, "
        f"without a quiet error {share(not s.quiet for _, s in pairs):.4f}\n"
    )
    for drawing, score in pairs:
        if score.segments < 1 or score.quiet or not handled(drawing, score):
            sys.stdout.write(f"  {', '.join(drawing.names)}: {score}\n")
