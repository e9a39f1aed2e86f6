"""Whatever a file holds, reading ends in a document or in one refusal that names the place and the way out."""

from __future__ import annotations

import gzip
import json
import zlib
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.document.documents import truss_documents
from tests.document.mutation import mutated
from tests.document.small import SMALL, changed, only_fault, refusal, without
from trussio.document import reading
from trussio.document.canonical import digest_of
from trussio.document.decode import read_truss
from trussio.document.encode import digest_of_truss
from trussio.document.ledger import MOST_FAULTS
from trussio.errors import UnreadableError
from trussio.model.loading import JointLoad, RunId

if TYPE_CHECKING:
    from hypothesis.strategies import DataObject

    from trussio.model.truss import Json

TEXT = json.dumps(SMALL, indent=2)
PNG = b"\x89PNG\r\n\x1a\n" + zlib.compress(bytes(range(256)))
NESTED = '{"format": "trussio/truss", "notes": '


def refused(data: bytes) -> UnreadableError:
    """What reading says against the bytes of a file."""
    with pytest.raises(UnreadableError) as caught:
        read_truss(data, name="roof.json")
    return caught.value


def refusal_or_none(data: bytes) -> UnreadableError | None:
    """What reading says against the bytes of a file, or None where it reads them."""
    try:
        read_truss(data, name="roof.json")
    except UnreadableError as error:
        return error
    return None


@pytest.mark.parametrize(
    ("data", "code", "says"),
    [
        (b"", "empty", "the file is empty. Give a file that holds something."),
        (b" \r\n\t", "empty", "the file is empty."),
        (b"\xef\xbb\xbf", "empty", "the file is empty."),
        (PNG, "not-utf8", "this looks like a PNG picture. Give text saved as UTF-8."),
        (gzip.compress(b"{}"), "not-utf8", "this looks like a gzip archive."),
        ("{}".encode("utf-16"), "not-utf8", "this looks like text in UTF-16."),
        (b'{"title": "caf\xe9"}', "not-utf8", "byte 15 of the file is no UTF-8."),
        (
            b"  0\nSECTION\n  2\nHEADER\n",
            "not-json",
            "this looks like a DXF drawing. Give a trussio document; a drawing becomes one by convert.",
        ),
        (b"%PDF-1.4", "not-json", "line 1, column 1: this looks like a PDF."),
        (b'{"title": "Hall', "not-json", "line 1, column 11: the text breaks off before the document ends."),
        (TEXT[:400].encode(), "not-json", "the text breaks off before the document ends."),
        (b'{\n  "title" "Hall"}', "not-json", "line 2, column 11: this is no JSON: expecting ':' delimiter."),
        (b'{"a": 1,}', "not-json", "line 1, column 9: this is no JSON"),
        (b"{} {}", "not-json", "line 1, column 4: this is no JSON: extra data."),
        (b'{"a": 01}', "not-json", "line 1, column 8: this is no JSON"),
        (b'{"a": ' + b"7" * 5000 + b"}", "not-json", "line 1, column 7: a number has thousands of digits."),
        (b"[" * 200 + b"]" * 200, "too-deep", "line 1, column 65: objects and lists lie more than 64 deep here."),
        (
            b"[" * 100_000 + b"]" * 100_000,
            "too-deep",
            "line 1, column 65: objects and lists lie more than 64 deep",
        ),
        (b"[" * 200, "too-deep", "line 1, column 65: objects and lists lie more than 64 deep here."),
        (b'{"a":' * 100_000, "too-deep", "column 321: objects and lists lie more than 64 deep here."),
        (b"[]", "wrong-format", "expected a truss document, which is an object, found an empty list."),
        (b"null", "wrong-format", "expected a truss document, which is an object, found null."),
        (b"{}", "wrong-format", 'the field "format" is missing, so this is not a truss document.'),
        (b'{"format": "trussio/results"}', "wrong-format", "this is a results document; a truss document was"),
        (
            b'{"format": "trussio/recheck"}',
            "wrong-format",
            "this is a check record; a truss document was expected.",
        ),
        (b'{"format": 7}', "wrong-format", "/format (line 1, column 12): 7 is no format that trussio knows."),
        (b'{"format": "trussio/truss"}', "wrong-version", 'the field "version" is missing. Add "version": 1.'),
        (b'{"format": "trussio/truss", "version": 2}', "wrong-version", "this is version 2 of the format; this"),
        (
            b'{"format": "trussio/truss", "version": "1"}',
            "wrong-version",
            'expected version 1, found the text "1".',
        ),
        (b'{"format": "trussio/truss", "version": 0}', "wrong-version", "expected version 1, found 0. Write 1."),
    ],
)
def test_what_is_no_truss_document_is_refused(data: bytes, code: str, says: str) -> None:
    error = refused(data)
    assert error.code == code
    assert says in str(error)
    assert str(error).startswith(f"{code} at roof.json: ")
    assert all(fault.do for fault in error.faults)


