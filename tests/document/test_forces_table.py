"""Tables of forces typed from anywhere: what they say, what their rounding can hide, and what is no table."""

from __future__ import annotations

import json
from decimal import Decimal
from hashlib import sha256

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.document.small import SMALL, taken
from trussio.document.encode import digest_of_truss, write_truss
from trussio.document.forces_table import half_units, read_forces_table
from trussio.document.results import write_results
from trussio.errors import UnreadableError
from trussio.model.check_record import ForcesTable
from trussio.model.forces import Results, RunForces, SegmentForces
from trussio.model.loading import RunId
from trussio.model.truss import SegmentId

TRUSS = taken(SMALL)
SI_TRUSS = taken({**SMALL, "units": "si"})


def table(text: str) -> ForcesTable:
    """The table of the small truss in a text."""
    return read_forces_table(text.encode(), name="forces.csv", truss=TRUSS)


def test_forces_by_segment() -> None:
    text = "run,segment,axial\nD+S,bottom:B0-B1,18400.5\nD+S,w1:B1-T1,-1230.25\nD,bottom:B0-B1,7\n"
    read = table(text)
    assert read.runs == {"D+S": {"bottom:B0-B1": 18400.5, "w1:B1-T1": -1230.25}, "D": {"bottom:B0-B1": 7.0}}
    assert (read.name, read.idealisation, read.model, read.state) == ("forces.csv", None, None, None)
    assert read.digest == "sha256:" + sha256(text.encode()).hexdigest()


def test_forces_by_member_and_joints_in_either_order() -> None:
    read = table("run,member,from,to,axial\nD,bottom,B0,B1,5\nD,bottom,B2,B1,6\n")
    assert read.runs == {"D": {"bottom:B0-B1": 5.0, "bottom:B1-B2": 6.0}}


def test_a_segment_that_the_truss_does_not_have_is_kept_as_written() -> None:
    read = table("run,member,from,to,axial\nD,bottom,B0,B2,5\nQ,top,T1,B0,6\n")
    assert read.runs == {"D": {"bottom:B0-B2": 5.0}, "Q": {"top:B0-T1": 6.0}}


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffRun , Segment,AXIAL\r\n D , bottom:B0-B1 , 5 \r\n\r\n,,\r\n",
        'axial,run,segment,notes\n"5",D,"bottom:B0-B1","seen, and read twice"\n',
        "run,segment,axial\nD,bottom:B1-B0,+5.",
        "run,segment,axial_lb\nD,bottom:B0-B1,.5e1",
        "run,segment,axial [lbf]\nD,bottom:B0-B1,5.00",
        "run,segment,axial (kip)\nD,bottom:B0-B1,0.005",
        "run;segment;axial\nD;bottom:B0-B1;5,0\n",
        "sep=;\r\nrun;segment;axial\r\nD;bottom:B0-B1;5\r\n",
        "run\tsegment\taxial\nD\tbottom:B0-B1\t5.\n",
        "run;notes;segment;axial [kip]\n;;;\nD;18,400;bottom:B0-B1;0,005\n",
        "run,segment,axial\nD,bottom:B0-B1,5 T\n",
        "run,segment,axial\nD,bottom:B0-B1,T 5\n",
        "run,segment,axial\nD,bottom:B0-B1,5(T)\n",
        "run,segment,axial\nD,bottom:B0-B1,0.005k\n",
        "run,segment,axial\nD,bottom:B0-B1,0.005\N{NO-BREAK SPACE}kip T\n",
        "run,segment,axial_kips\nD,bottom:B0-B1,0.005 kip\n",
        "run,segment,axial,notes\nD,bottom:B0-B1,5,2 rods\n",
    ],
)
def test_a_table_may_be_typed_in_many_ways(text: str) -> None:
    assert table(text).runs == {"D": {"bottom:B0-B1": 5.0}}


