"""The picture of a recheck: every segment marked by its difference, in words and frames."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.drawing import roofs
from trussio.drawing.quantities import Scale
from trussio.drawing.sheet import sheet
from trussio.drawing.sheet_differences import TO_SIGN, Worst, difference_text, worst_of
from trussio.model.check_record import CheckRecord, RunCheck, SegmentCheck
from trussio.model.loading import RunId
from trussio.model.truss import SegmentId

D, S = RunId("D"), RunId("S")
POST = SegmentId("post:B1-T2")
RIGHT = SegmentCheck(claimed=7000.0, rechecked=7000.0, difference=0.0, tolerance=1.0, verdict="agrees")
WRONG = replace(RIGHT, claimed=7500.0, difference=500.0, verdict="disagrees")
MISSING = replace(RIGHT, claimed=None, difference=None, verdict="disagrees")
KIPS = Scale("k", 1000.0, 2)


def run_check(**segments: SegmentCheck) -> RunCheck:
    return RunCheck(
        verdict="disagrees",
        says="",
        largest_difference=None,
        largest_at=None,
        residual=None,
        residual_at=None,
        segments={SegmentId(name.replace("__", ":").replace("_", "-")): one for name, one in segments.items()},
    )


def record(**runs: RunCheck) -> CheckRecord:
    return CheckRecord(
        model="sha256:" + "0" * 64,
        idealisation="pinned",
        state="found",
        compared="typed.csv",
        compared_digest=None,
        verdict="disagrees",
        says="1 of 2 runs compared disagrees: S.",
        runs={RunId(name): one for name, one in runs.items()},
        independent=(),
        not_rechecked=(),
    )


@pytest.mark.parametrize(
    ("one", "text"),
    [
        (None, "?"),
        (Worst(D, replace(RIGHT, verdict="cannot tell")), "?"),
        (Worst(D, RIGHT), "="),
        (Worst(S, WRONG), "+0.50 k in S"),
        (Worst(S, replace(WRONG, difference=-500.0)), "-0.50 k in S"),
        (Worst(S, replace(WRONG, difference=1.5)), "+0.0015 k in S"),
        (Worst(D, MISSING), "missing in D"),
    ],
)
def test_what_stands_on_a_segment(one: Worst | None, text: str) -> None:
    assert difference_text(one, KIPS) == text


@pytest.mark.parametrize(
    ("says", "first", "second", "run"),
    [
        ("the run that disagrees, though its difference is smaller", replace(RIGHT, tolerance=600.0), WRONG, S),
        ("what is missing before all", WRONG, MISSING, S),
        ("the first of two that are alike", RIGHT, RIGHT, D),
    ],
)
def test_the_worst_run_of_a_segment(says: str, first: SegmentCheck, second: SegmentCheck, run: RunId) -> None:
    made = record(D=run_check(post__B1_T2=first), S=run_check(post__B1_T2=second))
    assert worst_of(made)[POST].run == run, says


def test_the_picture_frames_what_differs_and_leaves_room_to_sign() -> None:
    roof = roofs.king_post()
    made = record(
        D=run_check(**{s.id.replace(":", "__").replace("-", "_"): RIGHT for s in roof.segments}),
        S=run_check(post__B1_T2=WRONG),
    )
    one = sheet(roof, digest=made.model, differences=made)
    texts = [label.text for label in one.labels]
    assert [label.text for label in one.labels if label.boxed] == ["+0.50 kN in S"]
    assert texts.count("=") == len(roof.segments) - 1
    assert "Verdict: disagrees." in texts
    assert any(text.split() == TO_SIGN.split() for text in texts)
    widths = {stroke.of: stroke.width for stroke in one.strokes if stroke.of in {s.id for s in roof.segments}}
    assert max(widths, key=lambda name: widths[name]) == POST


def test_what_no_run_compares_is_no_agreement() -> None:
    roof = roofs.king_post()
    one = sheet(roof, digest="sha256:0", differences=record(S=run_check(post__B1_T2=RIGHT)))
    assert [label.text for label in one.labels].count("?") == len(roof.segments) - 1
