"""What a written document looks like."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from hypothesis import given

from tests.document.json_values import free_objects
from tests.document.small import SMALL
from trussio.document.canonical import digest_of
from trussio.document.decode import read_truss
from trussio.document.encode import write_truss
from trussio.document.layout import document_text

if TYPE_CHECKING:
    from tests.document.json_values import Object

WRITTEN = """\
{
  "format": "trussio/truss",
  "version": 1,
  "title": "Invented lean-to",
  "units": "us",
  "joints": {
    "B0": {"x": 0, "y": 0},
    "B1": {"x": 84, "y": 0},
    "B2": {"x": 168, "y": 0},
    "T1": {"x": 84, "y": 63}
  },
  "members": {
    "bottom": {
      "role": "bottom-chord",
      "through": ["B0", "B1", "B2"],
      "section": "bc",
      "material": "df1"
    },
    "top": {"role": "top-chord", "through": ["B0", "T1"], "section": "bc", "material": "df1"},
    "bow": {
      "role": "top-chord",
      "through": ["B2", "T1"],
      "curve": {"radius": 612.5, "bows": "up"}
    },
    "w1": {"role": "web", "through": ["B1", "T1"], "section": "bc"}
  },
  "supports": {
    "B0": {"holds": ["x", "y"]},
    "B2": {"holds": ["y"]}
  },
  "sections": {
    "bc": {"width": 2.625, "depth": 9.5, "plies": 2}
  },
  "materials": {
    "df1": {"kind": "sawn", "E": 1700000, "density": 34}
  },
  "loads": {
    "cases": {
      "D": {
        "kind": "dead",
        "loads": [
          {"joint": "T1", "fy": -1200},
          {"weight_of": "all"}
        ]
      },
      "S": {
        "kind": "snow",
        "loads": [
          {"role": "top-chord", "down": 60, "per": "plan"}
        ]
      }
    },
    "combinations": {
      "D+S": {"D": 1, "S": 1}
    }
  }
}
"""


def test_the_small_truss_is_written_so() -> None:
    assert write_truss(read_truss(json.dumps(SMALL).encode(), name="small.json")) == WRITTEN


def test_a_line_of_a_hundred_characters_stays_whole_and_the_next_is_broken() -> None:
    fits = document_text({"inside": {"key": {}, "a": "x" * 69}, "b": {"a": {}}})
    assert fits.splitlines()[1] == '  "inside": {'
    room = 100 - len('  "list": [""],')
    (line,) = (line for line in document_text({"list": ["x" * room], "o": {}}).splitlines() if "x" in line)
    assert len(line) == 100
    assert document_text({"list": ["x" * (room + 1)], "o": {}}).splitlines()[1] == '  "list": ['


@given(free_objects)
def test_layout_changes_no_value(value: Object) -> None:
    text = document_text(value)
    assert digest_of(json.loads(text)) == digest_of(value)
    assert text.endswith("}\n")
    assert document_text(json.loads(text)) == text
