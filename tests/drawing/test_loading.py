"""Loading: every file that is no sound drawing is refused with a reason and a way out, the others are read."""

from __future__ import annotations

import gzip
import json
import logging
import zipfile
from io import BytesIO
from typing import TYPE_CHECKING

import pytest

from tests.drawing.drafting import as_text, bare, drawing, kinds, line, linework, saved, saved_binary
from trussio.drawing import loading
from trussio.drawing.loading import load_drawing
from trussio.drawing.signature import codec, encoding_of, read_header
from trussio.errors import UnreadableError

if TYPE_CHECKING:
    from pathlib import Path

ONE_LINE = bare(line((0, 0), (10, 5), handle="1A"))
TWO_LINES = bare([*line((0, 0), (10, 5)), *line((10, 5), (20, 0))])


def zipped() -> bytes:
    stream = BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("truss.dxf", ONE_LINE)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("data", "code", "says"),
    [
        (b"", "empty-file", "The file is empty."),
        (gzip.compress(ONE_LINE), "not-a-drawing", "This is a gzip archive"),
        (zipped(), "not-a-drawing", "This is a zip archive"),
        (b"%PDF-1.7\n", "not-a-drawing", "This is a PDF"),
        (b"\x89PNG\r\n\x1a\n" + bytes(40), "not-a-drawing", "This is a PNG picture"),
        (json.dumps({"format": "x"}).encode(), "not-a-drawing", "This is a JSON document"),
        (b"<svg/>", "not-a-drawing", "This is an SVG, HTML or XML document"),
        (b"AC1032" + bytes(100), "not-a-drawing", "This is a drawing in DWG form"),
        (ONE_LINE.decode().encode("utf-16"), "not-a-drawing", "This is text in UTF-16"),
        (bytes(range(256)), "not-a-drawing", "does not begin with group code 0 or 999"),
        (b"\n\n  ", "not-a-drawing", "does not begin with group code 0 or 999"),
        (ONE_LINE[: len(ONE_LINE) // 2], "truncated-drawing", "its section"),
        (TWO_LINES.replace(b"0\nENDSEC\n0\nEOF\n", b""), "truncated-drawing", "its section ENTITIES has no end"),
        (ONE_LINE.replace(b"\n5\n1A", b"\n5x\n1A"), "damaged-drawing", "must be a group code and is '5x'"),
        (saved_binary(drawing())[:4000], "damaged-drawing", "The binary drawing is damaged or cut short"),
        (b"0\nnothing\n", "no-linework", "The drawing has no line to read."),
    ],
)
def test_a_file_that_is_no_drawing_is_refused(data: bytes, code: str, says: str) -> None:
    with pytest.raises(UnreadableError) as caught:
        linework(data)
    assert caught.value.code == code
    assert says in str(caught.value)
    assert caught.value.do


@pytest.mark.parametrize(
    ("good", "odd"),
    [
        (b"\n10\n", b"\n1,5\n"),
        (b"\n10\n", b"\n1.#QNAN\n"),
        (b"\n10\n", b"\n-1.#IND\n"),
        (b"\n10\n", b"\n1.0D+03\n"),
        (b"\n10\n", b"\n-nan(ind)\n"),
        (b"\n10\n", b"\n\n"),
        (b"\n10\n", b"\n1_000\n"),
        (b"\n10\n", b"\n1_0.5e3\n"),
    ],
)
def test_a_number_that_must_be_guessed_at_is_never_taken(good: bytes, odd: bytes) -> None:
    data = ONE_LINE.replace(b"11" + good, b"11" + odd)
    assert data != ONE_LINE
    with pytest.raises(UnreadableError, match="numbers-lost") as caught:
        load_drawing(data)
    assert "the first on line" in str(caught.value)


def test_an_underscore_in_a_name_is_no_number() -> None:
    read = linework(bare(line((0, 0), (10, 5), layer="2_000")))
    assert read.strokes.row(0).layer == "2_000"


def test_a_point_without_its_y_is_refused_with_its_line() -> None:
    data = ONE_LINE.replace(b"\n21\n5\n", b"\n")
    with pytest.raises(UnreadableError, match="numbers-lost") as caught:
        load_drawing(data)
    assert "1 points have an x and no y, the first on line" in str(caught.value)


def test_coordinates_in_an_old_order_are_mended_and_reported() -> None:
    tags = [(0, "LINE"), (8, "0"), (10, 1.0), (11, 3.0), (20, 2.0), (21, 4.0)]
    read = linework(bare(tags))
    row = read.strokes.row(0)
    assert (row.first, row.last) == ((1.0, 2.0), (3.0, 4.0))
    assert kinds(read) == ["drawing-mended"]
    assert read.header.recovered


def test_a_section_that_stands_twice_loses_nothing() -> None:
    more = as_text([(0, "SECTION"), (2, "ENTITIES"), *line((9, 9), (8, 8)), (0, "ENDSEC"), (0, "EOF")])
    read = linework(ONE_LINE.replace(b"0\nEOF\n", more))
    assert len(read.strokes) == 2
    assert "its section ENTITIES stands twice" in read.changes[0].says


def test_a_file_without_an_end_mark_is_read_and_says_so() -> None:
    read = linework(ONE_LINE.replace(b"0\nEOF\n", b""))
    assert kinds(read) == ["drawing-mended", "no-end-mark"]
    assert len(read.strokes) == 1


@pytest.mark.parametrize(
    ("data", "kind"),
    [(b"\xef\xbb\xbf" + ONE_LINE, "byte-order-mark"), (ONE_LINE.replace(b"\n", b"\r"), "line-ends")],
)
def test_marks_that_mean_nothing_are_skipped_and_reported(data: bytes, kind: str) -> None:
    read = linework(data)
    assert kinds(read) == [kind]
    assert read.strokes.row(0).last == (10.0, 5.0)


@pytest.mark.parametrize(
    "data",
    [
        ONE_LINE.replace(b"\n", b"\r\n"),
        b"999\nmade by hand\n" + ONE_LINE,
        b"  " + ONE_LINE,
        ONE_LINE + b"junk after the end\n",
    ],
)
def test_habits_of_other_programs_are_read_in_silence(data: bytes) -> None:
    read = linework(data)
    assert kinds(read) == []
    assert read.strokes.row(0).last == (10.0, 5.0)


def test_both_forms_of_a_drawing_give_the_same_strokes() -> None:
    made = drawing()
    made.modelspace().add_line((0, 0), (10, 5))
    made.modelspace().add_arc((5, 5), 3, 10, 170)
    text, binary = linework(saved(made)), linework(saved_binary(made))
    assert (text.strokes.first == binary.strokes.first).all()
    assert (text.strokes.sweep == binary.strokes.sweep).all()
    assert text.header == binary.header


@pytest.mark.parametrize("version", ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"])
def test_every_version_gives_the_same_strokes(version: str) -> None:
    made = drawing(version)
    made.modelspace().add_line((0, 0), (10.25, 5.125))
    read = linework(made)
    assert read.strokes.row(0).last == (10.25, 5.125)
    assert read.header.version == made.dxfversion


def test_a_folder_and_a_missing_file_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(UnreadableError, match="This is a folder, not a file"):
        load_drawing(tmp_path)
    with pytest.raises(UnreadableError, match=r"cannot-open at none\.dxf: The file cannot be opened"):
        load_drawing(tmp_path / "none.dxf")


def test_a_file_is_read_by_its_path(tmp_path: Path) -> None:
    path = tmp_path / "truss.dxf"
    path.write_bytes(ONE_LINE)
    loaded = load_drawing(str(path))
    assert loaded.name == "truss.dxf"
    assert loaded.digest.startswith("sha256:")
    assert loaded.digest == load_drawing(ONE_LINE).digest


def test_a_file_beyond_the_limit_is_refused_before_it_is_parsed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(loading, "LARGEST_FILE", len(ONE_LINE))
    load_drawing(ONE_LINE)
    monkeypatch.setattr(loading, "LARGEST_FILE", len(ONE_LINE) - 1)
    with pytest.raises(UnreadableError, match="file-too-large"):
        load_drawing(ONE_LINE)


def test_the_header_is_what_the_file_says_and_no_default() -> None:
    nothing = as_text([(0, "SECTION"), (2, "ENTITIES"), *line((0, 0), (1, 1)), (0, "ENDSEC"), (0, "EOF")])
    header = load_drawing(nothing).header
    assert (header.insunits, header.measurement, header.lunits, header.version) == (None, None, None, "")
    told = bare(header=[(9, "$INSUNITS"), (70, 4), (9, "$MEASUREMENT"), (70, 1), (9, "$LUNITS"), (70, 2)])
    header = read_header(told)
    assert (header.insunits, header.measurement, header.lunits) == (4, 1, 2)


@pytest.mark.parametrize(
    ("page", "name"),
    [
        ("ANSI_1252", "cp1252"),
        ("ansi_932", "cp932"),
        ("ANSI_936", "gbk"),
        ("dos850", "cp850"),
        ("dos932", "cp932"),
        ("iso8859-5", "iso8859-5"),
        ("mac-roman", "mac-roman"),
        ("big5", "big5"),
        ("johab", "johab"),
        ("ANSI_65001", "utf-8"),
        ("nonsense", ""),
        ("ANSI_99999", ""),
    ],
)
def test_code_pages_go_by_their_names(page: str, name: str) -> None:
    assert codec(page) == name


@pytest.mark.parametrize(
    ("page", "encoding", "says"),
    [("ANSI_1251", "cp1251", "\u0424\u0435\u0440\u043c\u0430"), ("ANSI_932", "cp932", "\u30c8\u30e9\u30b9")],
)
def test_a_text_in_any_code_page_is_read(page: str, encoding: str, says: str) -> None:
    tags = [(0, "TEXT"), (8, "0"), (10, 0.0), (20, 0.0), (40, 5.0), (1, "@@@")]
    data = bare([*line((0, 0), (10, 5)), *tags], header=[(9, "$DWGCODEPAGE"), (3, page)])
    read = linework(data.replace(b"@@@", says.encode(encoding)))
    assert [text.says for text in read.texts] == [says]


def test_utf8_in_an_old_file_is_known_by_its_bytes() -> None:
    data = bare().replace(b"EOF", b"EOF") + "\u00bd".encode()
    assert encoding_of(read_header(data), data) == "utf-8"
    western = bare() + b"\xbd"
    assert encoding_of(read_header(western), western) == "cp1252"


def test_the_loader_prints_nothing(capfd: pytest.CaptureFixture[str]) -> None:
    twice = bare([*line((0, 0), (10, 5), handle="1A"), *line((0, 0), (10, 9), handle="1A")])
    linework(twice)
    printed = capfd.readouterr()
    assert (printed.out, printed.err) == ("", "")
    assert logging.getLogger("ezdxf").handlers == []
