"""Scale: user before header before dimensions before what trusses measure; every misfit with both numbers."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.drawing.drafting import drawing, linework
from trussio.drawing.drawing_units import inches_said, unit_phrase
from trussio.drawing.plausibility import Evidence, likeliest, strain
from trussio.drawing.scale import find_scale
from trussio.drawing.sizing_up import span_within_border
from trussio.drawing.stated import stated_length
from trussio.errors import UnreadableError, UsageError
from trussio.units import MM_PER_INCH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.records import Linework, Scale

NO_UNIT = 0


def sheet(
    span: float,
    *,
    units: int | None = 1,
    texts: Sequence[tuple[float, str]] = (),
    letters: float = 0.0,
    factor: float | None = None,
    metric: int | None = None,
) -> Linework:
    """A triangle of a span; dimensions of given lengths over it with given texts; letters of a height."""
    made = drawing(units=units or 0)
    if units is None:
        del made.header["$INSUNITS"]
    if metric is not None:
        made.header["$MEASUREMENT"] = metric
    space = made.modelspace()
    space.add_lwpolyline([(0, 0), (span / 2, span / 6), (span, 0)])
    space.add_line((0, 0), (span, 0))
    for index, (length, text) in enumerate(texts):
        override = None if factor is None else {"dimlfac": factor}
        below = (0, -span / 10 * (index + 1))
        space.add_linear_dim(below, (0, 0), (length, 0), text=text, override=override).render()
    if letters:
        space.add_text("2x8", height=letters).set_placement((span / 3, span / 20))
    return linework(made)


def codes(scale: Scale) -> list[str]:
    return [question.code for question in scale.questions]


@pytest.mark.parametrize(
    ("code", "inches", "unit"),
    [(1, 1.0, "inch"), (2, 12.0, "foot"), (4, 1 / MM_PER_INCH, "mm"), (5, 10 / MM_PER_INCH, "cm"),
     (6, 1000 / MM_PER_INCH, "m"), (10, 36.0, "yard")],
)  # fmt: skip
def test_the_header_is_believed_when_nothing_speaks_against_it(code: int, inches: float, unit: str) -> None:
    scale = find_scale(sheet(720 / inches, units=code, letters=5 / inches))
    assert (scale.inches, scale.unit, scale.rests_on, codes(scale)) == (inches, unit, "the header", [])
    assert scale.mm == inches * MM_PER_INCH
    assert scale.says == f"1 drawing unit is 1 {unit}: the header says {unit}."


def test_dimension_texts_confirm_the_header() -> None:
    scale = find_scale(sheet(720, texts=[(720, "60'-0\""), (360, "30'-0\"")]))
    assert scale.says.endswith("the header says inch, and 2 of 2 dimension texts agree.")
    assert codes(scale) == []
    assert scale.changes[0].says == "2 dimension texts compared with the drawing: 2 agree, 0 do not."


def test_a_rounded_text_agrees_in_silence() -> None:
    assert codes(find_scale(sheet(287.94, texts=[(287.94, "24'-0\"")]))) == []


@pytest.mark.parametrize(("length", "asked"), [(60.5, False), (60.51, True), (59.5, False), (59.49, True)])
def test_half_an_inch_may_lie_between_text_and_drawing(length: float, *, asked: bool) -> None:
    scale = find_scale(sheet(720, texts=[(720, "60'-0\""), (length, "5'-0\"")]))
    assert codes(scale) == (["dimension-disagrees"] if asked else [])


def test_a_text_that_disagrees_is_asked_about_with_both_numbers() -> None:
    scale = find_scale(sheet(720, texts=[(720, "60'-0\""), (360, "30'-0\""), (300, "24'-0\"")]))
    assert codes(scale) == ["dimension-disagrees"]
    question = scale.questions[0]
    assert "says 24'-0\" (288 in) where the drawing measures 25'-0\" (300 in). Which is right?" in question.asks
    assert question.taken == "the drawing"
    assert len(question.handles) == 1
    assert scale.inches == 1.0


def test_a_metric_text_that_disagrees_is_told_in_millimetres() -> None:
    scale = find_scale(sheet(18000, units=4, texts=[(18000, "18000 mm"), (9000, "9.5 m")]))
    assert "says 9.5 m (9500 mm) where the drawing measures 9000 mm" in scale.questions[0].asks


def test_bare_numbers_are_compared_as_well() -> None:
    scale = find_scale(sheet(18000, units=4, texts=[(18000, "<>"), (9000, "<>"), (6000, "6500")]))
    assert codes(scale) == ["dimension-disagrees"]
    assert "says 6500 where the drawing measures 6000 units" in scale.questions[0].asks


@pytest.mark.parametrize(
    ("span", "header", "inches", "unit"),
    [
        (60, 1, 12.0, "foot"),  # drawn in feet under an inch header
        (720, 4, 1.0, "inch"),  # drawn in inches under a millimetre header
        (18288, 1, 1 / MM_PER_INCH, "mm"),
        (18.288, 4, 1000 / MM_PER_INCH, "m"),
        (30, 1, 24.0, "inch at 1:24"),  # drawn at half an inch to the foot
    ],
)
def test_two_texts_that_agree_overrule_the_header_with_a_question(
    span: float, header: int, inches: float, unit: str
) -> None:
    scale = find_scale(sheet(span, units=header, texts=[(span, "60'-0\""), (span / 2, "30'-0\"")]))
    assert (scale.unit, scale.rests_on) == (unit, "dimensions")
    assert scale.inches == pytest.approx(inches)
    assert codes(scale) == ["unit-contradicted"]
    assert "2 of 2 dimension texts say" in scale.questions[0].asks


def test_one_wrong_text_does_not_overrule_a_plausible_header() -> None:
    scale = find_scale(sheet(720, texts=[(720, "50'-0\"")]))
    assert (scale.inches, codes(scale)) == (1.0, ["dimension-disagrees"])


def test_one_text_overrules_an_implausible_header() -> None:
    scale = find_scale(sheet(60, texts=[(60, "60'-0\"")]))
    assert (scale.inches, codes(scale)) == (12.0, ["unit-contradicted"])


def test_a_length_factor_of_the_dimensions_gives_a_plot_scale_away() -> None:
    scale = find_scale(sheet(30, texts=[(30, "<>"), (15, "<>")], factor=24.0))
    assert (scale.inches, codes(scale)) == (24.0, ["unit-contradicted"])


def test_numbers_all_three_times_the_drawing_are_a_scale() -> None:
    scale = find_scale(sheet(3000, units=4, texts=[(3000, "18000"), (1500, "9000")]))
    assert scale.mm == pytest.approx(6.0)
    assert codes(scale) == ["unit-contradicted"]


def test_numbers_in_another_unit_are_no_scale() -> None:
    # A drawing in metres whose dimensions are shown in millimetres.
    scale = find_scale(sheet(18, units=6, texts=[(18, "<>"), (9, "<>")], factor=1000.0))
    assert (scale.unit, codes(scale)) == ("m", [])


@pytest.mark.parametrize("units", [None, NO_UNIT])
def test_without_a_header_unit_the_texts_decide(units: int | None) -> None:
    scale = find_scale(sheet(60, units=units, texts=[(60, "60'-0\""), (30, "30'-0\"")]))
    assert (scale.inches, scale.rests_on, codes(scale)) == (12.0, "dimensions", [])


@pytest.mark.parametrize("units", [None, NO_UNIT])
def test_without_any_word_the_unit_is_a_question_and_the_likeliest_is_taken(units: int | None) -> None:
    scale = find_scale(sheet(720, units=units, letters=5))
    assert (scale.inches, scale.rests_on, codes(scale)) == (1.0, "plausibility", ["which-unit"])
    assert scale.questions[0].taken == "1 inch"
    settle = "--units in, or answer 1 inch in the answers file; or say the right one."
    assert scale.questions[0].settle == settle
    assert "a drawing 60 ft wide and letters 5 in high" in scale.questions[0].asks


def test_without_a_header_a_plot_scale_stays_a_question() -> None:
    scale = find_scale(sheet(30, units=NO_UNIT, texts=[(30, "60'-0\""), (15, "30'-0\"")]))
    assert (scale.inches, codes(scale)) == (24.0, ["which-unit"])
    assert scale.questions[0].settle.startswith("--units in --scale 24, or answer 1 inch at 1:24 in the answers")


@pytest.mark.parametrize(
    ("span", "letters", "header", "inches"),
    [
        (720, 5, 4, 1.0),
        (18288, 120, 1, 1 / MM_PER_INCH),
        (60, 0.4, 1, 12.0),
        (18288 * MM_PER_INCH, 120 * MM_PER_INCH, 4, 1 / MM_PER_INCH**2),  # scaled twice by 25.4
    ],
)
def test_a_header_that_makes_no_truss_is_doubted(span: float, letters: float, header: int, inches: float) -> None:
    scale = find_scale(sheet(span, units=header, letters=letters))
    assert scale.inches == pytest.approx(inches)
    assert codes(scale) == ["unit-implausible"]


def test_a_small_truss_is_no_reason_to_doubt() -> None:
    assert codes(find_scale(sheet(150, letters=3))) == []


@pytest.mark.parametrize(
    ("units", "scale", "inches"),
    [("in", None, 1.0), ("FT", None, 12.0), ("mm", 50, 50 / MM_PER_INCH), (None, 24, 24.0), ("in", 24, 24.0)],
)
def test_the_users_word_goes_before_everything(units: str | None, scale: float | None, inches: float) -> None:
    found = find_scale(sheet(30, texts=[(30, "60'-0\""), (15, "30'-0\"")]), units=units, scale=scale)
    assert found.rests_on == "the user"
    assert found.inches == pytest.approx(inches)
    assert codes(found) == []
    told = [change.kind for change in found.changes]
    assert told == ["dimensions-compared"] if inches == 24.0 else ["dimensions-compared", "scale-differs"]


def test_a_single_text_against_the_users_word_is_still_asked_about() -> None:
    found = find_scale(sheet(720, texts=[(720, "60'-0\""), (300, "24'-0\"")]), units="in")
    assert codes(found) == ["dimension-disagrees"]


def test_a_word_against_the_header_is_told() -> None:
    said = "1 drawing unit is 1 cm: the user says cm"
    assert find_scale(sheet(720, units=1), units="cm").says == f"{said}, against the header, which says inch."
    assert find_scale(sheet(720, units=5), units="cm").says == f"{said}."
    assert find_scale(sheet(720, units=0), units="cm").says == f"{said}."


def test_words_that_are_no_unit_and_no_scale_are_refused() -> None:
    read = sheet(720)
    with pytest.raises(UsageError, match="unknown-unit at furlong"):
        find_scale(read, units="furlong")
    for scale in (0.0, -24.0, float("nan"), float("inf")):
        with pytest.raises(UsageError, match="bad-scale"):
            find_scale(read, scale=scale)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("1 inch", 1.0),
        ("IN", 1.0),
        ("1 inch at 1:24", 24.0),
        ("mm at 1:50", 50 / MM_PER_INCH),
        ("1.55 inches", 1.55),
        ("0.000155 inches", 0.000155),
        ("1 US survey foot", 1200 / 3937 * 1000 / MM_PER_INCH),
    ],
)
def test_every_unit_that_is_named_can_be_said_back(text: str, inches: float) -> None:
    assert inches_said(text) == pytest.approx(inches)
    assert inches_said(unit_phrase(inches)) == pytest.approx(inches, rel=1e-5)


@pytest.mark.parametrize("text", ["", "0 inches", "in at 1:0", "1:24", "in 24", "inches 3"])
def test_what_names_no_unit_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="unknown-unit"):
        inches_said(text)


def test_an_answer_settles_the_question_that_stays_beside_it() -> None:
    read = sheet(720, units=NO_UNIT, letters=5)
    answered = find_scale(read, answered="mm")
    assert (answered.unit, answered.rests_on) == ("mm", "the user")
    assert (codes(answered), answered.questions[0].taken) == (["which-unit"], "1 mm")
    with pytest.raises(UsageError, match="unknown-unit at perhaps mm"):
        find_scale(read, answered="perhaps mm")


def test_an_answer_to_no_question_changes_nothing() -> None:
    assert find_scale(sheet(720, letters=5), answered="mm").unit == "inch"


def test_survey_feet_are_refused_unless_asked_for() -> None:
    read = sheet(60, units=21)
    with pytest.raises(UnreadableError, match="survey-foot"):
        find_scale(read)
    assert find_scale(read, units="us-survey-foot").inches == pytest.approx(12.000024)
    assert find_scale(read, units="ft").inches == 12.0


def test_exploded_dimensions_are_heard_when_two_agree() -> None:
    def exploded(*texts: tuple[float, str]) -> Linework:
        made = drawing(units=NO_UNIT)
        made.modelspace().add_line((0, 0), (60, 0))
        made.modelspace().add_line((0, 0), (30, 10))
        for index, (length, text) in enumerate(texts):
            y = -4 * (index + 1)
            made.modelspace().add_line((0, y), (length, y))
            placed = made.modelspace().add_text(text, height=0.5)
            placed.set_placement((length / 2 - 1, y + 0.3))
        return linework(made)

    heard = find_scale(exploded((60, "60'-0\""), (30, "30'-0\"")))
    assert (heard.inches, heard.rests_on, codes(heard)) == (12.0, "dimensions", [])
    assert codes(find_scale(exploded((60, "60'-0\"")))) == ["which-unit"]
    told = find_scale(exploded((60, "60'-0\""), (30, "30'-0\""), (20, "24'-0\"")))
    assert codes(told) == []
    assert [change.kind for change in told.changes] == ["dimensions-compared", "dimension-text-differs"]


def test_feet_and_inches_without_marks_are_reported() -> None:
    scale = find_scale(sheet(720, texts=[(720, "60-0"), (360, "30-0")]))
    assert [change.kind for change in scale.changes] == ["dimensions-compared", "bare-feet-inches"]
    assert codes(scale) == []


def test_a_border_is_no_span() -> None:
    made = drawing(units=NO_UNIT)
    for margin in (0, 20):
        corners = [(-700, -400), (1500, -400), (1500, 900), (-700, 900)]
        made.modelspace().add_lwpolyline(
            [(x + (margin if x < 0 else -margin), y + (margin if y < 0 else -margin)) for x, y in corners],
            close=True,
        )
    made.modelspace().add_line((0, 0), (720, 0))
    made.modelspace().add_line((0, 0), (360, 96))
    assert span_within_border(linework(made).strokes) == 720.0


def test_a_unit_strains_by_how_far_it_puts_things_outside() -> None:
    assert strain(1.0, Evidence(span=240.0)) == 0.0
    assert strain(1.0, Evidence(span=120.0)) == pytest.approx(0.6931, abs=1e-4)
    assert strain(1.0, Evidence(span=2400.0, letters=24.0)) == pytest.approx(0.6931, abs=1e-4)
    assert likeliest(Evidence(span=18.0, metric=True)) == "m"
    assert likeliest(Evidence(span=720.0)) == "inch"


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("24'-0\" TYP.", 288.0),
        ("R 60'-3 1/4\"", 723.25),
        ("(24'-0\")", 288.0),
        ("24'-0\" [7315]", 288.0),
        ("24'-0\" (7315 mm)", 288.0),
        ("24'-0\"\n[7315]", 288.0),
        ("\u00b124'-0\" V.I.F.", 288.0),
        ("7315.2 mm", 288.0),
        ("7.3152 m", 288.0),
        ("24-0", 288.0),
    ],
)
def test_the_length_of_a_dimension_text_is_found_among_its_words(text: str, inches: float) -> None:
    stated = stated_length(text)
    assert stated is not None
    assert stated.inches == pytest.approx(inches)


@pytest.mark.parametrize("text", ["EQ.", "2 @ 4'-0\"", "4 EQ. SPACES", "2x8", "L/360", "", "9" * 99])
def test_what_states_no_one_length_states_none(text: str) -> None:
    assert stated_length(text) is None


@pytest.mark.parametrize(
    ("inches", "phrase"),
    [
        (1.0, "1 inch"),
        (12.0, "1 foot"),
        (24.0, "1 inch at 1:24"),
        (50 / MM_PER_INCH, "1 mm at 1:50"),
        (1.55, "1.55 inches"),
    ],
)
def test_a_unit_has_a_name(inches: float, phrase: str) -> None:
    assert unit_phrase(inches) == phrase
