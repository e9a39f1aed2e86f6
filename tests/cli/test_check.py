"""The verb check: text, document, one element, exit codes, and every refusal in words."""

from __future__ import annotations

import json
import re
from math import inf, isclose, sqrt
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.cli.running import trussio
from trussio.document.checks import read_checks
from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss
from trussio.model.check import Derivation
from trussio.model.standing import Variation

if TYPE_CHECKING:
    from trussio.model.standing import Checks

SAMPLES = Path(__file__).parent.parent.parent / "samples"
HALL, BARN = SAMPLES / "hall" / "hall-truss-2.json", SAMPLES / "barn" / "barn-truss-b.json"


def document(*words: object) -> Checks:
    ran = trussio("check", *words, "--json", "--fail-on", "never")
    assert ran.code == 0, ran.err
    return read_checks(ran.out.encode(), name="stdout")


def spoilt(tmp_path: Path, pointer: list[str], value: object) -> Path:
    """The hall with one field changed."""
    whole = json.loads(HALL.read_text(encoding="utf-8"))
    part = whole
    for key in pointer[:-1]:
        part = part[key]
    part[pointer[-1]] = value
    path = tmp_path / "hall.json"
    path.write_text(json.dumps(whole), encoding="utf-8")
    return path


def test_the_text_is_over_then_open_then_within() -> None:
    ran = trussio("check", HALL)
    assert ran.code == 1
    heads = [line.partition(":")[0] for line in ran.out.splitlines() if re.match(r"[A-Z]+ [A-Z]+", line)]
    assert heads == ["OVER THE LIMIT", "NOT EVALUATED", "WITHIN THE LIMIT, as far as evaluated"]
    assert "Nothing over it is acceptable, and what is not evaluated proves nothing." in ran.out
    assert "connection at 16 joints: B0, B1," in ran.out
    assert "must carry up to 37.5 k, run D+S, at joint B" in " ".join(ran.out.split())
    assert " 0 %" not in ran.out


def test_the_hall_shows_what_bowstrings_show() -> None:
    """A web too slender under uneven snow, the bottom chord over by tension with bending, and each says why."""
    standings = {one.element: one for one in document(HALL).standings}
    web = standings["w5:B3-T3"]
    assert (web.verdict, web.governs.what, web.governs.run) == ("not met", "slenderness", "D+SL")
    assert [cause.rule for cause in web.causes] == ["sign-changed", "too-slender"]
    chord = standings["bottom:B1-B2"]
    assert (chord.verdict, chord.governs.what) == ("not met", "tension with bending")
    assert [cause.rule for cause in chord.causes] == ["load-case", "axial-or-bending", "pushing-web", "old-stamp"]
    assert chord.limit is not None
    assert chord.limit.says == "reaches 1.0 at 0.84 x snow"
    turned = [one for one in standings.values() if any(cause.rule == "uneven-load" for cause in one.causes)]
    assert turned


def test_changing_the_cause_in_the_document_changes_the_sentence(tmp_path: Path) -> None:
    today = spoilt(tmp_path, ["materials", "df1", "grade"], "No. 1 graded in place")
    whole = json.loads(today.read_text(encoding="utf-8"))
    whole["materials"]["df1"]["reference"] |= {"Fb": 1200, "Ft": 660}
    today.write_text(json.dumps(whole), encoding="utf-8")
    told = trussio("check", today, "--element", "bottom").out
    assert "Its stamp" not in told
    assert (
        "Its stamp 1200f counted 1200 psi in tension in its day"
        in trussio("check", HALL, "--element", "bottom").out
    )
    stout = spoilt(tmp_path, ["members", "w5", "section"], "3x6")
    assert "too slender" not in trussio("check", stout, "--element", "w5").out
    assert "too slender" in trussio("check", HALL, "--element", "w5").out


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--fail-on", "over"), 1),
        (("--fail-on", "not-evaluated"), 1),
        (("--fail-on", "never"), 0),
    ],
)
def test_exit_codes_where_something_is_over(words: tuple[str, ...], code: int) -> None:
    assert trussio("check", HALL, *words).code == code