@pytest.mark.parametrize(
    ("unit", "us", "si"),
    [
        ("kip", 1000.0, 4448.2216152605),
        ("kips", 1000.0, 4448.2216152605),
        ("lb", 1.0, 4.4482216152605),
        ("lbf", 1.0, 4.4482216152605),
        ("n", 0.2248089430997105, 1.0),
        ("kN", 224.8089430997105, 1000.0),
        ("daN", 2.248089430997105, 10.0),
        ("kgf", 2.204622621848776, 9.80665),
        ("tf", 2204.622621848776, 9806.65),
    ],
)
def test_a_unit_in_the_header_is_taken_to_base_forces(unit: str, us: float, si: float) -> None:
    """Factors: yard and pound agreement (1959), standard gravity; those from N and kgf to lbf by division."""
    text = f"run,segment,axial_{unit}\nD,bottom:B0-B1,-1\n".encode()
    for truss, factor in ((TRUSS, us), (SI_TRUSS, si)):
        read = read_forces_table(text, name="forces.csv", truss=truss)
        assert read.runs[RunId("D")][SegmentId("bottom:B0-B1")] == pytest.approx(-factor, rel=1e-15)
        assert read.rounding[RunId("D")][SegmentId("bottom:B0-B1")] == pytest.approx(factor / 2, rel=1e-15)


@pytest.mark.parametrize(
    ("column", "halves"),
    [
        pytest.param(["18.41", "-3.2"], ["0.005", "0.005"], id="two decimals hide half a hundredth"),
        pytest.param(["18.40", "-3.20"], ["0.05", "0.05"], id="trailing zeros prove nothing"),
        pytest.param(["18400", "1200"], ["50", "50"], id="nor do they before the point"),
        pytest.param(["18400", "1230", "5.67"], ["50", "5", "0.005"], id="three figures throughout"),
        pytest.param(["18412.3", "0.5", "100"], ["0.05", "0.05", "0.05"], id="one decimal throughout"),
        pytest.param(["0", "12.5"], ["0.05", "0.05"], id="a nought has the decimals of the others"),
        pytest.param(["0", "0.0"], ["0", "0"], id="noughts alone are taken at their word"),
        pytest.param(["1e3", "0.001"], ["500", "0.0005"], id="one figure throughout"),
        pytest.param(["20000"], ["5000"], id="one round number hides much"),
    ],
)
def test_rounding_is_the_looser_of_decimals_and_figures(column: list[str], halves: list[str]) -> None:
    assert half_units([Decimal(number) for number in column]) == [Decimal(half) for half in halves]


@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=8), st.integers(0, 3))
def test_what_rounding_hides_covers_what_was_rounded(exact: list[float], decimals: int) -> None:
    rounded = [round(number, decimals) for number in exact]
    for number, typed, half in zip(exact, rounded, half_units([Decimal(repr(n)) for n in rounded]), strict=True):
        if any(rounded):
            assert abs(number - typed) <= float(half) * (1 + 1e-9)


@given(st.lists(st.floats(1, 1e6), min_size=1, max_size=8), st.integers(1, 5))
def test_what_figures_hide_is_covered_as_well(exact: list[float], figures: int) -> None:
    rounded = [float(f"{number:.{figures - 1}e}") for number in exact]
    for number, typed, half in zip(exact, rounded, half_units([Decimal(repr(n)) for n in rounded]), strict=True):
        assert abs(number - typed) <= float(half) * (1 + 1e-9)


@pytest.mark.parametrize(
    ("rows", "forces"),
    [
        ("D;bottom:B0-B1;18,400\nD;w1:B1-T1;-0,125", (18.4, -0.125)),
        ("D;bottom:B0-B1;18,400\nD;w1:B1-T1;-9,12", (18.4, -9.12)),
        ("D;bottom:B0-B1;18.400\nD;w1:B1-T1;-1230.250", (18.4, -1230.25)),
        ("D;bottom:B0-B1;1,84e3\nD;w1:B1-T1;-2", (1840.0, -2.0)),
        ("D;bottom:B0-B1;18,4 T\nD;w1:B1-T1;9,12 C", (18.4, -9.12)),
        ("D;bottom:B0-B1;T 0,5 kip\nD;w1:B1-T1;0", (500.0, 0.0)),
        ("D;bottom:B0-B1;2k (T)\nD;w1:B1-T1;.5k (C)", (2000.0, -500.0)),
    ],
    ids=[
        "a leading nought",
        "two decimals",
        "four before",
        "an exponent",
        "letters",
        "a bare nought",
        "k is a kip",
    ],
)
def test_one_number_that_can_only_be_meant_one_way_tells_how_all_are(
    rows: str, forces: tuple[float, float]
) -> None:
    read = table(f"run;segment;axial\n{rows}\n").runs[RunId("D")]
    assert (read[SegmentId("bottom:B0-B1")], read[SegmentId("w1:B1-T1")]) == forces


