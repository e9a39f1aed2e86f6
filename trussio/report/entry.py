"""An entry of the first screen: its heading and its lines, for the page and in fewer words for a terminal."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One entry of the first screen: its heading, its lines, the urgent ones first (`urgent` counts them).

    `brief` says the same in fewer words for a terminal, empty where `lines` are brief enough. `short` tells that
    the lines are short and many.
    """

    heading: str
    lines: tuple[str, ...]
    brief: tuple[str, ...] = ()
    urgent: int = 0
    short: bool = False


def few(lines: list[str], most: int = 3) -> list[str]:
    """The first of several lines, and how many more there are."""
    left = len(lines) - most
    return lines if left <= 0 else [*lines[:most], f"And {left} more below."]
