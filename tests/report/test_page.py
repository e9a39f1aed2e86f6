"""The page is one self-contained, well-formed file in the right order, and never says more than it knows."""

from __future__ import annotations

import hashlib
import re
from base64 import b64encode
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from lxml import etree

from tests.drawing import roofs
from tests.report import assessments, standings
from trussio.drawing import dxf, svg
from trussio.drawing.embedding import embedded_document
from trussio.drawing.loading import load_drawing
from trussio.drawing.sheet import sheet
from trussio.errors import UsageError
from trussio.model.assessment import Assessment
from trussio.model.change import Assumption, Question
from trussio.model.finding import Finding
from trussio.model.loading import LoadCase, Loads, RunId
from trussio.model.material import Section
from trussio.model.truss import Joint, JointId, SectionId
from trussio.report.page import STANDING, page
from trussio.report.summary import summary

PAGES = {
    "complete": assessments.complete(),
    "bending": assessments.bending(assessments.complete()),
    "troubled": assessments.troubled(),
    "checked": standings.checked(),
    "metric": assessments.complete(assessments.loaded(roofs.king_post())),
    "long": assessments.complete(assessments.loaded(roofs.bowstring(22))),
    "bare": assessments.bare(roofs.nameless()),
}
VOID = {"meta", "br"}


@cache
def made(name: str) -> str:
    """The page of one of the above, made once."""
    return page(PAGES[name])