def test_k_is_no_unit_where_it_may_be_kilonewtons() -> None:
    text = b"run,segment,axial\nD,bottom:B0-B1,5k\n"
    with pytest.raises(UnreadableError, match='the table gives forces in "k", which is no unit known here'):
        read_forces_table(text, name="forces.csv", truss=SI_TRUSS)


HEADER = "run,segment,axial\n"


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("D,bottom:B0-B1,5\n", 1, 'the header names a column "D", which a table of axial forces does not have.'),
        (
            "run,segment\nD,bottom:B0-B1\n",
            1,
            "the header does not name all columns. Begin with run,segment,axial or",
        ),
        ("run,member,from,axial\n", 1, "the header does not name all columns."),
        ("\n\n", 1, "the file is empty."),
        ("run,segment,member,from,to,axial\n", 1, "the header names segments and members."),
        ("run,segment,axial,axial_kip\n", 1, 'the column "axial_kip" stands twice.'),
        ("run;segment,axial\n", 1, "Put commas between all columns, or semicolons between all."),
        ("run,segment,axial,shear\n", 1, 'the header names a column "shear"'),
        (
            "run,segment,axial_stone\n",
            1,
            'the table gives forces in "stone", which is no unit known here. Known are',
        ),
        (HEADER + "D,bottom:B0-B1\n", 2, "this line has 2 cells, the header 3."),
        (HEADER + "D,bottom:B0-B1,18,400\n", 2, "this line has 4 cells, the header 3."),
        (HEADER + 'D,bottom:B0-B1,"18,400"\n', 2, 'the force "18,400" is no number. Write a plain number such as'),
        (HEADER + "\nD,bottom:B0-B1,5\nD,w1:B1-T1,X 5\n", 4, 'the force "X 5" is no number.'),
        (HEADER + "D,bottom:B0-B1,5 T\nD,w1:B1-T1,-3 C\n", 3, 'the force "-3 C" has a sign and a letter.'),
        (HEADER + "D,bottom:B0-B1,5 T\nD,w1:B1-T1,3\n", 3, 'the force "3" has no letter, and others have.'),
        (HEADER + "D,bottom:B0-B1,T 5 C\n", 2, 'the force "T 5 C" is no number.'),
        (HEADER + "D,bottom:B0-B1,5 kN\nD,w1:B1-T1,3\n", 3, 'the force "3" has no unit, and others have.'),
        (HEADER + "D,bottom:B0-B1,5 kN\nD,w1:B1-T1,3 lb\n", 1, "forces of this table are in kn and in lb."),
        (HEADER + "D,bottom:B0-B1,5 ozf\n", 1, 'the table gives forces in "ozf", which is no unit known here.'),
        (HEADER + "D,bottom:B0-B1,(5)\n", 2, 'the force "(5)" is no number.'),
        (HEADER + "D,bottom:B0-B1,18 400\n", 2, 'the force "18 400" is no number.'),
        (HEADER + "D,bottom:B0-B1,18\N{NARROW NO-BREAK SPACE}400\n", 2, 'the force "18 400" is no number.'),
        (
            "run,segment,axial_kip\nD,bottom:B0-B1,5 kN\n",
            1,
            'the header gives forces in "kip", numbers are in "kn". Name one unit.',
        ),
        (
            "run,segment,axial,notes\nD,bottom:B0-B1,18,400\n",
            2,
            'behind the force "18" stands "400": a comma in a number? Write the force without a comma',
        ),
        (
            "run;segment;axial\nD;bottom:B0-B1;18,400\nD;w1:B1-T1;-9,125\n",
            1,
            "18,400 may be a number with three decimals or one of thousands. Write thousands without a mark",
        ),
        ("run;segment;axial\nD;bottom:B0-B1;18.400\n", 1, "18.400 may be a number with three decimals or one of"),
        ("run;segment;axial\nD;bottom:B0-B1;1.840,5\n", 1, "1.840,5 has a comma and 1.840,5 a point."),
        ("run;segment;axial\nD;bottom:B0-B1;1,840,5\n", 2, 'the force "1,840,5" is no number.'),
        ("run;segment;axial\nD;bottom:B0-B1;5,3\nD;w1:B1-T1;2.1\n", 1, "5,3 has a comma and 2.1 a point."),
        ("run;segment;axial\nD,bottom:B0-B1,5\n", 2, "this line has 1 cells, the header 3."),
        (HEADER + "D,bottom:B0-B1,NaN\n", 2, 'the force "NaN" is no number.'),
        (HEADER + "D,bottom:B0-B1,inf\n", 2, 'the force "inf" is no number.'),
        (HEADER + "D,bottom:B0-B1,1_000\n", 2, 'the force "1_000" is no number.'),
        (HEADER + "D,bottom:B0-B1,\u0665\n", 2, "is no number."),
        (HEADER + "D,bottom:B0-B1,1e31\n", 2, 'the force "1e31" is beyond 1e30.'),
        (HEADER + "D,bottom:B0-B1,\n", 2, '"axial" is empty.'),
        (HEADER + ",bottom:B0-B1,4\n", 2, '"run" is empty.'),
        (HEADER + "D,bottom:B0-B1,5\nD,bottom:B1-B0,5\n", 3, 'segment bottom:B0-B1 of run "D" stands twice.'),
        (HEADER + 'D,"bottom:B0-B1,5\n', 2, "this is no CSV: unexpected end of data. Save the table as CSV"),
        (HEADER + "D,bottom\0:B0-B1,5\n", 2, "this line holds a control character."),
    ],
)
def test_what_is_no_table_is_refused_with_its_line(text: str, line: int, says: str) -> None:
    with pytest.raises(UnreadableError) as caught:
        table(text)
    assert says in str(caught.value)
    assert caught.value.faults[0].line in (line, None)
    assert (caught.value.code == "bad-table") == (caught.value.faults[0].line == line)