def test_a_newer_version_is_told_what_to_do() -> None:
    fault = only_fault(changed(SMALL, "/version", 2))
    assert str(fault) == (
        "/version (line 3, column 14): this is version 2 of the format; this trussio reads version 1. "
        "Use a newer trussio, or have the file written in the older version."
    )


def test_the_size_is_looked_at_before_anything_else(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "MOST_BYTES", len(TEXT))
    assert read_truss(TEXT.encode(), name="roof.json").title == "Invented lean-to"
    error = refused(TEXT.encode() + b" ")
    assert error.code == "too-large"
    assert "MB is the most that is read" in str(error)


def test_a_byte_order_mark_is_passed_over() -> None:
    assert read_truss(b"\xef\xbb\xbf" + TEXT.encode(), name="a") == read_truss(TEXT.encode(), name="b")


@pytest.mark.parametrize(("levels", "taken"), [(62, True), (63, False)])
def test_notes_may_nest_up_to_the_limit(levels: int, *, taken: bool) -> None:
    """The document and its notes are two of 64."""
    inner: Json = []
    for _ in range(levels - 1):
        inner = [inner]
    document = changed(SMALL, "/notes", {"deep": inner})
    if taken:
        assert read_truss(json.dumps(document).encode(), name="roof.json").notes == {"deep": inner}
    else:
        assert refusal(document).code == "too-deep"


@pytest.mark.parametrize(
    ("spoilt", "says"),
    [
        ('"x": NaN', "/joints/B0/x (line 8, column 12): expected a number within 1e30, found NaN."),
        ('"x": -Infinity', "expected a number within 1e30, found an infinity."),
        ('"x": 1e999', "expected a number within 1e30, found an infinity."),
        ('"x": 9007199254740993', "this integer lies beyond 2^53 and has more digits than a double holds."),
        ('"x": 1' + "0" * 400, "expected a number within 1e30, found a very long integer."),
        ('"x": "84"', 'expected a number within 1e30, found the text "84". Write the number without quotes.'),
        ('"x": null', "expected a number within 1e30, found null. Leave the field out where nothing is known."),
        ('"x": true', "expected a number within 1e30, found true."),
        ('"x": 0, "x": 1', "/joints/B0/x (line 8, column 15): this key stands twice in its object."),
        ('"x": 0, "notes": {"a": [NaN]}', "/joints/B0/notes/a/0 (line 8, column 31): expected a finite number"),
        ('"x": 0, "notes": {"a": 1e999}', "expected a finite number, found an infinity."),
        ('"x": 0, "notes": {"a": 9007199254740993}', "this integer lies beyond 2^53"),
        ('"x": 0, "notes": {"a": "\\ud800"}', "this text holds half of a surrogate pair"),
        ('"x": 0, "notes": {"\\udc00": 1}', "/joints/B0/notes/\\udc00 (line 8, column 25): this text holds half"),
    ],
)
def test_what_json_lets_pass_is_refused_with_its_place(spoilt: str, says: str) -> None:
    error = refused(TEXT.replace('"x": 0', spoilt, 1).encode())
    assert len(error.faults) == 1
    assert says in str(error)


@pytest.mark.parametrize("number", ["9007199254740992", "-9007199254740992", "100000000000000000000", "1e20"])
def test_integers_that_a_double_holds_are_taken(number: str) -> None:
    text = TEXT.replace('"fy": -1200', f'"fy": {number}', 1)
    truss = read_truss(text.encode(), name="roof.json")
    load = truss.loads.cases[RunId("D")].loads[0]
    assert isinstance(load, JointLoad)
    assert load.fy == float(number)
    assert digest_of_truss(truss) == digest_of(json.loads(text))


