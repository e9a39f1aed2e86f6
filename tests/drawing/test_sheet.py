"""A sheet shows the whole truss, nothing covers anything, and every force has its letter."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import inf, pi
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import pytest

from tests.drawing import roofs
from trussio.drawing.paper import label_box
from trussio.drawing.placing import overlap
from trussio.drawing.sheet import sheet
from trussio.drawing.sheet_forces import THIN
from trussio.drawing.sheet_model import size_text
from trussio.model.check import Check, Derivation, Subject
from trussio.model.check_record import RunCheck, SegmentCheck
from trussio.model.finding import Finding, Findings
from trussio.model.loading import RunId
from trussio.model.standing import Checks, Standing
from trussio.model.truss import JointId, SegmentId, Support, Truss

if TYPE_CHECKING:
    from trussio.drawing.paper import Sheet

DIGEST = "sha256:0123456789abcdef" + "0" * 48
HERE = Path(__file__).parent
Kind = Literal["model", "forces"]
ROOFS = {
    "bowstring": roofs.bowstring(),
    "long bowstring": roofs.bowstring(22, span=1056.0, rise=132.0),
    "king post": roofs.king_post(),
    "spire": roofs.tall(),
    "nameless": roofs.nameless(),
}


def drawn(roof: Truss, kind: Kind) -> Sheet:
    if kind == "model":
        return sheet(roof, digest=DIGEST)
    forces = roofs.balance(roof)
    return sheet(roof, digest=DIGEST, run=RunId("D+S"), forces=forces, idealisation="pinned")


def tidy(length: float) -> str:
    return f"{round(length, 1) + 0.0:.1f}"


def as_text(one: Sheet) -> str:
    """A sheet as lines that a person can compare."""
    lines = [
        one.title,
        one.says,
        f"module {one.module:.2f}, from {one.left:.1f} {one.bottom:.1f} to {one.right:.1f} {one.top:.1f}",
    ]
    for stroke in one.strokes:
        places = " ".join(
            f"({tidy(v.x)} {tidy(v.y)}{f' bulge {v.bulge:.4f}' if v.bulge else ''})" for v in stroke.vertices
        )
        closed = " closed" if stroke.closed else ""
        lines.append(f"{stroke.holds} {stroke.pen} {stroke.width:.2f}{closed} {places} {stroke.of}".rstrip())
    for label in one.labels:
        turned = f" turned {label.angle * 180 / pi:.1f}" if label.angle else ""
        lines.append(
            f"{label.holds} {label.pen} {label.text!r} at {label.x:.1f} {label.y:.1f}{turned} {label.of}".rstrip()
        )
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("kind", ["model", "forces"])
def test_a_sheet_is_the_one_on_file(kind: Kind) -> None:
    expected = (HERE / f"king-post-{kind}.txt").read_text(encoding="utf-8")
    assert as_text(drawn(roofs.king_post(), kind)) == expected


@pytest.mark.parametrize("kind", ["model", "forces"])
@pytest.mark.parametrize("name", ROOFS)
def test_no_label_covers_another_or_leaves_the_sheet(name: str, kind: Kind) -> None:
    one = drawn(ROOFS[name], kind)
    assert one.left_out == ()
    boxes = [(label.text, label_box(label, one.module)) for label in one.labels]
    assert [(a, b) for (a, first), (b, second) in combinations(boxes, 2) if overlap(first, second)] == []
    for text, box in boxes:
        reach = box.half_width + box.half_height
        assert one.left <= box.x + reach, text
        assert box.x - reach <= one.right, text
        assert one.bottom < box.y < one.top, text


@pytest.mark.parametrize("name", ROOFS)
def test_every_joint_stick_and_support_is_there_once(name: str) -> None:
    roof = ROOFS[name]
    one = drawn(roof, "model")
    assert sorted(s.of for s in one.strokes if s.holds == "joint") == sorted(f"/joints/{j}" for j in roof.joints)
    sticks = [s.of for s in one.strokes if s.of.startswith("/members/")]
    assert sticks == [f"/members/{m.replace('~', '~0')}" for m in roof.members]
    texts = [label.text for label in one.labels]
    for joint in roof.joints:
        assert texts.count(joint) == 1
    for member in roof.members:
        section = roof.section_of(member)
        label = roof.members[member].label
        bare = label or "no size"
        size = bare if section is None else size_text(section)
        own = [label.text for label in one.labels if label.of == f"/members/{member.replace('~', '~0')}"]
        assert own in ([f"{member}: {size}"], [size, member])


def test_a_label_that_nobody_has_given_a_section_stands_on_its_stick() -> None:
    """A drawing says 3x10 and no basis says what that is: the size is not missing."""
    roof = next(iter(ROOFS.values()))
    first = next(iter(roof.members))
    bare = replace(roof.members[first], section=None, label="3x10")
    one = drawn(replace(roof, members={**roof.members, first: bare}), "model")
    own = [label.text for label in one.labels if label.of == f"/members/{first}"]
    assert own in ([f"{first}: 3x10"], ["3x10", first])


@pytest.mark.parametrize("name", ROOFS)
def test_every_segment_has_its_force_with_a_letter_or_a_bare_zero(name: str) -> None:
    roof, forces = ROOFS[name], roofs.balance(ROOFS[name])
    one = drawn(roof, "forces")
    texts = {label.of: label.text for label in one.labels if ":" in label.of}
    pens = {stroke.of: stroke.pen for stroke in one.strokes if ":" in stroke.of}
    assert sorted(texts) == sorted(segment.id for segment in roof.segments)
    for segment, text in texts.items():
        number, _, letter = text.partition(" ")
        axial = forces.segments[SegmentId(segment)].axial
        expected = {"T": "tension", "C": "compression", "": "near-zero"}[letter]
        assert pens[segment] == expected
        assert float(number) == pytest.approx(abs(axial) / 1000.0, abs=0.0501)
        assert {"T": axial > 0, "C": axial < 0, "": True}[letter]


def test_width_grows_with_force_and_a_force_near_zero_is_thin() -> None:
    roof = roofs.bowstring()
    forces = roofs.balance(roof)
    widths = {s.of: s.width for s in drawn(roof, "forces").strokes if ":" in s.of}
    by_force = sorted(widths, key=lambda segment: abs(forces.segments[SegmentId(segment)].axial))
    assert [widths[segment] for segment in by_force] == sorted(widths.values())
    assert widths[by_force[0]] == THIN
    assert widths[by_force[-1]] > 4 * THIN


def test_arcs_stay_arcs_through_every_joint() -> None:
    stroke = next(s for s in drawn(roofs.bowstring(), "model").strokes if s.of == "/members/top")
    assert len(stroke.vertices) == 9
    assert all(vertex.bulge < 0 for vertex in stroke.vertices[:-1])


def test_the_sheet_says_what_it_is() -> None:
    texts = [label.text for label in drawn(roofs.bowstring(), "forces").labels]
    assert texts[:2] == [
        "Demo hall, truss 2",
        "Forces in run D+S · as found · every segment a bar between pins · document 0123456789ab · not to scale",
    ]
    legend = " / ".join(texts)
    for words in ("T tension", "C compression", "0 less than 0.05 k", "1 k = 1,000 lb", "tension is positive"):
        assert words in " ".join(legend.split())


def test_panel_lengths_and_the_span_stand_under_the_model() -> None:
    texts = [label.text for label in drawn(roofs.bowstring(), "model").labels if label.holds == "dimension"]
    assert texts == ["7'-6\""] * 8 + ["60'-0\""]
    texts = [label.text for label in drawn(roofs.king_post(), "model").labels if label.holds == "dimension"]
    assert texts == ["3000", "3000", "6000"]


@pytest.mark.parametrize(
    ("support", "says"),
    [
        (Support(holds=("x", "y")), "holds x, y"),
        (Support(holds=("y",)), "holds y"),
        (Support(holds=("x",)), "holds x"),
        (Support(holds=("x", "y", "turn")), "holds x, y, rotation"),
        (Support(holds=((0.6, 0.8),)), "holds along (0.6, 0.8)"),
        (Support(holds=("y",), springs={"x": 400.0}), "holds y; spring x"),
        (Support(springs={"y": 400.0, "turn": 1e6}), "spring y, rotation"),
        (Support(), "holds nothing"),
    ],
)
def test_what_a_support_holds_stands_in_words_beside_its_symbol(support: Support, says: str) -> None:
    roof = replace(roofs.king_post(), supports={JointId("B0"): support, JointId("B2"): roofs.PIN})
    one = drawn(roof, "model")
    assert [label.text for label in one.labels if label.of == "/supports/B0"] == [says]
    assert len([stroke for stroke in one.strokes if stroke.of == "/supports/B0"]) >= 5


def test_reactions_are_arrows_the_way_the_support_pushes() -> None:
    one = drawn(roofs.king_post(), "forces")
    arrows = {
        (stroke.of, stroke.vertices[0].x < stroke.vertices[1].x, stroke.vertices[0].y < stroke.vertices[1].y)
        for stroke in one.strokes
        if stroke.holds == "load" and not stroke.filled
    }
    assert arrows == {
        ("/supports/B0", False, False),  # to the left, against the push of the load at T2
        ("/supports/B0", False, True),  # up
        ("/supports/B2", False, True),
    }
    assert [label.text for label in one.labels if label.holds == "load"] == ["R 1.5", "R 9.0", "R 10.0"]


def test_numbers_of_stops_and_queries_stand_where_they_point_and_notes_do_not() -> None:
    found = Findings(
        model=DIGEST,
        findings=(
            finding("stop", "/joints/B1"),
            finding("query", "/members/post/section", "/joints/B1"),
            finding("note", "/joints/T1"),
            finding("query", "/supports/B2", "/loads/cases/D+S"),
        ),
        statics={},
    )
    one = sheet(roofs.king_post(), digest=DIGEST, findings=found)
    tags = {label.of: label.text for label in one.labels if label.boxed}
    assert tags == {"/joints/B1": "1, 2", "/members/post": "2", "/joints/B2": "4"}
    assert "A number in a frame is that of the finding in the table." in [label.text for label in one.labels]


def finding(level: Literal["stop", "query", "note"], *where: str) -> Finding:
    return Finding(code="x", level=level, where=where, says="", do="")


@pytest.mark.parametrize(
    ("claimed", "text"),
    [(7000.0, "7.0 T"), (7040.0, "7.0 T"), (7060.0, "7.0 T, claimed 7.1 T"), (-9000.0, "7.0 T, claimed 9.0 C")],
)
def test_a_force_that_the_second_method_doubts_is_framed(claimed: float, text: str) -> None:
    roof = roofs.king_post()
    forces = roofs.balance(roof)
    checks = {
        segment: SegmentCheck(claimed=f.axial, rechecked=f.axial, difference=0.0, tolerance=1.0, verdict="agrees")
        for segment, f in forces.segments.items()
    }
    post = SegmentId("post:B1-T2")
    checks[post] = replace(checks[post], verdict="disagrees", claimed=claimed)
    check = RunCheck(
        verdict="disagrees",
        says="",
        largest_difference=None,
        largest_at=None,
        residual=None,
        residual_at=None,
        segments=checks,
    )
    one = sheet(roof, digest=DIGEST, run=RunId("D+S"), forces=forces, check=check)
    assert [label.text for label in one.labels if label.boxed] == [text]
    assert any(label.text.startswith("In a frame: ") for label in one.labels)


def test_the_same_truss_gives_the_same_sheet() -> None:
    assert drawn(roofs.bowstring(), "forces") == drawn(roofs.bowstring(), "forces")


def test_what_finds_no_room_is_named_on_the_sheet() -> None:
    roof = roofs.king_post()
    crowd = {JointId(f"crowd-{i}"): replace(roof.joints[JointId("B1")], x=3000.0 + i / 10) for i in range(300)}
    one = drawn(replace(roof, joints={**roof.joints, **crowd}), "model")
    assert one.left_out
    assert [label.text for label in one.labels if label.text.startswith("No room on the sheet for: crowd-")]


def test_a_claim_that_names_no_force_is_framed_as_nothing_claimed() -> None:
    roof = roofs.king_post()
    forces = roofs.balance(roof)
    post = SegmentId("post:B1-T2")
    missing = SegmentCheck(claimed=None, rechecked=7000.0, difference=None, tolerance=1.0, verdict="disagrees")
    check = RunCheck(
        verdict="disagrees",
        says="",
        largest_difference=None,
        largest_at=None,
        residual=None,
        residual_at=None,
        segments={post: missing},
    )
    one = sheet(roof, digest=DIGEST, run=RunId("D+S"), forces=forces, check=check)
    assert [label.text for label in one.labels if label.boxed] == ["7.0 T, claimed nothing"]


@pytest.mark.parametrize("panels", [40, 60])
def test_a_truss_of_many_short_panels_gets_a_sheet_wide_enough(panels: int) -> None:
    roof = roofs.bowstring(panels, span=48.0 * panels, rise=6.0 * panels)
    assert drawn(roof, "forces").left_out == ()
    assert drawn(roof, "model").left_out == ()


def standing(element: str, ratio: float | None, *, unit: str = "psi", open_too: bool = False) -> Standing:
    """The standing of one element, with another check that is open where wanted."""

    def check(value: float | None) -> Check:
        nothing = Derivation(value=value or 0.0, told=())
        return Check(
            what="compression",
            clause="3.7",
            subject=Subject(element=element, run="D+S"),
            demand=value,
            capacity=None,
            unit=unit,
            ratio=value,
            derivation=nothing,
        )

    return Standing(element=element, governs=check(ratio), others=(check(None),) * open_too)


def ratios(roof: Truss, *standings: Standing) -> Sheet:
    checks = Checks(model=DIGEST, idealisation="pinned", state="found", rests_on=(), standings=standings)
    return sheet(roof, digest=DIGEST, checks=checks)


@pytest.mark.parametrize(
    ("ratio", "unit", "text", "boxed"),
    [
        (0.62, "psi", "62 %", False),
        (0.9996, "psi", "99.96 %", False),
        (1.0, "psi", "100 %", True),
        (1.0004, "psi", "100.04 %", True),
        (1.2, "", "1.20", True),
        (inf, "", "no bound", True),
        (inf, "psi", "no capacity", True),
        (None, "psi", "not evaluated", False),
    ],
)
def test_a_ratio_stands_on_its_segment_and_is_framed_at_its_limit(
    ratio: float | None, unit: str, text: str, *, boxed: bool
) -> None:
    roof = ROOFS["king post"]
    first = roof.segments[0].id
    one = ratios(roof, standing(first, ratio, unit=unit))
    labels = {label.of: label for label in one.labels if label.of in {segment.id for segment in roof.segments}}
    assert (labels[first].text, labels[first].boxed) == (text, boxed)
    others = {label.text for of, label in labels.items() if of != first}
    assert others == {"not evaluated"}


def test_what_is_open_beside_a_ratio_is_said() -> None:
    roof = ROOFS["king post"]
    one = ratios(roof, standing(roof.segments[0].id, 0.62, open_too=True))
    assert "62 % in part" in {label.text for label in one.labels}


def test_a_short_segment_says_in_one_word_that_it_is_open() -> None:
    roof = ROOFS["long bowstring"]
    one = ratios(roof, standing(roof.segments[0].id, 0.62, open_too=True))
    texts = {label.text for label in one.labels if ":" in label.of}
    assert "62 % part" in texts
    assert texts - {"62 % part"} <= {"open", "not evaluated"}
    assert any("Open: not evaluated, which proves nothing." in label.text for label in one.labels)


def test_a_connection_stands_at_its_joint_and_what_is_open_is_named() -> None:
    roof = ROOFS["king post"]
    first, second = list(roof.joints)[:2]
    one = ratios(roof, standing(f"/joints/{first}", 1.34), standing(f"/joints/{second}", None))
    texts = {label.text: label for label in one.labels}
    assert texts[f"{first}: 134 %"].boxed
    assert any(f"Connections not evaluated at {second}." in text for text in texts)
    assert not any(text.startswith(f"{second}: ") for text in texts)


@pytest.mark.parametrize("name", ROOFS)
def test_no_ratio_covers_another_and_no_framed_one_is_left_out(name: str) -> None:
    roof = ROOFS[name]
    cycle = (0.44, 1.13, None, inf, 0.62)
    one = ratios(
        roof,
        *(
            standing(segment.id, cycle[at % 5], unit="" if at % 2 else "psi", open_too=at % 3 == 0)
            for at, segment in enumerate(roof.segments)
        ),
    )
    told = " ".join(label.text for label in one.labels if label.holds == "note")
    assert len(one.left_out) <= len(roof.segments) / 50  # a long roof has very short panels at its ends
    assert all(text in told for text in one.left_out)
    over = [at for at in range(len(roof.segments)) if cycle[at % 5] in (1.13, inf)]
    assert sum(label.boxed for label in one.labels) == len(over)
    boxes = [(label.text, label_box(label, one.module)) for label in one.labels]
    assert [(a, b) for (a, first), (b, second) in combinations(boxes, 2) if overlap(first, second)] == []


def test_a_line_is_wider_the_nearer_it_is_to_its_limit() -> None:
    roof = ROOFS["king post"]
    first, second, third = (segment.id for segment in roof.segments[:3])
    one = ratios(roof, standing(first, 0.2), standing(second, 1.2), standing(third, None))
    widths = {stroke.of: (stroke.width, stroke.pen) for stroke in one.strokes}
    assert widths[third][0] < widths[first][0] < widths[second][0]
    assert widths[third][1] == "faint"