def test_exit_codes_where_nothing_is_over_and_something_is_open(tmp_path: Path) -> None:
    whole = json.loads(BARN.read_text(encoding="utf-8"))
    whole["materials"]["iron"]["reference"]["Ft"] = 120
    path = tmp_path / "barn.json"
    path.write_text(json.dumps(whole), encoding="utf-8")
    assert trussio("check", path).code == 0
    assert trussio("check", path, "--fail-on", "not-evaluated").code == 1


def test_the_document_belongs_to_the_model_and_is_written_alike() -> None:
    checks = document(HALL)
    assert checks.model == digest_of_truss(read_truss(HALL.read_bytes(), name="hall"))
    assert trussio("check", HALL, "--json").out == trussio("check", HALL, "--json").out


def test_a_file_is_written_in_the_kind_of_its_name(tmp_path: Path) -> None:
    for name, begins in (("c.json", "{"), ("c.txt", "Demo hall")):
        ran = trussio("check", HALL, "-o", tmp_path / name, "--fail-on", "never")
        assert (ran.code, ran.out) == (0, "")
        assert (tmp_path / name).read_text(encoding="utf-8").startswith(begins)
    assert trussio("check", HALL, "-o", tmp_path / "c.json").code == 6


def test_bracing_that_is_said_closes_what_was_open() -> None:
    before = {one.element: one.verdict for one in document(HALL).standings}
    after = {one.element: one.verdict for one in document(HALL, "--lateral", "top=24").standings}
    assert before["top:B0-T1"] == "met in part"
    assert after["top:B0-T1"] == "met"
    wide = {one.element: one.verdict for one in document(HALL, "--lateral", "top=120").standings}
    assert wide["top:B0-T1"] == "not met"


def test_conditions_lower_what_wood_may_carry() -> None:
    def ratio(*words: object) -> float:
        one = next(one for one in document(BARN, *words).standings if one.element == "bottom:B0-B1")
        return one.governs.ratio or 0.0

    assert ratio("--service-class", 3) > ratio("--service-class", 2) == ratio()
    remarks = [r for one in document(BARN, "--service-class", 2).standings for r in one.governs.remarks]
    assert not [remark for remark in remarks if "taken as service class" in remark]


def test_a_temperature_is_in_the_degrees_of_the_document() -> None:
    hot = document(HALL, "--wet", "no", "--temperature", 120)
    one = next(one for one in hot.standings if one.element == "bottom:B1-B2")
    assert next(line.value for line in one.governs.derivation.lines if line.symbol == "Ct") < 1.0
    assert not [remark for remark in one.governs.remarks if remark.startswith("taken as dry")]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--element", "w99"), "unknown-element\n  w99: no element of this name has a check."),
        (("--lateral", "top"), "bad-lateral\n  top: --lateral takes a stick and a length."),
        (("--lateral", "top=wide"), "bad-lateral\n  top=wide: "),
        (("--lateral", "top=-1"), "bad-lateral\n  top=-1: "),
        (("--lateral", "top=inf"), "bad-lateral\n  top=inf: "),
        (("--lateral", "roof=24"), "unknown-member\n  roof=24: The document has no stick roof."),
    ],
)
def test_what_cannot_be_is_a_question_of_usage(words: tuple[str, ...], says: str) -> None:
    ran = trussio("check", HALL, *words)
    assert ran.code == 2
    assert says in ran.err


def test_a_stop_refuses_as_in_the_analysis_and_may_be_overridden(tmp_path: Path) -> None:
    path = spoilt(tmp_path, ["supports"], {})
    assert trussio("check", path).code == 4
    thin = spoilt(tmp_path, ["loads", "cases", "S", "loads"], [{"joint": "T4", "moment": 12}])
    assert trussio("check", thin, "--idealisation", "pinned").code == 4
    ran = trussio("check", thin, "--idealisation", "pinned", "--despite-stops", "--fail-on", "never")
    assert ran.code == 0, ran.err
    assert "OVER A STOP" in ran.out


@pytest.mark.parametrize("name", ["w5", "w5:B3-T3", "B3", "bottom"])
def test_an_element_is_found_by_its_stick_its_segment_or_its_joint(name: str) -> None:
    ran = trussio("check", HALL, "--element", name)
    assert f"\n{'joint ' if name == 'B3' else ''}{name}" in ran.out


