"""What the code of a finding means, why it matters on a truss, and how to cure it.

The texts stand in `explanations.json` beside this file, one entry for each code.
"""

from __future__ import annotations

import json
from importlib.resources import files
from textwrap import fill
from typing import TYPE_CHECKING, Final

from trussio.errors import UsageError

if TYPE_CHECKING:
    from collections.abc import Mapping

EXPLAINED: Final[Mapping[str, Mapping[str, str]]] = json.loads(
    files("trussio.audit").joinpath("explanations.json").read_text(encoding="utf-8")
)
"""By code: `means`, `matters`, `cure`."""
TITLES: Final = {"means": "What it means", "matters": "Why it matters", "cure": "How to cure it"}
WIDTH: Final = 96


def explain(code: str) -> str:
    """The explanation of a code as text.

    Raises UsageError `unknown-code` naming the codes that begin alike, or all of them.
    """
    known = EXPLAINED.get(code)
    if known is None:
        alike = [name for name in sorted(EXPLAINED) if code and name[:3] == code[:3]] or sorted(EXPLAINED)
        raise UsageError(
            "unknown-code",
            what=f"No finding has the code {code}.",
            do=f"Codes that are near: {', '.join(alike)}.",
        )
    parts = (
        f"{title}\n{fill(known[key], WIDTH, initial_indent='  ', subsequent_indent='  ')}"
        for key, title in TITLES.items()
    )
    return "\n\n".join((code, *parts)) + "\n"
