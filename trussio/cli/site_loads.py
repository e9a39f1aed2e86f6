"""Loads of a truss whose document has a site and surfaces and no load case yet: generated before a review."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TextIO

from trussio.document.encode import digest_of_truss
from trussio.errors import CannotAnalyseError
from trussio.loads.generate import generate

if TYPE_CHECKING:
    from trussio.formats import Opened


def with_site_loads(opened: Opened, err: TextIO) -> Opened:
    """The truss with the loads of its site, said on `err`; as it is where it has loads, or no site and surfaces.

    Where a rule lacks what it needs, that is said and the truss stays without loads.
    """
    truss = opened.truss
    if truss.site is None or not truss.surfaces or truss.loads.cases:
        return opened
    try:
        loaded = generate(truss)
    except CannotAnalyseError as error:
        err.write(f"{opened.name}: no loads were generated from the site. {error}\n")
        return opened
    basis = loaded.loads.basis
    cases = 0 if basis is None else len(basis.cases)
    err.write(
        f"{opened.name}: the document held no loads; {cases} cases were generated from its site. "
        "`trussio load` tells their clauses.\n"
    )
    return replace(opened, truss=loaded, digest=digest_of_truss(loaded))
