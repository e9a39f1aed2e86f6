"""The account of generated loads on the page: clause, numbers, diagram, pencil check, and what was edited."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from lxml import etree

from tests.report.test_waking import hall
from trussio.assess import assess
from trussio.document.encode import digest_of_truss
from trussio.loads.pencil import pencil_checks
from trussio.model.assessment import Assessment
from trussio.model.condition import Missing
from trussio.model.loading import JointLoad, RunId
from trussio.model.site import PencilCheck
from trussio.model.truss import JointId, MemberId, Truss
from trussio.report.load_origin import agrees, area_line, edition_line
from trussio.report.page import page
from trussio.report.totals import load_lines


def edited() -> Truss:
    """The hall with a load more in its generated balanced snow."""
    truss, _ = hall()
    snow = truss.loads.cases[RunId("S")]
    more = replace(snow, loads=(*snow.loads, JointLoad(joint=JointId("T4"), fy=-1000.0)))
    return replace(truss, loads=replace(truss.loads, cases={**truss.loads.cases, RunId("S"): more}))


@cache
def assessed(*, spoilt: bool = False) -> Assessment:
    truss = edited() if spoilt else hall()[0]
    return assess(truss, name="hall.json", digest=digest_of_truss(truss))


def rows(text: str, caption: str) -> dict[str, list[str]]:
    """The rows of a table of the page by their first cell."""
    for table in etree.HTML(text).iterfind(".//table"):
        if (table.findtext("caption") or "").startswith(caption):
            return {
                "".join(map(str, row[0].itertext())): [
                    " ".join(map(str, cell.itertext())) for cell in row.findall("td")
                ]
                for row in table.iterfind("tbody/tr")
            }
    raise AssertionError(caption)


def test_every_case_stands_with_sums_clause_and_source_mark() -> None:
    truss, _ = hall()
    assert truss.loads.basis is not None
    told = rows(page(assessed()), "Generated load cases")
    assert list(told) == list(truss.loads.basis.cases)
    for run, (says, by_loads, by_area, clause, mark) in told.items():
        made = truss.loads.basis.cases[RunId(run)]
        assert (says, clause, mark) == (made.says, made.clause, made.mark)
        assert by_loads == by_area
        assert by_loads.endswith(" k")
    assert told["S-left"][4] == "from memory, check against the licensed text"


def test_every_case_with_a_diagram_has_a_sketch_and_every_number_that_entered_stands() -> None:
    truss, _ = hall()
    assert truss.loads.basis is not None
    text = page(assessed())
    sketches = etree.HTML(text).findall(".//div[@class='small']/figure")
    assert len(sketches) == sum(len(told.diagram) > 1 for told in truss.loads.basis.cases.values())
    numbers = rows(text, "Numbers that entered case S-left")
    assert numbers["at the eave"][0] == f"{2 * 28.0:.6g}"
    assert numbers["at the eave"][-1] == "from memory, check against the licensed text"


def test_both_sums_stand_in_one_sentence_and_the_edition_beside_them() -> None:
    _, lines = load_lines(assessed())
    assert "Edition of the load rules: ASCE/SEI 7-16." in lines
    (line,) = [line for line in lines if line.startswith("Sum of generated loads")]
    assert line.startswith("Sum of generated loads against area times intensity: alike in every case (D ")


def test_many_runs_that_balance_are_one_sentence() -> None:
    wrong, lines = load_lines(assessed())
    assert wrong == []
    assert lines[0].startswith("Loads that the reactions balance, run by run: D+S ")
    assert lines[0].count(" down") == len(hall()[0].loads.combinations) + 1


def test_a_load_put_in_by_hand_is_seen_by_both_and_said() -> None:
    text, told = page(assessed(spoilt=True)), rows(page(assessed(spoilt=True)), "Generated load cases")
    assert "differs" in told["S"][2]
    assert "Edited since it was generated" in told["S"][0]
    assert "Edited since it was generated" not in told["S-left"][0]
    assert "Edited since they were generated: S." in text
    assert area_line(assessed(spoilt=True)).startswith(
        "Sum of generated loads against area times intensity: they differ in S ("
    )


def test_a_truss_as_found_is_held_to_the_loads_of_its_document() -> None:
    truss, _ = hall()
    broken = replace(truss, condition={"c1": Missing(member=MemberId("w5"), seen="gone")})
    whole = assess(broken, name="hall.json", digest=digest_of_truss(broken))
    codes = {finding.code for finding in whole.findings.findings} if whole.findings else set()
    assert "missing" in codes
    assert not codes & {"edited-loads", "outdated-loads"}
    assert "Edited since" not in page(whole)


def test_loads_of_another_roof_are_said() -> None:
    truss, _ = hall()
    assert truss.site is not None
    wider = replace(truss, site=replace(truss.site, spacing=240.0))
    assert edition_line(wider).endswith("they are those of another roof.")
    assert edition_line(replace(truss, loads=replace(truss.loads, basis=None))).startswith(
        "Edition of the load rules: not stated"
    )
    assert not all(agrees(check) for check in pencil_checks(wider).values())


@pytest.mark.parametrize(
    ("check", "expected"),
    [
        (PencilCheck(1.0, 1.0 + 0.9e-6), True),
        (PencilCheck(1.0, 1.0 + 1.1e-6), False),
        (PencilCheck(None, 1.0), False),
        (PencilCheck(1.0, None), False),
    ],
)
def test_sums_agree_to_a_millionth(check: PencilCheck, *, expected: bool) -> None:
    assert agrees(check) is expected