def test_a_pair_of_surrogates_is_one_character() -> None:
    truss = read_truss(TEXT.replace("Invented", "\\ud83d\\ude00", 1).encode(), name="roof.json")
    assert truss.title == "\U0001f600 lean-to"


def test_every_fault_is_told_in_the_order_of_the_file() -> None:
    document = without(changed(changed(SMALL, "/units", "inch"), "/joints/B1/x", "84"), "/members/top/through")
    error = refusal(document)
    assert "\n".join(str(fault) for fault in error.faults) == (
        '/units (line 5, column 12): the text "inch" is not known here. Write one of "us", "si".\n'
        '/joints/B1/x (line 12, column 12): expected a number within 1e30, found the text "84". '
        "Write the number without quotes.\n"
        '/members/top (line 35, column 12): the field "through" is missing. Add "through".'
    )
    assert str(error) == (
        'invalid-document at truss.json: /units (line 5, column 12): the text "inch" is not known here. '
        'Write one of "us", "si". (and 2 more faults)'
    )


def test_with_every_id_wrong_every_place_is_named() -> None:
    text = TEXT
    for name in ("B0", "B1", "B2", "T1", "bottom", "top", "bow", "w1", "bc", "df1", "D+S", "D", "S"):
        text = text.replace(f'"{name}"', f'"{name}/:"')
    error = refused(text.encode())
    assert len(error.faults) == text.count("/:")
    assert all(fault.line is not None and fault.column is not None for fault in error.faults)
    assert str(error.faults[0]) == (
        "/joints/B0~1: (line 7, column 5): the id \"B0/:\" holds '/'. Use other characters: an id holds none of "
        ": / , quotes or control characters, and the id of a joint no - either."
    )


def test_with_every_reference_wrong_every_place_is_named() -> None:
    text = TEXT
    for name in ("B0", "B1", "B2", "T1", "bc", "df1", "D", "S"):
        text = text.replace(f'"{name}"', f'"{name}{name}"').replace(f'"{name}{name}": {{', f'"{name}": {{')
    error = refused(text.encode())
    assert {fault.what.rpartition(" is called ")[0] for fault in error.faults} == {
        *("no joint", "no section", "no material", "no case"),
    }
    assert len(error.faults) == 17


def test_a_flood_of_faults_is_counted_and_not_listed() -> None:
    joints: dict[str, Json] = {f"J{index}": {"x": "0", "y": 0} for index in range(MOST_FAULTS + 5)}
    error = refusal({**SMALL, "joints": joints, "members": {}, "supports": {}, "loads": {}})
    assert len(error.faults) == MOST_FAULTS
    assert str(error).endswith(f"(and {MOST_FAULTS + 4} more faults)")


def test_control_characters_never_reach_a_terminal() -> None:
    error = refusal(changed(SMALL, "/members/top/section", "\x1b[31mred"))
    assert "\x1b" not in str(error)
    assert "\\x1b[31mred" in str(error)


@settings(max_examples=80, deadline=None)
@given(mutated(truss_documents()), st.sampled_from([None, 2]))
def test_changed_documents_are_read_or_refused_with_places(value: Json, indent: int | None) -> None:
    error = refusal_or_none(json.dumps(value, indent=indent).encode())
    if error is not None:
        assert str(error).startswith(f"{error.code} at roof.json: ")
        for fault in error.faults:
            assert fault.what
            assert fault.do
            assert fault.line is not None
            assert str(fault).isprintable()


PIECES = [b'"', b"{", b"}", b"[", b",", b"\\u", b"\\ud800", b"-", b"1e999", b"NaN"]


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_broken_bytes_are_read_or_refused(data: DataObject) -> None:
    spoilt = bytearray(TEXT.encode())
    for _ in range(data.draw(st.integers(1, 3))):
        start = data.draw(st.integers(0, len(spoilt)))
        length = data.draw(st.sampled_from([0, 1, 2, 40]))
        spoilt[start : start + length] = data.draw(st.binary(max_size=3) | st.sampled_from(PIECES))
    error = refusal_or_none(bytes(spoilt))
    assert error is None or all(str(fault).isprintable() and fault.do for fault in error.faults)
