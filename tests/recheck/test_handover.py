"""The blind hand-over: the model and what to find, no result, and a table that can be filled in and read back."""

from __future__ import annotations

import json

from tests.recheck.tables import checked, own_forces
from tests.strategies import random_truss, seeded
from trussio.document.encode import write_truss
from trussio.document.forces_table import read_forces_table
from trussio.recheck.handover import handover

TRUSS = random_truss(seeded(4), idealisation="continuous")


def test_it_holds_the_model_and_no_force() -> None:
    document = json.loads(write_truss(TRUSS))
    given = handover(TRUSS, document, idealisation="continuous", state="found", model_digest="sha256:m")
    assert given["truss"] == document
    assert (given["format"], given["version"], given["model"]) == ("trussio/handover", 1, "sha256:m")
    text = json.dumps({name: part for name, part in given.items() if name != "truss"})
    largest = max(own_forces(TRUSS, "continuous")["D"].values())  # type: ignore[index]  # a run by its text
    assert f"{largest:.3f}" not in text
    assert isinstance(given["criteria"], list)
    assert any("tension is positive" in str(words) for words in given["criteria"])


def test_the_table_filled_in_is_read_back_and_agrees() -> None:
    given = handover(TRUSS, {}, idealisation="continuous", state="found", model_digest="sha256:m")
    forces = own_forces(TRUSS, "continuous")
    rows = given["table"]
    assert isinstance(rows, list)
    assert rows[0] == "run,segment,axial"
    flat = {f"{run},{name},": force for run, of in forces.items() for name, force in of.items()}
    filled = "\n".join([str(rows[0]), *(f"{row}{flat[str(row)]:.6g}" for row in rows[1:])])
    assert len(rows) == 1 + len(flat)
    table = read_forces_table(filled.encode(), name="filled.csv", truss=TRUSS)
    assert checked(TRUSS, table, "continuous").verdict == "agrees"
