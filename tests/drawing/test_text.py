"""Codes of texts: escapes, signs, stacks and what no code page holds."""

from __future__ import annotations

import json

import pytest

from trussio.drawing.text import decoded, has_lost_bytes, line_text, paragraph_text


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (r"2\S1/2;", "2 1/2"),
        (r"24'-0\S3/4;" + '"', "24'-0 3/4\""),
        (r"\S1#2;", "1/2"),
        (r"\S1^2;", "1/2"),
        (r"{\fArial|b0;2\H0.7x;\S1/2;" + '" x 8}', '2 1/2" x 8'),
        (r"\A1;24'-0{\H0.75x;\S3/4;}" + '"', "24'-0 3/4\""),
        (r"10\S+0.1^-0.2;", "10 +0.1/-0.2"),
        (r"m\S2^ ;", "m^2"),
        (r"x\S^2;", "x_2"),
        (r"A\~B\PC", "A B\nC"),
        (r"2\U+00BDx8", "2\u00bdx8"),
        (r"a \\ b \{c\}", "a \\ b {c}"),
        (r"\pxqc,t4;\LTITLE\l", "TITLE"),
        (r"a %%c b", "a \u2300 b"),
        (r"unfinished \fArial", "unfinished"),
        ("ends in a backslash \\", "ends in a backslash \\"),
        (r"\S1/2", "1/2"),
        (r"%<\AcVar Date>%", ""),
    ],
)
def test_a_paragraph_says_what_a_person_reads(raw: str, says: str) -> None:
    assert paragraph_text(raw) == says


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        ("%%c12 %%d %%p", "\u230012 \u00b0 \u00b1"),
        ("%%u2x8%%u", "2x8"),
        ("%%065", "A"),
        ("100%%%", "100%"),
        ("%%zz", "%%zz"),
        ("2x8^ITYP", "2x8 TYP"),
        (r"\M+1835C", b"\x83\x5c".decode("cp932")),
        (r"\M+18100", r"\M+18100"),
        (r"\U+D800", r"\U+D800"),
        ("tab\there", "tab here"),
        ("bell\x07", "bell"),
    ],
)
def test_a_line_says_what_a_person_reads(raw: str, says: str) -> None:
    assert line_text(raw) == says


def test_bytes_outside_the_code_page_are_spelled_out() -> None:
    raw = b"2x8 \x8d".decode("cp1252", "surrogateescape")
    assert has_lost_bytes(raw)
    assert line_text(raw) == "2x8 <byte 0x8D>"
    assert decoded("\ud801") == "<unit 0xD801>"
    assert json.dumps(line_text(raw), ensure_ascii=False).encode("utf-8")


def test_plain_texts_have_no_lost_bytes() -> None:
    assert not has_lost_bytes("2\u00bdx8")