def test_a_connection_is_found_by_its_joint(tmp_path: Path) -> None:
    post = {"joint": "B4", "pieces": [{"member": "w7"}, {"member": "bottom"}]}
    path = spoilt(tmp_path, ["connections"], {"post": post})
    assert "\nconnection post" in trussio("check", path, "--element", "B4").out
    assert "\nconnection post" not in trussio("check", path, "--element", "B3").out


def test_the_arithmetic_says_what_is_from_memory() -> None:
    text = trussio("check", HALL, "--element", "bottom:B1-B2").out
    assert (
        "tension with bending (NDS-2018 3.9.1 eq. 3.9-1, run D+S, Douglas Fir-Larch 1200f): interaction 1.09"
        in text
    )
    assert "from memory, check against the licensed text" in text
    assert re.search(r"\n +ft += +[\d.]+ psi +T / A +statics\n", text)


FUNCTIONS = {"sqrt": sqrt}


def evaluated(formula: str, above: dict[str, float]) -> float | None:
    """A formula worked out from the values above it; None where it is words."""
    text = formula.partition(", c =")[0].partition(", below")[0]
    names = sorted(above, key=len, reverse=True)
    placed, values = text, {}
    for index, name in enumerate(names):
        token = f"V{index}_"
        pattern = rf"(?<![\w'*/,.]){re.escape(name)}(?![\w'*,])"
        placed, count = re.subn(pattern, f" {token} ", placed)
        if count:
            values[token] = above[name]
    placed = placed.replace(" x ", " * ").replace("^", "**")
    placed = re.sub(r"(V\d+_|\d|\))\s+(?=V\d+_|\(|sqrt)", r"\1 * ", placed)
    placed = re.sub(r"(V\d+_|\d|\))\s+(?=V\d+_|\(|sqrt)", r"\1 * ", placed)
    if re.search(r"[A-Za-z]", re.sub(r"V\d+_|sqrt", "", placed)):
        return None
    try:
        return float(eval(placed, {"__builtins__": {}}, {**FUNCTIONS, **values}))  # noqa: S307 - our own formulas
    except (SyntaxError, TypeError, ZeroDivisionError):
        return None


@pytest.mark.parametrize("path", [HALL, BARN], ids=["NDS-2018", "EN 1995-1-1"])
def test_a_pocket_calculator_gives_every_line_that_is_arithmetic(path: Path) -> None:
    worked = wrong = 0
    for one in document(path, "--lateral", f"{'top' if path is HALL else 'top-1'}=24").standings:
        for check in (one.governs, *one.others):
            above: dict[str, float] = {}
            for line in check.derivation.lines:
                value = evaluated(line.formula, above) if line.formula else None
                if value is not None and line.value != inf:
                    worked += 1
                    wrong += not isclose(value, line.value, rel_tol=1e-6, abs_tol=1e-9)
                above[line.symbol] = line.value
    assert worked > 200
    assert wrong == 0


def test_a_line_stands_again_where_its_symbol_had_another_value_since() -> None:
    checks = document(HALL)
    one = next(one for one in checks.standings if one.element == "w6:B3-T4")
    lines = one.governs.derivation.lines
    assert Derivation(0.0, lines).lines == lines


def test_what_nobody_confirmed_is_also_shown_at_its_low_value() -> None:
    chord = {one.element: one for one in document(HALL).standings}["bottom:B1-B2"]
    assert chord.low is not None
    assert chord.governs.ratio is not None
    assert chord.low.ratio > chord.governs.ratio
    text = " ".join(trussio("check", HALL).out.split())
    assert f"low: {chord.low.says}" in text
    assert "with today's dressed sizes, which nobody has ruled out" in text
    for one in document(HALL).standings:
        assert one.low is None or one.low.ratio > (one.governs.ratio or 0.0)


def broken(tmp_path: Path, *, member: str, at: float) -> Path:
    """The hall with a stick broken through."""
    whole = json.loads(HALL.read_text(encoding="utf-8"))
    whole["condition"] = {"b1": {"kind": "severed", "member": member, "at": at, "seen": "broken through"}}
    path = tmp_path / "broken.json"
    path.write_text(json.dumps(whole), encoding="utf-8")
    return path


