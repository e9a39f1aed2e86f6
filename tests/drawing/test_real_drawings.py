"""Public drawings of every age and make: one clear verdict each, quickly, and no traceback.

The files are not ours to ship; they are read where a folder holds them, by default one beside the repository.
"""

from __future__ import annotations

import os
from pathlib import Path
from time import perf_counter
from typing import Final

import pytest

from trussio.drawing.linework import read_linework
from trussio.drawing.loading import load_drawing
from trussio.drawing.scale import find_scale
from trussio.errors import TrussioError

BESIDE: Final = Path(__file__).parents[3] / "shared" / "drawings" / "real"
FOLDER: Final = Path(os.environ.get("TRUSSIO_REAL_DRAWINGS", BESIDE))

VERDICTS: Final[dict[str, str | int]] = {
    "broken_loop.dxf": 5,
    "decimal_comma.dxf": "numbers-lost",
    "gzip_renamed.dxf": "not-a-drawing",
    "indexerror_minimal.dxf": "damaged-drawing",
    "keyerror_no_model_layout.dxf": "no-model-space",
    "minsert_rotated_array.dxf": "no-linework",
    "missing_subclass_spline.dxf": "damaged-drawing",
    "r12_binary.dxf": 3,
    "r12_binary_blocks_paperspace.dxf": 933,
    "r12_dimensions_ocs.dxf": 20,
    "r12_laser_survey_3d_lines.dxf": 10,
    "r12_polylines_ocs.dxf": 941,
    "r13_cp932_polylines.dxf": 25,
    "r14_binary.dxf": 4,
    "r14_duplicate_handles.dxf": 115,
    "r2007_cp1250_dimensions.dxf": 268,
    "r2007_cp1256_no_layouts.dxf": 667,
    "r2013_line_arc_junctions.dxf": 79,
    "r2013_mtext_inline_codes.dxf": 4,
    "r2013_nested_mirrored_blocks.dxf": 348,
    "r2013_xdata.dxf": 8,
    "r2018_binary_dims_mline.dxf": 225,
    "r2018_broken_tables.dxf": 39,
    "r2018_line_network_1100.dxf": 1100,
    "r26_line_arc.dxf": 22,
    "recover_fails_readfile_ok.dxf": 22,
}
"""How many strokes each gives, or the code of its refusal."""

pytestmark = pytest.mark.skipif(
    not FOLDER.is_dir(), reason="no folder of public drawings; name one in TRUSSIO_REAL_DRAWINGS"
)


def verdict(path: Path) -> str | int:
    """How many strokes a drawing gives, or the code of its refusal; the accounts are checked on the way."""
    try:
        read = read_linework(load_drawing(path))
    except TrussioError as refusal:
        return refusal.code if refusal.what and refusal.do else "a refusal without words"
    assert read.seen == read.used + sum(aside.count for aside in read.set_aside)
    assert find_scale(read).inches > 0
    return len(read.strokes)


@pytest.mark.parametrize("name", sorted(VERDICTS))
def test_a_public_drawing_gets_one_clear_verdict(name: str) -> None:
    started = perf_counter()
    assert verdict(FOLDER / name) == VERDICTS[name]
    assert perf_counter() - started < 10


def test_no_public_drawing_is_left_out() -> None:
    assert {path.name for path in FOLDER.glob("*.dxf")} >= set(VERDICTS)
    for path in sorted(FOLDER.glob("*.dxf")):
        verdict(path)
