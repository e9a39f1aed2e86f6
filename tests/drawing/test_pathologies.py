"""The tick-off of all that as-built drawings are known to suffer from, and how a reader should treat each.

Every row of the table names a pathology by the number that the faults of `tests.faulty` and the cases of
`small_faults` carry, and the handlings that are right for it. Each of its handlings is held by a fault, by a case,
or by the test that the row names; one that nothing holds fails here.
"""

from __future__ import annotations

import ast
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

import pytest

from tests.drawing.drafting import saved
from tests.drawing.small_faults import SMALL_FAULTS, SMALL_JOINTS, SmallFault, truss
from tests.drawings import drawn
from tests.faulty.scoring import scored
from tests.faulty.truth import FAULTS
from trussio.drawing.reading import read_drawing
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from tests.faulty.truth import Fault, Handling

STRICTNESS: Final[dict[Handling, int]] = {"silent": 0, "report": 0, "ask": 1, "refuse": 2}
"""What is healed in silence is counted in the log all the same."""


class Pathology(NamedTuple):
    """One of the list: how it is treated, and a test that holds one of the handlings, as `ask:heal.a_test`."""

    number: int
    name: str
    handlings: str
    test: str = ""


PATHOLOGIES: Final = tuple(
    Pathology(*row)
    for row in (
        (1, "gap", "silent report ask"),
        (2, "gap along the member only", "report"),
        (3, "overshoot", "report ask"),
        (4, "chord drawn in one piece", "silent report", "report:heal.a_web_that_stops_short_of_a_chord"),
        (5, "web that ends on a curve", "report", "report:heal.a_gap_to_a_curve_is_measured_to_the_true_curve"),
        (6, "webs that miss each other on the chord", "report"),
        (7, "exact duplicate", "silent ask"),
        (8, "near duplicate", "silent"),
        (9, "overlapping lengths", "report"),
        (10, "pseudo-node", "silent"),
        (11, "crossing without a joint", "silent", "silent:heal.a_crossing_is_no_joint"),
        (12, "crossing with a joint", "report ask"),
        (13, "panel points on an arc joined by chords", "report"),
        (14, "zero-length line", "silent"),
        (15, "specks", "silent"),
        (16, "collapse by a coarse tolerance", "silent", "silent:heal.distances_hang_on_depths_and_members"),
        (17, "free end that is meant", "report"),
        (18, "disconnected parts", "report"),
        (19, "chord as one arc", "silent"),
        (20, "chord with bulges", "silent"),
        (21, "chord as facets", "report", "report:heal.bends_between_joints_are_passed_over_aloud"),
        (22, "chord as a spline", "report ask", "report:linework.a_spline_that_is_none_is_named_and_never_drawn"),
        (
            23,
            "chord as an ellipse",
            "report ask",
            "ask:linework.a_part_of_an_ellipse_is_asked_about_when_its_axes_differ",
        ),
        (24, "spline-fit polyline", "silent"),
        (25, "arcs of unequal radius", "report"),
        (26, "mirrored arc", "silent"),
        (27, "degenerate curve", "report"),
        (28, "members by their edges", "report"),
        (29, "edges trimmed at other members", "silent report"),
        (30, "more edges than two", "ask"),
        (31, "closed rectangles", "silent"),
        (32, "occluded edges", "silent"),
        (33, "one edge missing or short", "report ask"),
        (34, "tapered pair", "report ask"),
        (35, "concentric arcs", "silent"),
        (36, "mixed style", "ask"),
        (37, "end caps", "silent"),
        (38, "border and title block", "silent"),
        (39, "dimension entities", "silent"),
        (40, "exploded dimensions", "silent", "silent:scale.exploded_dimensions_are_heard_when_two_agree"),
        (41, "leaders", "silent"),
        (42, "bolts", "silent"),
        (43, "splice plates", "silent"),
        (44, "purlins", "silent report"),
        (45, "support symbols", "ask"),
        (46, "hatch", "silent"),
        (47, "break lines and clouds", "silent ask"),
        (48, "hidden-line and centre-line types", "report"),
        (49, "existing, demolished and new work", "ask"),
        (50, "exploded text", "report"),
        (51, "masks, pictures, solids", "silent", "silent:linework.what_draws_no_member_is_counted_by_reason"),
        (52, "several trusses or details", "report ask"),
        (53, "no unit", "ask"),
        (54, "wrong unit in the header", "ask"),
        (55, "feet as unit under another header", "silent ask"),
        (56, "drawn at plot scale", "ask", "ask:scale.numbers_all_three_times_the_drawing_are_a_scale"),
        (57, "truss on paper alone", "ask"),
        (58, "far from the origin", "silent"),
        (
            59,
            "turned, or in another plane",
            "silent ask",
            "silent:plane.a_tilted_plane_is_a_question_which_way_is_up",
        ),
        (60, "dimension that disagrees", "ask"),
        (61, "rounded dimension", "silent"),
        (62, "depth noise", "report ask", "ask:plane.lines_in_no_one_plane_are_a_question"),
        (63, "all at one odd depth", "silent"),
        (64, "sag as measured", "silent"),
        (65, "truss inside a block", "silent"),
        (66, "scaled blocks", "report"),
        (67, "mirrored block", "silent"),
        (68, "half truss", "ask"),
        (69, "array of trusses", "report"),
        (
            70,
            "missing block",
            "report refuse",
            "refuse:blocks.a_missing_block_is_reported_and_refused_where_it_was_all",
        ),
        (71, "external reference", "refuse"),
        (72, "cyclic reference", "refuse"),
        (73, "attributes in blocks", "silent"),
        (74, "nameless blocks", "silent"),
        (75, "objects of other programs", "report refuse"),
        (76, "no drawing at all", "refuse", "refuse:loading.a_file_that_is_no_drawing_is_refused"),
        (77, "cut short", "report refuse"),
        (78, "numbers that are none", "refuse", "refuse:loading.a_number_that_must_be_guessed_at_is_never_taken"),
        (79, "far too large", "ask", "ask:coordinates.the_largest_place_is_still_read_but_asked_about"),
        (80, "blow-up by blocks", "refuse", "refuse:blocks.ten_levels_of_ten_copies_are_counted_and_not_made"),
        (81, "deep nesting", "refuse", "refuse:blocks.sixteen_blocks_deep_is_read_and_seventeen_is_not"),
        (82, "very large file", "refuse", "refuse:loading.a_file_beyond_the_limit_is_refused_before_it_is_parsed"),
        (83, "malformed tags", "report"),
        (84, "repeated handles, broken tables", "report"),
        (85, "binary form", "silent"),
        (86, "old version", "ask"),
        (
            87,
            "line ends and marks",
            "silent report",
            "silent:loading.habits_of_other_programs_are_read_in_silence",
        ),
        (88, "encoding", "silent report", "silent:loading.a_text_in_any_code_page_is_read"),
        (
            89,
            "layers that do not show",
            "report ask",
            "report:showing.a_tenth_of_the_line_length_may_be_hidden_without_a_question",
        ),
        (90, "everything on layer 0", "silent"),
        (91, "extended data", "report"),
        (92, "spelling of sizes", "silent report ask", "silent:sizes.a_label_has_one_reading"),
        (
            93,
            "nominal or actual",
            "silent",
            "silent:reading.a_nominal_label_becomes_a_section_only_by_a_stated_sizing",
        ),
        (94, "label between members", "ask"),
        (95, "text position", "silent", "silent:annotations.a_text_has_a_place_by_its_alignment"),
        (96, "stacked fractions", "silent", "silent:text.a_paragraph_says_what_a_person_reads"),
        (97, "TYP. and schedules", "ask"),
        (98, "conflicting labels", "ask"),
        (99, "feet and inches", "silent report", "report:scale.feet_and_inches_without_marks_are_reported"),
        (100, "field notes", "silent"),
    )
)