def test_what_is_found_broken_is_explained_as_it_was_built_or_said_to_be_unexplained(tmp_path: Path) -> None:
    chord = broken(tmp_path, member="bottom", at=200)
    text = " ".join(trussio("check", chord).out.split())
    assert "FOUND BROKEN, and how it stood as built: 1 bottom:B2-B3, /condition/b1: broken through" in text
    assert (
        "As built it stood over its limit, at interaction 1.56 (run D+S, tension with bending at the butt" in text
    )
    assert "why: Ply 1 is cut on it, 22.7 in. from where it bends most" in text
    [one] = document(chord).failures
    then = {standing.element: standing for standing in document(HALL).standings}["bottom:B2-B3"]
    assert one.built.governs.ratio == pytest.approx(then.governs.ratio)
    assert document(chord, "--state", "built").failures == ()
    web = broken(tmp_path, member="w4", at=60)
    text = " ".join(trussio("check", web).out.split())
    assert "the model does not explain it. look on site at: a bow that it had before" in text
    assert "FOUND BROKEN" not in trussio("check", HALL).out


def test_variations_of_the_survey_tell_how_often_an_element_is_over() -> None:
    found = document(HALL, "--survey-tolerance", "0.5in", "--samples", "20")
    assert found.variation == Variation(tolerance=0.5, stiffness=0.0, samples=20)
    shares = {one.element: one.over_share for one in found.standings}
    assert shares["bottom:B2-B3"] == 1.0
    assert shares["w7:B4-T4"] == 0.0
    assert 0.0 < (shares["bottom:B4-B5"] or 0.0) <= 1.0
    assert 0.0 < (shares["w6:B3-T4"] or 0.0) < 1.0, "slender by a hair: some variations are short enough"
    assert shares["/joints/B0"] is None
    text = trussio("check", HALL, "--survey-tolerance", "0.5in", "--samples", "20").out
    assert "OVER THE LIMIT, of 20 variations (joints off by up to 0.5 in.)" in text
    assert "  Forces and lengths between joints vary; sizes, values, bracing and connections stay." in text
    assert "  bottom:B2-B3   100 %" in text
    exactly = document(HALL, "--survey-tolerance", "0", "--samples", "3")
    for one in exactly.standings:
        if one.over_share is not None:
            assert one.over_share == (1.0 if one.verdict == "not met" else 0.0), one.element
    assert trussio("check", HALL, "--samples", "20").code == 2


def test_design_load_is_compared_with_that_of_before(tmp_path: Path) -> None:
    """Even snow of 420 instead of 320 lb/ft: the chord's tension in D+S grows by the snow's part of it."""
    whole = json.loads(HALL.read_text(encoding="utf-8"))
    whole["loads"]["cases"]["S"]["loads"][0]["down"] = 420
    after = tmp_path / "after.json"
    after.write_text(json.dumps(whole), encoding="utf-8")
    now = {one.element: one for one in document(after, "--before", HALL).standings}
    then = {one.element: one for one in document(HALL).standings}
    chord, before = now["bottom:B3-B4"].carried, then["bottom:B3-B4"].carried
    assert chord is not None
    assert before is not None
    assert now["bottom:B3-B4"].grown == pytest.approx(chord.force / before.force)
    assert now["w7:B4-T4"].grown == pytest.approx(1.0, abs=0.05)
    text = trussio("check", after, "--before", HALL).out
    assert "DESIGN LOAD AFTER OVER BEFORE (document " in text
    assert re.search(r"bottom:B3-B4 +1\.\d\d", text)
    assert "The local rule for existing buildings may ask that these carry today's loads." in text
    same = trussio("check", HALL, "--before", HALL).out
    assert "where over 1.05: none" in same
    assert "The local rule" not in same
    metric = tmp_path / "metric.json"
    assert trussio("convert", HALL, metric, "--units", "si").code == 0
    refused = trussio("check", metric, "--before", HALL)
    assert (refused.code, "Convert one of them" in refused.err) == (2, True)
