"""Public drawings that are no trusses: one clear verdict each, in bounded time, and no invented truss."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from trussio.drawing.reading import read_drawing
from trussio.errors import UnreadableError

REAL = Path(__file__).parents[3] / "shared" / "drawings" / "real"
FILES = sorted(REAL.glob("*.dxf"))


@pytest.mark.skipif(not FILES, reason="the public drawings are not beside this checkout")
@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_public_drawing_is_refused_and_no_truss_is_invented(path: Path) -> None:
    start = time.process_time()
    with pytest.raises(UnreadableError) as refusal:
        read_drawing(path)
    assert refusal.value.what
    assert refusal.value.do
    assert time.process_time() - start < 10
