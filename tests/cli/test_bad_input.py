"""Nothing that a user can pass gives a traceback; every refusal names the place and the way out."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.running import trussio
from tests.trusses import PIN, ROLLER, build, stick
from trussio.document.encode import write_truss

PNG = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x00\x00\x01"
DRAWINGS = {
    "an empty file": b"",
    "a picture by another name": PNG,
    "binary rubbish": bytes(range(256)) * 20,
    "a drawing cut short": b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n  8\n0\n 10\n0.0\n 20\n",
    "a document by another name": b'{"format": "trussio/truss"}',
}
DOCUMENTS = {
    "an empty file": b"",
    "a picture by another name": PNG,
    "binary rubbish": bytes(range(256)) * 20,
    "JSON cut short": b'{"format": "trussio/truss", "version": 1, "joi',
    "two hundred arrays in each other": b"[" * 200 + b"]" * 200,
    "a hundred thousand arrays in each other": b"[" * 100_000,
    "another document": b'{"format": "trussio/basis", "version": 1}',
    "a newer version": b'{"format": "trussio/truss", "version": 99}',
    "not an object": b"3",
    "a key twice": b'{"format": "trussio/truss", "format": "trussio/truss"}',
    "not a number": b'{"format": "trussio/truss", "version": 1, "title": NaN}',
}
VERBS = ("audit", "analyse", "recheck", "report")


@pytest.mark.parametrize("data", DRAWINGS.values(), ids=DRAWINGS)
@pytest.mark.parametrize("verb", [*VERBS, "convert", "review"])
def test_what_is_no_drawing_is_refused(tmp_path: Path, verb: str, data: bytes) -> None:
    refused(tmp_path, verb, "bad.dxf", data)


@pytest.mark.parametrize("data", DOCUMENTS.values(), ids=DOCUMENTS)
@pytest.mark.parametrize("verb", [*VERBS, "convert", "review"])
def test_what_is_no_document_is_refused(tmp_path: Path, verb: str, data: bytes) -> None:
    refused(tmp_path, verb, "bad.json", data)


def refused(folder: Path, verb: str, name: str, data: bytes) -> None:
    """Exit 3, a message with the name of the file or a place in it, and no output."""
    path, target = folder / name, folder / "made"
    path.write_bytes(data)
    extra: dict[str, list[object]] = {"convert": [target.with_suffix(".json")], "review": ["-o", target]}
    ran = trussio(verb, path, *extra.get(verb, []))
    assert ran.code == 3, ran
    assert "Traceback" not in ran.err
    assert len(ran.err.splitlines()) >= 2
    assert ran.out == ""
    assert [made for made in folder.rglob("*") if made.is_file()] == [path]


@pytest.mark.parametrize("verb", VERBS)
def test_a_folder_and_a_missing_file_are_refused(tmp_path: Path, verb: str) -> None:
    folder = tmp_path / "folder.json"
    folder.mkdir()
    ran = trussio(verb, folder)
    assert (ran.code, "This is a folder." in ran.err) == (3, True)
    missing = trussio(verb, tmp_path / "missing.json")
    assert (missing.code, "cannot be read" in missing.err) == (3, True)


def test_every_wrong_id_is_named_with_its_place(tmp_path: Path) -> None:
    document = {
        "format": "trussio/truss",
        "version": 1,
        "title": "wrong",
        "units": "us",
        "joints": {"A": {"x": 0, "y": 0}, "B": {"x": 10, "y": 0}},
        "members": {
            "m": {"role": "web", "through": ["A", "X"], "section": "s", "material": "t"},
            "n": {"role": "web", "through": ["A", "B"]},
        },
        "supports": {"Y": {"holds": ["x"]}},
        "loads": {
            "cases": {"D": {"kind": "dead", "loads": [{"joint": "Z", "fy": -1}, {"member": "q", "down": 1}]}},
            "combinations": {"C": {"E": 1}},
        },
    }
    path = tmp_path / "wrong.json"
    path.write_text(json.dumps(document, indent=1), encoding="utf-8")
    ran = trussio("analyse", path)
    assert ran.code == 3
    for place in (
        "/members/m/through/1",
        "/members/m/section",
        "/members/m/material",
        "/supports/Y",
        "/loads/cases/D/loads/0/joint",
        "/loads/cases/D/loads/1/member",
        "/loads/combinations/C/E",
    ):
        assert place in ran.err, ran.err
    assert "line" in ran.err


def triangle() -> str:
    return write_truss(
        build(
            joints={"A": (0.0, 0.0), "B": (100.0, 0.0), "C": (50.0, 50.0)},
            members={"ab": stick("A", "B"), "bc": stick("B", "C"), "ca": stick("C", "A")},
            supports={"A": PIN, "B": ROLLER},
            cases={"P": ()},
        )
    )


def test_an_existing_file_survives_without_force(tmp_path: Path) -> None:
    source, target = tmp_path / "a.json", tmp_path / "b.json"
    source.write_text(triangle(), encoding="utf-8")
    target.write_text("mine", encoding="utf-8")
    ran = trussio("convert", source, target)
    assert (ran.code, target.read_text(encoding="utf-8")) == (6, "mine")
    assert "--force" in ran.err
    assert trussio("convert", source, target, "--force").code == 0
    assert target.read_text(encoding="utf-8") == triangle()


@pytest.mark.parametrize("verb", ["audit", "analyse", "check", "recheck", "report"])
def test_what_was_read_is_never_replaced_by_what_was_found(tmp_path: Path, verb: str) -> None:
    """A slip of the hand must not cost the survey, with or without `--force`."""
    source = tmp_path / "a.json"
    source.write_text(triangle(), encoding="utf-8")
    ran = trussio(verb, source, "-o", tmp_path / "." / "a.json", "--force")
    assert ran.code == 6
    assert "is-an-input" in ran.err
    assert source.read_text(encoding="utf-8") == triangle()


def test_nor_is_a_table_that_was_compared(tmp_path: Path) -> None:
    source, table = tmp_path / "a.json", tmp_path / "forces.csv"
    source.write_text(triangle(), encoding="utf-8")
    table.write_text("run,segment,axial\nP,ab:A-B,0\n", encoding="utf-8")
    ran = trussio("recheck", source, "--against", table, "-o", table, "--force")
    assert ran.code == 6
    assert table.read_text(encoding="utf-8").startswith("run,segment")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
@pytest.mark.parametrize("verb", ["analyse", "report"])
def test_a_stdout_that_is_full_is_exit_6(tmp_path: Path, verb: str) -> None:
    """Short output meets it at the end of the process, long output before."""
    source = tmp_path / "a.json"
    source.write_text(triangle(), encoding="utf-8")
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        ran = subprocess.run(
            [sys.executable, "-m", "trussio", verb, str(source)],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert ran.returncode == 6
    assert (
        ran.stderr
        == "trussio: cannot-write\n  stdout: The system refuses: No space left on device. Make room for it.\n"
    )


def test_converting_with_json_writes_to_stdout_too(tmp_path: Path) -> None:
    source, target = tmp_path / "a.json", tmp_path / "b.dxf"
    source.write_text(triangle(), encoding="utf-8")
    assert json.loads(trussio("convert", source, "--json").out) == json.loads(triangle())
    assert json.loads(trussio("convert", source, target, "--json").out) == json.loads(triangle())
    assert target.exists()


def test_an_output_in_a_missing_folder_is_refused(tmp_path: Path) -> None:
    source = tmp_path / "a.json"
    source.write_text(triangle(), encoding="utf-8")
    ran = trussio("analyse", source, "-o", tmp_path / "absent" / "b.json")
    assert (ran.code, ran.out) == (6, "")
    assert "No such file or directory" in ran.err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["audits", "x.json"], "Did you mean `audit`?"),
        (["frobnicate"], "The verbs are"),
        (["analyse"], "required"),
        (["convert", "x.json"], "Name OUT, or give --json for stdout."),
        (["recheck", "x.json", "--blind", "--against", "y.csv"], "Leave out --against, or leave out the other."),
        (["analyse", "x.json", "--idealisation", "bent"], "invalid choice"),
        (["analyse", "x.txt"], "Use one of .json, .dxf."),
    ],
)
def test_wrong_usage_is_exit_2_and_says_what_is_right(tmp_path: Path, words: list[str], says: str) -> None:
    (tmp_path / "x.txt").write_text("", encoding="utf-8")
    (tmp_path / "x.json").write_text(triangle(), encoding="utf-8")
    ran = trussio(*[str(tmp_path / word) if word in {"x.txt", "x.json"} else word for word in words])
    assert (ran.code, says in ran.err) == (2, True), ran


def test_options_of_drawings_are_refused_for_documents(tmp_path: Path) -> None:
    path = tmp_path / "a.json"
    path.write_text(triangle(), encoding="utf-8")
    ran = trussio("audit", path, "--part", "2")
    assert (ran.code, "belong to a drawing" in ran.err) == (2, True)


def test_a_fault_of_trussio_itself_is_exit_70_without_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise ZeroDivisionError("planted")

    path = tmp_path / "a.json"
    path.write_text(triangle(), encoding="utf-8")
    monkeypatch.setattr("trussio.cli.analyse.calculate", fail)
    ran = trussio("analyse", path)
    assert ran.code == 70
    assert "fault of trussio" in ran.err
    assert "Traceback" not in ran.err


def test_a_basis_that_does_not_suit_the_drawing_is_refused_with_the_place(tmp_path: Path) -> None:
    """The third ply of a chord of two, and a butt beyond its end."""
    folder = Path(__file__).parent.parent.parent / "samples" / "hall"
    basis = json.loads((folder / "basis.json").read_text(encoding="utf-8"))
    for field, value, where, says in (
        ("ply", 3, "/members/bottom/butts/0/ply", '"bottom" has 2 plies.'),
        ("at", 9000, "/members/bottom/butts/0/at", "9000"),
    ):
        wrong = json.loads(json.dumps(basis))
        wrong["sticks"]["bottom"]["butts"][0].pop("across")
        wrong["sticks"]["bottom"]["butts"][0][field] = value
        path = tmp_path / "basis.json"
        path.write_text(json.dumps(wrong), encoding="utf-8")
        ran = trussio("convert", folder / "hall-truss-2.dxf", tmp_path / "made.json", "--basis", path)
        assert ran.code == 3
        assert where in ran.err
        assert says in ran.err
        assert "Traceback" not in ran.err
        assert not (tmp_path / "made.json").exists()