def test_every_line_at_fault_is_named() -> None:
    with pytest.raises(UnreadableError) as caught:
        table(HEADER + "D,a,x\nD,b,5\nD,c,y\n")
    assert [(fault.line, fault.where) for fault in caught.value.faults] == [(2, "forces.csv"), (4, "forces.csv")]
    assert str(caught.value) == (
        'bad-table at forces.csv: line 2: the force "x" is no number. Write a plain number such as -18400.5: '
        "tension positive, no spaces or commas in it. (and 1 more fault)"
    )


def test_a_minus_sign_copied_from_print_is_one() -> None:
    assert table(HEADER + "D,w1:B1-T1,\u221212.5\n").runs == {"D": {"w1:B1-T1": -12.5}}


FORCES = SegmentForces(
    axial=18400.25,
    axial_ends=(1.0, 2.0),
    shear=(0.0, 0.0),
    moment=(0.0, 0.0),
    moment_peak=0.0,
    moment_peak_at=0.0,
)
RESULTS = Results(
    model=digest_of_truss(TRUSS),
    idealisation="pinned",
    state="built",
    rests_on=(),
    runs={RunId("D"): RunForces(segments={SegmentId("bottom:B0-B1"): FORCES}, joints={}, reactions={})},
)


def test_a_results_document_is_a_table_that_says_more() -> None:
    data = b" \n" + write_results(RESULTS).encode()
    read = read_forces_table(data, name="results.json", truss=TRUSS)
    assert read.runs == {"D": {"bottom:B0-B1": 18400.25}}
    assert read.rounding == {"D": {"bottom:B0-B1": 0.005}}
    assert (read.idealisation, read.state, read.model) == ("pinned", "built", digest_of_truss(TRUSS))
    assert read.digest == "sha256:" + sha256(data).hexdigest()


def test_a_truss_document_is_no_table() -> None:
    with pytest.raises(UnreadableError, match="this is a truss document; a results document was expected"):
        read_forces_table(write_truss(TRUSS).encode(), name="truss.json", truss=TRUSS)


def test_results_at_fault_are_refused_as_results() -> None:
    spoilt = json.loads(write_results(RESULTS))
    spoilt["runs"]["D"]["segments"]["bottom:B0-B1"]["axial"] = "18.4"
    with pytest.raises(UnreadableError, match=r"/runs/D/segments/bottom:B0-B1/axial \(line 1, column \d+\)"):
        read_forces_table(json.dumps(spoilt).encode(), name="results.json", truss=TRUSS)
