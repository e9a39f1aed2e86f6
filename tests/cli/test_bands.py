"""Bands by the command line: text, document, lengths as people write them, and refusals."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.cli.running import trussio
from tests.test_uncertainty import FLAT
from trussio.cli.variations import spread_of, tolerance_of
from trussio.document.bands import read_bands
from trussio.document.encode import write_truss
from trussio.errors import UsageError

if TYPE_CHECKING:
    from pathlib import Path

    from trussio.units import UnitSystem


@pytest.fixture
def flat(tmp_path: Path) -> Path:
    path = tmp_path / "flat.json"
    path.write_text(write_truss(FLAT), encoding="utf-8")
    return path


def test_the_text_names_what_is_not_certain_first_and_shows_bands(flat: Path) -> None:
    ran = trussio("analyse", flat, "--survey-tolerance", "1/2in", "--samples", "500", "--stiffness-spread", "10%")
    assert ran.code == 0
    lines = ran.out.splitlines()
    at = lines.index("SIGN NOT CERTAIN within the tolerance: tie or strut, these must do as both")
    assert lines[at + 1].startswith("  post:M-T: P (")
    assert "up to 12.7 mm left or right and up or down; sticks stiffer or softer by up to 10%" in ran.out
    (row,) = [line for line in lines if line.startswith("  post:M-T  ")]
    assert row.endswith("sign not certain")
    assert " C " in row
    assert " T " in row
    assert "nobody saw are taken as entered" in ran.out


def test_the_document_is_the_same_twice_and_reads_back(flat: Path) -> None:
    words = ("analyse", flat, "--survey-tolerance", "12mm", "--samples", "100", "--json")
    ran = trussio(*words)
    assert trussio(*words).out == ran.out
    found = read_bands(ran.out.encode(), name="stdout")
    assert (found.tolerance, found.stiffness, found.samples) == (12.0, 0.0, 100)
    assert list(found.uncertain) == ["post:M-T"]


def test_nothing_uncertain_is_said_too(flat: Path) -> None:
    ran = trussio("analyse", flat, "--survey-tolerance", "0", "--samples", "10")
    assert "No member changes its sign within the tolerance." in ran.out


@pytest.mark.parametrize("option", ["--samples=5", "--stiffness-spread=10%"])
def test_details_without_a_tolerance_are_a_usage_error(flat: Path, option: str) -> None:
    ran = trussio("analyse", flat, option)
    assert ran.code == 2
    assert "no-tolerance\n  --survey-tolerance: --stiffness-spread and --samples go with" in ran.err


@pytest.mark.parametrize(
    ("text", "units", "base"),
    [
        ("0.5in", "us", 0.5),
        ("0.5in", "si", 12.7),
        ("1/2 in", "us", 0.5),
        ("12.7mm", "us", 0.5),
        ("1.27cm", "si", 12.7),
        ("0.01m", "si", 10.0),
        ("3", "us", 3.0),
        ("3", "si", 3.0),
    ],
)
def test_lengths_are_read_as_people_write_them(text: str, units: UnitSystem, base: float) -> None:
    assert tolerance_of(text, units) == pytest.approx(base)


@pytest.mark.parametrize("text", ["", "half an inch", "nan", "inf", "mm", "0.5 furlongs"])
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="--survey-tolerance takes a length"):
        tolerance_of(text, "us")


@pytest.mark.parametrize(("text", "part"), [("10%", 0.1), ("0.1", 0.1), (" 25 %", 0.25), (None, 0.0)])
def test_spreads_are_parts_of_one(text: str | None, part: float) -> None:
    assert spread_of(text) == pytest.approx(part)


def test_what_is_no_part_is_refused() -> None:
    with pytest.raises(UsageError, match="--stiffness-spread takes a part"):
        spread_of("much")
