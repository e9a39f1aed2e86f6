"""Healing at its limits: what is silent, told, asked about and left, and that healing twice changes nothing."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import numpy as np
import pytest

from trussio.drawing.answers import NO_ANSWERS, Answer, Answers
from trussio.drawing.heal.axes import Axes
from trussio.drawing.heal.bends import bends_asked
from trussio.drawing.heal.clusters import clustered
from trussio.drawing.heal.ends import tied_ends
from trussio.drawing.heal.joining import joined_sticks
from trussio.drawing.heal.reach import Reach, reach_of
from trussio.drawing.heal.steps import healed
from trussio.drawing.heal.wide_joins import joined_wide

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.heal.steps import Healed

Line = tuple[float, float, float, float]
REACH = Reach(noise=1e-9, silent=1 / 64, report=1.0, ask=6.0, inch=1.0)


def axes_from(lines: Sequence[Line], arcs: Sequence[tuple[float, ...]] = ()) -> Axes:
    """Straight axes, and arcs as first x, y, last x, y, centre x, y, sweep."""
    count = len(lines) + len(arcs)
    ends = np.array([*lines, *(arc[:4] for arc in arcs)], dtype=float)
    centre = np.array([*((np.nan, np.nan) for _ in lines), *(arc[4:6] for arc in arcs)], dtype=float)
    return Axes(
        first=ends[:, :2],
        last=ends[:, 2:],
        centre=centre,
        radius=np.array([np.inf] * len(lines) + [float(np.hypot(a[0] - a[4], a[1] - a[5])) for a in arcs]),
        sweep=np.array([0.0] * len(lines) + [arc[6] for arc in arcs]),
        depth=np.full(count, np.nan),
        residual=np.zeros(count),
        row=np.arange(count),
        handles=tuple((f"{number:X}",) for number in range(count)),
    )


def heal(lines: Sequence[Line], arcs: Sequence[tuple[float, ...]] = ()) -> Healed:
    net, _ = tied_ends(axes_from(lines, arcs), REACH)
    return healed(net, REACH)


def kinds(made: Healed) -> list[str]:
    return [change.kind for change in made.changes]


CHORD: Line = (0.0, 0.0, 240.0, 0.0)


@pytest.mark.parametrize(
    ("gap", "kind"),
    [
        (0.0, None),
        (1 / 64, "end-tied"),
        (1 / 64 + 1e-6, "end-extended"),
        (1.0, "end-extended"),
        (1.0 + 1e-6, None),
    ],
)
def test_a_web_that_stops_short_of_a_chord(gap: float, kind: str | None) -> None:
    """Silent up to 1/64 in, told up to the report distance, left for the surveyor beyond it."""
    made = heal([CHORD, (120.0, gap, 120.0, 60.0)])
    assert kinds(made) == ([] if kind is None else [kind])
    joined = made.contacts.node.size == 1
    assert joined == (gap <= 1.0)
    if kind == "end-extended":
        assert made.changes[0].distance == pytest.approx(gap)
        assert made.changes[0].handles == ("1",)
        assert made.changes[0].says == (
            f"An end stopped {gap:.3g} in short of the line that it meets and was extended."
        )


@pytest.mark.parametrize("past", [0.5, 1.0])
def test_a_web_that_runs_past_a_chord_is_trimmed(past: float) -> None:
    made = heal([CHORD, (120.0, -past, 120.0, 60.0)])
    assert kinds(made) == ["overshoot-trimmed"]
    assert made.net.nodes[made.contacts.node].tolist() == [[120.0, 0.0]]


def test_a_slanting_web_is_extended_along_itself_not_dropped_sideways() -> None:
    made = heal([CHORD, (120.5, 0.5, 180.0, 60.0)])
    assert made.net.nodes[made.contacts.node][0] == pytest.approx([120.0, 0.0])


def test_a_gap_to_a_curve_is_measured_to_the_true_curve() -> None:
    # A chord of the arc stands 1.5 in off it at its middle; the web ends on the arc itself.
    radius = 723.0
    half = np.arcsin(47.0 / radius)
    ends = (-47.0, radius * np.cos(half), 47.0, radius * np.cos(half))
    made = heal([(0.0, radius, 0.0, radius - 96.0)], [(*ends, 0.0, 0.0, -2 * half)])
    assert made.contacts.node.size == 1
    assert made.changes == ()


def test_two_ends_that_are_near_a_third_do_not_become_one_with_each_other() -> None:
    points = np.array([[0.0, 0.0], [0.7, 0.0], [1.4, 0.0]])
    numbers = clustered(points, 1.0)
    assert len(set(numbers.tolist())) == 2
    assert numbers[0] == numbers[1] or numbers[1] == numbers[2]


def test_a_crossing_is_no_joint() -> None:
    made = heal([(0.0, 0.0, 100.0, 100.0), (0.0, 100.0, 100.0, 0.0)])
    assert made.contacts.node.size == 0
    assert made.changes == ()


def test_lines_drawn_twice_are_kept_once_with_both_handles() -> None:
    made = heal([CHORD, (240.0, 0.0, 0.0, 0.0)])
    assert kinds(made) == ["duplicate-dropped"]
    assert made.net.axes.handles == (("0", "1"),)


def test_collinear_lines_that_overlap_become_one_and_the_lap_is_told() -> None:
    made = heal([(0.0, 0.0, 150.0, 0.0), (120.0, 0.0, 240.0, 0.0), (60.0, 0.0, 60.0, 50.0)])
    assert kinds(made) == ["overlap-merged"]
    assert made.changes[0].distance == pytest.approx(30.0)
    assert made.net.axes.lengths.max() == pytest.approx(240.0)


def test_a_line_of_no_length_and_a_speck_at_a_joint_are_dropped() -> None:
    made = heal([CHORD, (240.0, 0.0, 240.0, 60.0), (240.0, 0.0, 240.0, 0.0), (240.0, 0.0, 240.03, 0.02)])
    assert sorted(kinds(made)) == ["end-joined", "speck-dropped", "zero-length-dropped"]
    assert len(made.net.axes) == 2


def test_facets_of_a_circle_become_one_arc_with_its_radius() -> None:
    turn = np.linspace(0.4, -0.4, 31)
    spots = 700.0 * np.column_stack((np.sin(-turn), np.cos(turn)))
    made = heal([(*a, *b) for a, b in zip(spots[:-1].tolist(), spots[1:].tolist(), strict=True)])
    assert kinds(made) == ["facets-fitted"]
    assert len(made.net.axes) == 1
    assert made.net.axes.radius[0] == pytest.approx(700.0)


def test_a_chord_straight_between_panel_points_stays_straight() -> None:
    turn = np.linspace(0.4, -0.4, 9)
    spots = 700.0 * np.column_stack((np.sin(-turn), np.cos(turn)))
    chord = [(*a, *b) for a, b in zip(spots[:-1].tolist(), spots[1:].tolist(), strict=True)]
    webs = [(x, y, x, 500.0) for x, y in spots[1:-1].tolist()]
    assert heal([*chord, *webs]).net.axes.straight.all()


def test_pieces_of_one_line_are_one_stick_and_the_node_between_them_dissolves() -> None:
    made = heal([(0.0, 0.0, 100.0, 0.0), (240.0, 0.0, 100.0, 0.0), (60.0, 0.0, 60.0, 50.0)])
    sticks, dissolved = joined_sticks(made.net, made.contacts, REACH)
    assert len(sticks) == 2
    assert [change.kind for change in dissolved] == ["pseudo-node-dissolved"]


@pytest.mark.parametrize(
    ("rise", "kinds_told", "asked"),
    [
        pytest.param(0.0, {"pseudo-node-dissolved"}, False, id="one line"),
        pytest.param(0.07, {"bends-passed-over"}, False, id="over 1/64 in off is told"),
        pytest.param(36.0, {"bends-passed-over"}, True, id="a parabola of 3 ft: 8.6 in off"),
    ],
)
def test_bends_between_joints_are_passed_over_aloud(rise: float, kinds_told: set[str], *, asked: bool) -> None:
    """A parabola of 20 ft in 200 facets with a post in the middle; off its chords by rise / 4, square to them."""
    x = np.linspace(0.0, 240.0, 201)
    spots = np.column_stack((x, 4 * rise * x * (240 - x) / 240**2))
    facets = [(*a, *b) for a, b in zip(spots[:-1].tolist(), spots[1:].tolist(), strict=True)]
    made = heal([*facets, (120.0, rise, 120.0, -50.0)])
    sticks, told = joined_sticks(made.net, made.contacts, REACH)
    assert len(sticks) == 2
    assert {change.kind for change in told} == kinds_told
    assert max(change.distance or 0 for change in told) == pytest.approx(rise / 4 / np.hypot(1, rise / 120))
    questions = bends_asked(told, REACH, NO_ANSWERS)
    assert [one.taken for one in questions] == (["straight"] if asked else [])


@pytest.mark.parametrize(("gap", "asked"), [(1.0 + 1e-6, True), (4.0, True), (6.0, True), (6.0 + 1e-6, False)])
def test_a_wide_gap_is_asked_about_up_to_the_ask_distance(gap: float, *, asked: bool) -> None:
    """Beyond it the end is free."""
    frame = [CHORD, (0.0, 0.0, 120.0, 80.0), (240.0, 0.0, 120.0, 80.0), (120.0, gap, 120.0, 80.0)]
    made = heal(frame)
    depths = np.full(4, np.nan)
    _, contacts, changes, questions = joined_wide(made.net, made.contacts, depths, REACH, NO_ANSWERS)
    assert [question.code for question in questions] == (["gap-wide"] if asked else [])
    assert contacts.node.size == int(asked)
    assert changes == []


def test_an_answer_leaves_a_wide_gap_open() -> None:
    made = heal([CHORD, (0.0, 0.0, 120.0, 80.0), (240.0, 0.0, 120.0, 80.0), (120.0, 4.0, 120.0, 80.0)])
    answers = Answers(name="a", entries=(Answer(code="gap-wide", answer="leave", author="A B", handles=("3",)),))
    _, contacts, _, questions = joined_wide(made.net, made.contacts, np.full(4, np.nan), REACH, answers)
    assert contacts.node.size == 0
    assert questions[0].settle == "Answer join or leave in the answers file."


def test_an_end_trimmed_at_the_edge_of_a_chord_is_extended_and_told() -> None:
    made = heal([CHORD, (0.0, 0.0, 120.0, 80.0), (240.0, 0.0, 120.0, 80.0), (120.0, 4.5, 120.0, 80.0)])
    depths = np.array([9.5, np.nan, np.nan, np.nan])
    _, contacts, changes, questions = joined_wide(made.net, made.contacts, depths, REACH, NO_ANSWERS)
    assert [change.kind for change in changes] == ["end-extended"]
    assert questions == []
    assert contacts.node.size == 1


@pytest.mark.parametrize("seed", range(8))
def test_healing_twice_changes_nothing_the_second_time(seed: int) -> None:
    rng = Random(seed)  # noqa: S311  # not for secrets

    def off() -> float:
        return rng.choice((0.0, rng.uniform(-0.3, 0.3)))

    spots = [(40.0 * i, 0.0) for i in range(7)]
    lines: list[Line] = [CHORD, (0.0, 48.0, 240.0, 48.0)]
    lines += [(x + off(), off(), x + off(), 48.0 + off()) for x, _ in spots]
    lines += [(40.0 * i + off(), off(), 40.0 * i + 40.0 + off(), 48.0 + off()) for i in range(6)]
    once = heal(lines)
    again, tied = tied_ends(once.net.axes, REACH)
    twice = healed(again, REACH)
    assert tied == []
    assert twice.changes == ()
    assert len(twice.net.axes) == len(once.net.axes)


def test_distances_hang_on_depths_and_members() -> None:
    axes = axes_from([(0.0, 0.0, 240.0, 0.0), (0.0, 0.0, 0.0, 12.0)])
    assert reach_of(axes, inch=1.0).report == pytest.approx(0.6)
    assert reach_of(axes, inch=1.0, depths=[2.0, 3.5]).report == pytest.approx(0.5)
    assert reach_of(axes, inch=1.0, depths=[2.0, 3.5]).ask == pytest.approx(3.5)
    assert reach_of(axes, inch=25.4).silent == pytest.approx(25.4 / 64)