class Strict(HTMLParser):
    """Takes a page apart and holds that every element is closed where it was opened."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.text: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {key: value or "" for key, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if data.strip():
            self.text.append((self.open[-1] if self.open else "", data.strip()))


def taken_apart(text: str) -> Strict:
    parser = Strict()
    parser.feed(text)
    parser.close()
    assert parser.open == []
    return parser


def shown(assessment: Assessment) -> str:
    """All words that a reader sees."""
    return " ".join(data for tag, data in taken_apart(page(assessment)).text if tag != "style")


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_well_formed_with_one_title_and_headings_in_order(name: str) -> None:
    parser = taken_apart(made(name))
    tags = [tag for tag, _ in parser.tags]
    assert parser.tags[0] == ("html", {"lang": "en"})
    assert (tags.count("h1"), tags.count("main"), tags.count("style")) == (1, 1, 1)
    levels = [int(tag[1]) for tag in tags if re.fullmatch(r"h[1-6]", tag)]
    assert all(after <= before + 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("name", PAGES)
def test_a_page_needs_no_script_and_no_network(name: str) -> None:
    text = made(name)
    parser = taken_apart(text)
    assert not {"script", "link", "iframe", "object", "embed", "img", "base", "form"} & {t for t, _ in parser.tags}
    for _, attributes in parser.tags:
        assert not [key for key in attributes if key.startswith("on") or key in {"style", "src"}]
        assert attributes.get("href", "#").startswith("#")
    assert set(re.findall(r"https?://[^\"\s<]+", text)) <= {"http://www.w3.org/2000/svg"}
    assert "url(" not in text
    assert "@import" not in text


@pytest.mark.parametrize("name", PAGES)
def test_the_policy_allows_the_one_style_sheet_by_its_hash_and_nothing_else(name: str) -> None:
    parser = taken_apart(made(name))
    style = re.search(r"<style>(.*?)</style>", made(name), re.DOTALL)
    assert style is not None
    digest = b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    policy = next(a["content"] for _, a in parser.tags if a.get("http-equiv") == "Content-Security-Policy")
    assert policy == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"


@pytest.mark.parametrize("name", PAGES)
def test_ids_are_unique_and_every_link_and_label_finds_its_own(name: str) -> None:
    tags = taken_apart(made(name)).tags
    ids = [attributes["id"] for _, attributes in tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    wanted = [a["href"][1:] for _, a in tags if "href" in a]
    wanted += [one for _, a in tags for one in a.get("aria-labelledby", "").split()]
    assert set(wanted) <= set(ids)


@pytest.mark.parametrize("name", PAGES)
def test_every_table_has_a_caption_and_scoped_headings(name: str) -> None:
    tags = [tag for tag in taken_apart(made(name)).tags if tag[0] in {"table", "caption", "th"}]
    for (tag, _), (after, _) in pairwise(tags):
        if tag == "table":
            assert after == "caption"
    assert all(attributes.get("scope") in {"col", "row"} for tag, attributes in tags if tag == "th")
    root = etree.HTML(made(name))
    assert [th for th in root.iter("th") if not "".join(map(str, th.itertext())).strip()] == []


@pytest.mark.parametrize("name", PAGES)
def test_no_two_regions_have_one_name(name: str) -> None:
    parser = taken_apart(made(name))
    names = [data for tag, data in parser.text if tag == "h2"]
    names += [attributes["aria-label"] for _, attributes in parser.tags if attributes.get("role") == "region"]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", PAGES)
def test_the_same_assessment_gives_the_same_page(name: str) -> None:
    assert page(PAGES[name]) == made(name)


@pytest.mark.parametrize("name", PAGES)
def test_no_page_says_more_than_a_calculation_may(name: str) -> None:
    words = re.findall(r"[a-z]+", made(name).lower())
    forbidden = {
        "safe",
        "safely",
        "approved",
        "approve",
        "certified",
        "certificate",
        "compliant",
        "pass",
        "passed",
    }
    assert not forbidden & set(words)


@pytest.mark.parametrize("name", PAGES)
def test_no_key_of_ours_and_no_base_unit_is_shown(name: str) -> None:
    """The arithmetic alone keeps the units of its clauses, in which it is done."""
    root = etree.HTML(made(name))
    for part in (*root.iter("details"), *root.iter("style")):
        part.clear()
    told = " ".join(map(str, root.itertext()))
    for key in ("in-lbf", "N-mm", "lbf", "self_stress", "top-chord", "bottom-chord", "rests_on", "None", "nan"):
        assert key not in told


def test_the_parts_stand_in_their_order() -> None:
    parser = taken_apart(page(assessments.complete()))
    headings = [data for tag, data in parser.text if tag == "h2"]
    assert headings == [
        "What to know first",
        "The model",
        "Per cent of allowable",
        "Forces",
        "Reactions",
        "Movements",
        "Findings",
        "Statics",
        "Recheck",
        "Assumptions",
        "Open questions",
        "Changes made in reading",
        "Loads",
        "How it was taken to act",
        "What was entered",
        "Cautions",
        "Limits",
    ]
    assert shown(assessments.complete()).endswith(STANDING)


def test_every_run_has_its_figure_those_that_act_first() -> None:
    parser = taken_apart(page(assessments.complete()))
    captions = [data for tag, data in parser.text if tag == "figcaption"]
    assert captions == [
        "The model: joints, sticks with their sizes, supports, panel lengths.",
        "Axial forces in run D+S (1 D + 1 S).",
        "Axial forces in run D+SL (1 D + 1 SL).",
        "Axial forces in run D, a load case by itself.",
        "Axial forces in run S, a load case by itself.",
        "Axial forces in run SL, a load case by itself.",
    ]


def test_the_table_holds_every_force_with_its_letter_in_every_run() -> None:
    whole = assessments.complete()
    assert whole.results is not None
    root = etree.HTML(page(whole))
    rows = {
        row.findtext("th"): [" ".join(map(str, cell.itertext())) for cell in row.findall("td")]
        for table in root.iterfind(".//section[@aria-labelledby='forces']//table")
        if "changes sign" not in (table.findtext("caption") or "")
        for row in table.iterfind("tbody/tr")
    }
    assert list(rows) == [segment.id for segment in whole.truss.segments]
    for segment, cells in rows.items():
        for run, cell in zip(whole.results.runs, cells, strict=True):
            number, _, letter = cell.partition(" ")
            axial = next(f.axial for s, f in whole.results.runs[run].segments.items() if s == segment)
            assert float(number) == pytest.approx(abs(axial) / 1000, abs=0.0501)
            assert {"T": axial > 0, "C": axial < 0, "": abs(axial) <= 50}[letter]


def test_reactions_are_in_the_table() -> None:
    root = etree.HTML(page(assessments.complete()))
    rows = [
        [" ".join(map(str, cell.itertext())) for cell in row]
        for row in root.iterfind(".//section[@aria-labelledby='reactions']//tbody/tr")
    ]
    assert ["D", "B0", "0", "5.2"] in rows or ["D", "B0", "0", "5.3"] in rows
    assert len(rows) == 2 * 5


def test_bending_and_moments_at_bearings_are_shown_where_they_are() -> None:
    bent, straight = shown(assessments.bending(assessments.complete())), shown(assessments.complete())
    assert "Largest bending moment of every segment that bends, in ft-k" in bent
    assert "-14.0 at 3'-9\"" in bent
    assert "against rotation, ft-k" in bent
    assert "No segment bends." in straight
    assert "against rotation" not in straight


def test_what_was_not_done_is_not_evaluated_in_every_part() -> None:
    told = shown(assessments.bare(roofs.nameless()))
    for words in (
        "Forces, reactions and movements Not evaluated: no forces were calculated.",
        "Findings Not evaluated: the model was not audited.",
        "Statics Not evaluated: the model was not audited.",
        "Recheck Not evaluated: no second method was run on these forces.",
        "The document holds no loads.",
        "No section is stated.",
        "No material is stated.",
        "No support is stated.",
    ):
        assert words in told


def test_an_audit_that_found_nothing_is_no_proof() -> None:
    whole = assessments.complete()
    assert whole.findings is not None
    told = shown(replace(whole, findings=replace(whole.findings, findings=())))
    assert "No rule of the audit found anything. That is no proof that the model is the roof." in told


def test_forces_over_a_stop_say_so_beside_the_forces() -> None:
    told = shown(assessments.troubled())
    assert told.count("Calculated over a stop (no-material): no force here may be relied on.") == 2


def test_boxes_for_originator_and_checker_stay_empty() -> None:
    root = etree.HTML(page(assessments.complete()))
    cells = root.findall(".//div[@class='sign']//tbody//td")
    assert len(cells) == 4
    assert all(not (cell.text or "").strip("\u00a0 ") for cell in cells)


def test_what_was_assumed_asked_and_changed_is_told() -> None:
    told = shown(assessments.complete())
    for words in (
        "The left bearing is held and the right one rolls. nothing in the drawing support B0; support B8 not",
        "All wood is Invented fir No. 1. basis.json — AB, 3 May",
        "Which bearing can slide? The right one. Write it into the basis file.",
        'The end of a web was joined to the bottom chord. 7\'-6", 0" 0.25 in. 2A, 2B',
        "The bottom chord was split where a web meets it. — — —",
        "The forces rest on 1 assumption that nobody has confirmed: a1.",
        "degree of indeterminacy 21 0",
    ):
        assert words in told


@pytest.mark.parametrize("foreign", ["results", "findings", "check record", "checks"])
def test_what_belongs_to_another_document_is_refused(foreign: str) -> None:
    whole = standings.checked()
    assert whole.results is not None
    assert whole.findings is not None
    assert whole.check_record is not None
    assert whole.checks is not None
    other = "sha256:ffff" + "0" * 60
    mixed = {
        "results": replace(whole, results=replace(whole.results, model=other)),
        "findings": replace(whole, findings=replace(whole.findings, model=other)),
        "check record": replace(whole, check_record=replace(whole.check_record, model=other)),
        "checks": replace(whole, checks=replace(whole.checks, model=other)),
    }[foreign]
    with pytest.raises(UsageError) as caught:
        page(mixed)
    assert str(caught.value) == (
        f"other-model at hall-truss-2.json: The {foreign} of document ffff00000000 cannot stand beside "
        "document 0123456789ab. Calculate them again from this document."
    )


HOSTILE = "</style></title></script><script>alert('&amp;')</script><img src=x onerror=alert(1)>\x00\ud800"


def test_no_string_of_a_model_becomes_markup() -> None:
    whole = assessments.complete()
    assert whole.findings is not None
    finding = Finding(code=HOSTILE, level="stop", where=(f"/members/{HOSTILE}",), says=HOSTILE, do=HOSTILE)
    truss = replace(
        whole.truss,
        title=HOSTILE,
        assumptions={HOSTILE: Assumption(what=HOSTILE, rests_on=HOSTILE, touches=(HOSTILE,), confirmed=HOSTILE)},
        sections={**whole.truss.sections, SectionId("chord"): Section(width=2.0, depth=9.0, label=HOSTILE)},
    )
    hostile = replace(
        whole,
        name=HOSTILE,
        truss=truss,
        findings=replace(whole.findings, findings=(finding,)),
        questions=(Question(code=HOSTILE, asks=HOSTILE, taken=HOSTILE, settle=HOSTILE),),
    )
    text = page(hostile)
    tags = [tag for tag, _ in taken_apart(text).tags]
    assert "script" not in tags
    assert "img" not in tags
    assert "<script>alert" not in text
    assert "\x00" not in text
    text.encode()


@pytest.mark.parametrize(
    ("assessment", "words", "there"),
    [
        (assessments.complete(), "Under a curved chord the webs do little", True),
        (PAGES["metric"], "Under a curved chord the webs do little", False),
        (assessments.complete(), "Snow comes off in an order", True),
        (assessments.bare(roofs.bowstring()), "Snow comes off in an order", False),
        (assessments.complete(), "A stressed tendon stores energy", False),
        (assessments.troubled(), "A truss beside one that gave way", True),
        (assessments.complete(), "A truss beside one that gave way", False),
        (assessments.complete(), "pulled in one run and pushed in another", True),
        (assessments.bare(roofs.bowstring()), "A shore turns forces round", False),
        (assessments.complete(), "A shore turns forces round", True),
        (assessments.bare(roofs.nameless()), "leave, keep others out", True),
        (assessments.bare(roofs.nameless()), "it agrees with the model only in what was surveyed", True),
        (assessments.bare(roofs.nameless()), "Values for dry wood", False),
    ],
)
def test_a_caution_stands_where_the_model_calls_for_it(*, assessment: Assessment, words: str, there: bool) -> None:
    assert (words in shown(assessment)) is there


def test_a_tendon_brings_its_caution() -> None:
    stressed = replace(roofs.bowstring(), loads=Loads(cases={RunId("PT"): LoadCase(kind="post-tension")}))
    assert "A stressed tendon stores energy" in shown(assessments.bare(stressed))


def test_the_paper_is_that_of_the_units_and_prints_the_document() -> None:
    us, metric = page(assessments.complete()), page(PAGES["metric"])
    assert "size: letter;" in us
    assert "size: A4;" in metric
    assert '"document 0123456789ab"' in us
    for rule in ("break-inside: avoid", "display: table-header-group", "color-scheme: light", "tabular-nums"):
        assert rule in us


def test_a_digest_cannot_break_out_of_the_style_sheet() -> None:
    bare = assessments.bare(roofs.king_post())
    style = re.search(r"<style>(.*?)</style>", page(replace(bare, digest='"}</style><b>')), re.DOTALL)
    assert style is not None
    assert 'content: "document styleb"' in style[1]


def test_many_runs_make_several_tables_with_captions_of_their_own() -> None:
    whole = assessments.complete()
    assert whole.results is not None
    one = next(iter(whole.results.runs.values()))
    cases = {RunId(f"C{at}"): LoadCase() for at in range(8)}
    many = replace(
        whole,
        truss=replace(whole.truss, loads=Loads(cases=cases)),
        results=replace(whole.results, runs=dict.fromkeys(cases, one)),
        check_record=None,
        applied={},
    )
    captions = [
        data for tag, data in taken_apart(page(many)).text if tag == "caption" and data.startswith("Axial")
    ]
    assert [caption.rpartition(": ")[2] for caption in captions] == ["C0, C1, C2, C3, C4, C5", "C6, C7"]


def test_a_figure_too_wide_to_read_scrolls_in_a_frame_of_its_own() -> None:
    wide = replace(roofs.bowstring(40, span=1920.0, rise=240.0))
    assert 'class="frame wide"' in page(assessments.bare(wide))
    assert 'class="frame wide"' not in page(assessments.bare(roofs.bowstring(22, span=1056.0, rise=132.0)))


B0 = JointId("B0")
KING = roofs.king_post()
ODD = {
    "nothing at all": replace(KING, joints={}, members={}, supports={}, loads=Loads()),
    "one joint": replace(KING, joints={B0: KING.joints[B0]}, members={}, supports={B0: roofs.PIN}, loads=Loads()),
    "two joints in one place": replace(
        KING, joints={B0: KING.joints[B0], JointId("X"): KING.joints[B0]}, members={}, supports={}, loads=Loads()
    ),
    "far away": replace(KING, joints={n: Joint(x=j.x + 1e9, y=j.y - 1e9) for n, j in KING.joints.items()}),
    "very large": replace(KING, joints={n: Joint(x=j.x * 1e300, y=j.y * 1e300) for n, j in KING.joints.items()}),
    "very small": replace(KING, joints={n: Joint(x=j.x * 1e-30, y=j.y * 1e-30) for n, j in KING.joints.items()}),
}


@pytest.mark.parametrize("name", ODD)
def test_any_valid_document_has_a_page_a_summary_and_drawings(name: str) -> None:
    bare = assessments.bare(ODD[name])
    taken_apart(page(bare))
    assert summary(bare).count("\n") < 24
    etree.fromstring(svg.render(sheet(ODD[name], digest=bare.digest)).encode())
    found = embedded_document(load_drawing(dxf.write(ODD[name], document="x", digest=bare.digest)).drawing)
    assert found is not None
    assert (found.text, found.edited) == ("x", False)
