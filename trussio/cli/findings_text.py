"""Findings as text, most urgent first: how many, those of one kind under one heading, then the statics.

What several findings of one code would have one do is said once. Places are shortened to a line; the findings
document and SARIF hold them all.
"""

from __future__ import annotations

from itertools import groupby
from textwrap import wrap
from typing import TYPE_CHECKING, Final

from trussio.model.finding import LEVELS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from trussio.model.finding import Finding, Findings, Level, Statics
    from trussio.model.truss import Truss

WIDTH: Final = 100
MOST_PLACES: Final = 6
INDENT: Final = "       "
NOTHING: Final = "No finding. That says what was looked for was not found, and nothing of the roof itself."
MANY: Final[dict[Level, str]] = {"stop": "stops", "query": "queries", "note": "notes"}


def findings_text(truss: Truss, findings: Findings) -> str:
    """Every finding, then the statics."""
    lines = [f"{truss.title} - audit of model {findings.model[7:19]}", _counts(findings), ""]
    for _, alike in groupby(findings.findings, key=lambda f: (f.level, f.code, f.do, f.accepted)):
        lines += [*_findings(list(alike)), ""]
    for idealisation, statics in findings.statics.items():
        lines.append(f"{idealisation}: {_statics(statics)}")
    return "\n".join(lines) + "\n"


def _counts(findings: Findings) -> str:
    """How many there are: `1 stop, 2 queries, no notes (1 accepted)`."""
    if not findings.findings:
        return NOTHING
    levels = [finding.level for finding in findings.findings]
    each = [
        f"{number or 'no'} {level if number == 1 else MANY[level]}"
        for level in LEVELS
        for number in [levels.count(level)]
    ]
    accepted = sum(finding.accepted is not None for finding in findings.findings)
    return ", ".join(each) + (f" ({accepted} accepted)." if accepted else ".")


def _findings(alike: Sequence[Finding]) -> Iterator[str]:
    """Findings of one code that ask for the same."""
    first = alike[0]
    times = f" ({len(alike)})" if len(alike) > 1 else ""
    where = _places([place for finding in alike for place in finding.where])
    yield f"{first.level.upper():<6} {first.code}{times}{'  at ' if where else ''}{where}"
    for finding in alike:
        start = f"{INDENT}- " if len(alike) > 1 else INDENT
        yield from wrap(finding.says, WIDTH, initial_indent=start, subsequent_indent=" " * len(start))
    yield from wrap(first.do, WIDTH, initial_indent=f"{INDENT}> ", subsequent_indent=f"{INDENT}  ")
    if first.accepted is not None:
        signed = f"Accepted by {first.accepted.by}, {first.accepted.on}: {first.accepted.why}"
        yield from wrap(signed, WIDTH, initial_indent=INDENT, subsequent_indent=INDENT)


def _places(pointers: Sequence[str]) -> str:
    """`joints C, D; members w1`: the places by what they are, a few of each; nothing where it is the whole."""
    kinds: dict[str, list[str]] = {}
    for place in dict.fromkeys(pointers):
        kind, _, rest = place.removeprefix("/").partition("/")
        names = kinds.setdefault(kind, [])
        if rest:
            names.append(rest.replace("~1", "/").replace("~0", "~"))
    told = []
    for kind, names in kinds.items():
        more = f" and {len(names) - MOST_PLACES} more" if len(names) > MOST_PLACES else ""
        told.append(f"{kind} {', '.join(names[:MOST_PLACES])}{more}".strip())
    return "; ".join(place for place in told if place not in {"", "members"})


def _statics(statics: Statics) -> str:
    moving = f", moving {', '.join(statics.moving)}" if statics.moving else ""
    return (
        f"{statics.joints} joints, {statics.segments} segments, {statics.holds} holds; "
        f"degree of indeterminacy by count {statics.count}, mechanisms {statics.mechanisms}{moving}, "
        f"states of self-stress {statics.self_stress}"
    )