def test_every_pathology_is_in_the_table_once() -> None:
    assert [row.number for row in PATHOLOGIES] == list(range(1, 101))


@pytest.mark.parametrize("row", PATHOLOGIES, ids=lambda row: f"{row.number} {row.name}")
def test_each_handling_of_a_pathology_is_held_by_something(row: Pathology) -> None:
    held: set[str] = {fault.handling for fault in FAULTS if fault.item == row.number}
    held |= {one.handling for one in SMALL_FAULTS if one.item == row.number}
    wanted = set(row.handlings.split())
    assert held <= wanted
    if row.test:
        handling, _, name = row.test.partition(":")
        assert is_a_test(name), name
        held |= {one for one in wanted if one == handling}
    assert held == wanted, f"nothing holds {wanted - held}"


def is_a_test(name: str) -> bool:
    """Whether a name such as `heal.a_crossing_is_no_joint` is that of a test beside this one."""
    module, _, words = name.partition(".")
    tree = ast.parse(Path(__file__).with_name(f"test_{module}.py").read_text("utf-8"))
    return any(isinstance(node, ast.FunctionDef) and node.name == f"test_{words}" for node in tree.body)


def test_a_test_that_is_gone_is_missed() -> None:
    assert is_a_test("heal.a_crossing_is_no_joint")
    assert not is_a_test("heal.a_crossing_is_a_joint")


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: f"{fault.item} {fault.name}")
def test_a_drawn_fault_is_handled_as_the_table_says(fault: Fault) -> None:
    made = drawn(0, fault.fits[0], fault)
    assert made is not None
    score = scored(lambda: read_drawing(made.data), made.truth)
    assert STRICTNESS[score.handling] == STRICTNESS[fault.handling]
    assert score.quiet == ()


@pytest.mark.parametrize("one", SMALL_FAULTS, ids=lambda one: f"{one.item} {one.name}")
def test_a_small_fault_is_handled_and_named(one: SmallFault) -> None:
    if one.handling == "refuse":
        with pytest.raises(UnreadableError) as refusal:
            read_drawing(one.data())
        assert refusal.value.code == one.code
        return
    reading = read_drawing(one.data())
    assert (len(reading.trusses[0].joints), len(reading.trusses[0].segments)) == one.read
    asked, told = {asked.code for asked in reading.questions}, {change.kind for change in reading.changes}
    assert bool(asked) == (one.handling == "ask")
    assert one.code in (asked if one.handling == "ask" else told | {""})


def test_the_truss_of_the_small_faults_is_read_in_silence() -> None:
    reading = read_drawing(saved(truss()))
    assert (reading.changes, reading.questions) == ((), ())
    assert (len(reading.trusses[0].joints), len(reading.trusses[0].segments)) == SMALL_JOINTS
