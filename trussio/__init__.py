"""From the drawing of an old timber roof truss to a model that can be trusted, with its forces proved twice.

    import trussio

    reading = trussio.read_drawing("drawing.dxf", basis=trussio.read_basis(data, name="basis.json"))
    truss = reading.trusses[0]
    digest = trussio.digest_of_truss(truss)
    assessment = trussio.assess(truss, name="drawing.dxf", digest=digest)

Every name below is loaded when it is first used, so that importing the package costs nothing.
"""

from importlib import import_module

from trussio.version import __version__

TYPE_CHECKING = False
if TYPE_CHECKING:
    from trussio.amplification import second_order
    from trussio.assess import assess
    from trussio.audit.rules import audit
    from trussio.calculation import calculate
    from trussio.checking import check
    from trussio.document.bands import read_bands, write_bands
    from trussio.document.basis import read_basis
    from trussio.document.check_record import write_check_record
    from trussio.document.checks import read_checks, write_checks
    from trussio.document.conversion import to_units
    from trussio.document.decode import read_truss
    from trussio.document.encode import digest_of_truss, write_truss
    from trussio.document.findings import write_findings
    from trussio.document.forces_table import read_forces_table
    from trussio.document.results import read_results, write_results
    from trussio.document.second_order import read_second_order, write_second_order
    from trussio.drawing.answers import read_answers
    from trussio.drawing.reading import read_drawing
    from trussio.drawing.sheet import sheet
    from trussio.drawing.svg import render
    from trussio.errors import TrussioError
    from trussio.loads.generate import generate
    from trussio.rechecking import claims, recheck
    from trussio.report.page import page
    from trussio.report.summary import summary
    from trussio.uncertainty import bands, varied_forces, varied_joints


_NAMES = {
    "read_drawing": "trussio.drawing.reading",
    "read_answers": "trussio.drawing.answers",
    "read_truss": "trussio.document.decode",
    "write_truss": "trussio.document.encode",
    "digest_of_truss": "trussio.document.encode",
    "to_units": "trussio.document.conversion",
    "read_basis": "trussio.document.basis",
    "read_results": "trussio.document.results",
    "write_results": "trussio.document.results",
    "read_forces_table": "trussio.document.forces_table",
    "write_check_record": "trussio.document.check_record",
    "read_bands": "trussio.document.bands",
    "write_bands": "trussio.document.bands",
    "write_findings": "trussio.document.findings",
    "read_checks": "trussio.document.checks",
    "write_checks": "trussio.document.checks",
    "generate": "trussio.loads.generate",
    "audit": "trussio.audit.rules",
    "calculate": "trussio.calculation",
    "check": "trussio.checking",
    "with_growth": "trussio.checking",
    "with_shares": "trussio.checking",
    "claims": "trussio.rechecking",
    "recheck": "trussio.rechecking",
    "assess": "trussio.assess",
    "sheet": "trussio.drawing.sheet",
    "render": "trussio.drawing.svg",
    "page": "trussio.report.page",
    "summary": "trussio.report.summary",
    "bands": "trussio.uncertainty",
    "second_order": "trussio.amplification",
    "read_second_order": "trussio.document.second_order",
    "write_second_order": "trussio.document.second_order",
    "varied_forces": "trussio.uncertainty",
    "varied_joints": "trussio.uncertainty",
    "TrussioError": "trussio.errors",
}

__all__ = [
    "TrussioError",
    "__version__",
    "assess",
    "audit",
    "bands",
    "calculate",
    "check",
    "claims",
    "digest_of_truss",
    "generate",
    "page",
    "read_answers",
    "read_bands",
    "read_basis",
    "read_checks",
    "read_drawing",
    "read_forces_table",
    "read_results",
    "read_second_order",
    "read_truss",
    "recheck",
    "render",
    "second_order",
    "sheet",
    "summary",
    "to_units",
    "varied_forces",
    "varied_joints",
    "with_growth",
    "with_shares",
    "write_bands",
    "write_check_record",
    "write_checks",
    "write_findings",
    "write_results",
    "write_second_order",
    "write_truss",
]


def __getattr__(name: str) -> object:
    """A public name, from the module that has it."""
    if name not in _NAMES:
        raise AttributeError(f"module 'trussio' has no attribute {name!r}")
    return getattr(import_module(_NAMES[name]), name)


def __dir__() -> list[str]:
    return __all__
