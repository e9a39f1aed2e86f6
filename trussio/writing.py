"""Files written whole or not at all.

Every file goes to a neighbour of its final name first and is renamed when all of them are on the disk; an
existing file is replaced only when the caller says so.
"""

from __future__ import annotations

import os
from contextlib import suppress
from typing import TYPE_CHECKING

from trussio.errors import CannotWriteError

if TYPE_CHECKING:
    from collections.abc import Mapping


def write_files(files: Mapping[str, bytes], *, force: bool) -> None:
    """Write files by path, all or none.

    Raises CannotWriteError `exists` where a file stands already and `force` is not given, `cannot-write`
    where the system refuses; nothing is left half written.
    """
    for path in files:
        if os.path.isdir(path):
            raise CannotWriteError("is-a-folder", where=path, what="This is a folder.", do="Name a file.")
        if not force and os.path.exists(path):
            raise CannotWriteError(
                "exists", where=path, what="The file exists.", do="Name another, or replace it with --force."
            )
    drafts: dict[str, str] = {}
    try:
        for path, data in files.items():
            drafts[path] = _draft(path, data)
        for path, draft in drafts.items():
            os.replace(draft, path)
    except OSError as error:
        for draft in drafts.values():
            with suppress(OSError):  # what went wrong before is told, and not that a draft stays
                os.unlink(draft)
        raise CannotWriteError(
            "cannot-write",
            where=path,
            what=f"The system refuses: {error.strerror or error}.",
            do="Choose a folder that can be written and has room.",
        ) from error


def make_folder(path: str) -> None:
    """Make a folder and those above it where they are missing."""
    try:
        os.makedirs(path, exist_ok=True)
    except OSError as error:
        raise CannotWriteError(
            "cannot-write",
            where=path,
            what=f"The folder cannot be made: {error.strerror or error}.",
            do="Name another with -o.",
        ) from error


def _draft(path: str, data: bytes) -> str:
    draft = f"{path}.{os.getpid()}.part"
    try:
        with open(draft, "xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except OSError:
        with suppress(OSError):  # what went wrong before is told, and not that a draft stays
            os.unlink(draft)
        raise
    return draft
