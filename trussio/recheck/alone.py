"""The checker of proofs as one file that runs alone: `python -m trussio.recheck.alone > checker.py`.

The modules that the checker is made of need nothing but the standard library; one after the other, without what
they import from each other, they are a program for a machine that has no trussio: `python checker.py PROOF TRUSS`.
Nothing is changed in them, so that reading them and reading the file is the same.
"""

from __future__ import annotations

import ast
import sys
from importlib.resources import files
from typing import Final

PARTS: Final = (
    "ribs",
    "statement",
    "following",
    "slipping",
    "balancing",
    "tally",
    "bereft",
    "survey",
    "gaps",
    "one_sided",
    "tendons",
    "proof",
)
"""Each needs only those before it, but for what it loads when a document needs it."""
PACKAGE: Final = "trussio.recheck"
HEADER: Final = '''\
from __future__ import annotations

TYPE_CHECKING = False


def loaded(place):
    """What the package loads when a document needs it stands in this file."""
    return globals()[place.rpartition(":")[2]]
'''


def checker() -> str:
    """The text of the file."""
    sources = [files(PACKAGE).joinpath(f"{part}.py").read_text(encoding="utf-8") for part in PARTS]
    bodies = [
        f"# {PACKAGE}.{part}\n\n{_without_imports(source)}" for part, source in zip(PARTS, sources, strict=True)
    ]
    documented = ast.get_docstring(ast.parse(sources[-1]), clean=False)
    return "\n\n".join([f'"""{documented}"""', HEADER, *bodies])


def _without_imports(source: str) -> str:
    """A module without its docstring, its future import, and what it imports from the other parts."""
    lines = source.splitlines(keepends=True)
    body = ast.parse(source).body
    left_out = [body[0], *(node for node in body if _left_out(node))]
    gone = {number for node in left_out for number in range(node.lineno, (node.end_lineno or node.lineno) + 1)}
    return "".join(line for number, line in enumerate(lines, start=1) if number not in gone).strip() + "\n"


def _left_out(node: ast.stmt) -> bool:
    """Whether a statement is of no use in the one file: an import from a part, or for type checkers alone."""
    if isinstance(node, ast.If):
        return isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
    module = str(node.module) if isinstance(node, ast.ImportFrom) else ""
    return module == "__future__" or module.startswith((PACKAGE, "trussio.late"))


if __name__ == "__main__":
    sys.stdout.write(checker())
