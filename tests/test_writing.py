"""Files are written whole or not at all, and nothing that stands is lost."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from trussio.errors import CannotWriteError
from trussio.writing import make_folder, write_files

if TYPE_CHECKING:
    from pathlib import Path


def test_files_are_written(tmp_path: Path) -> None:
    write_files({str(tmp_path / "a"): b"1", str(tmp_path / "b"): b"2"}, force=False)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"1", "b": b"2"}


def test_a_file_that_stands_survives_without_force(tmp_path: Path) -> None:
    (tmp_path / "b").write_bytes(b"old")
    with pytest.raises(CannotWriteError, match="--force") as caught:
        write_files({str(tmp_path / "a"): b"1", str(tmp_path / "b"): b"2"}, force=False)
    assert caught.value.code == "exists"
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"b": b"old"}
    write_files({str(tmp_path / "b"): b"2"}, force=True)
    assert (tmp_path / "b").read_bytes() == b"2"


def test_one_refusal_leaves_none_of_them(tmp_path: Path) -> None:
    files = {str(tmp_path / "a"): b"1", str(tmp_path / "absent" / "b"): b"2"}
    with pytest.raises(CannotWriteError, match="No such file or directory"):
        write_files(files, force=True)
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CannotWriteError, match="No space left on device"):
        write_files({str(tmp_path / "a"): b"1"}, force=False)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_is_no_file_to_replace(tmp_path: Path) -> None:
    with pytest.raises(CannotWriteError, match="This is a folder"):
        write_files({str(tmp_path): b"1"}, force=True)


def test_a_folder_is_made_unless_a_file_stands_there(tmp_path: Path) -> None:
    make_folder(str(tmp_path / "one" / "two"))
    assert (tmp_path / "one" / "two").is_dir()
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(CannotWriteError, match="cannot be made"):
        make_folder(str(tmp_path / "file" / "below"))
