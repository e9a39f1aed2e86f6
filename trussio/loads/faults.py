"""Refusals of loads: what a site or a surface lacks, with its place."""

from __future__ import annotations

from trussio.errors import CannotAnalyseError


def refused(code: str, where: str, what: str, do: str) -> CannotAnalyseError:
    """One refusal."""
    return CannotAnalyseError(code, where=where, what=what, do=do)


def lacking(field: str, needed_for: str, do: str) -> CannotAnalyseError:
    """A field of the site that a rule cannot do without."""
    return refused(
        "site-incomplete", f"/site/{field}", f"the site does not state it, and {needed_for} needs it.", do
    )
