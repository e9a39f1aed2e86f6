"""What a survey recorded of what holds the truss: bracing of the chords, knee braces, columns that run on.

Bracing out of the plane decides what a chord may carry in compression, the bottom chord's too where uplift or
props push on it, so both chords need a record, and somebody who saw what it says. Knee braces and columns turn
forces round near the heels; a site that says nothing of them has not been looked at. All of it is common practice,
no source.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from trussio.audit.wording import counted, listed, member_pointers, pointer
from trussio.model.finding import Finding

if TYPE_CHECKING:
    from collections.abc import Iterator

    from trussio.audit.subject import Subject

CHORDS: Final = ("top-chord", "bottom-chord")


def bracing(subject: Subject) -> Iterator[Finding]:
    """Chords without a record, records that nobody saw, chords that nothing holds."""
    members = subject.truss.members
    chords = [name for name, member in members.items() if member.role in CHORDS]
    silent = [name for name in chords if members[name].braced is None]
    if silent:
        others = ", though it is for other chords" if len(silent) < len(chords) else ""
        yield Finding(
            code="bracing-not-recorded",
            level="query",
            where=member_pointers(silent),
            says=f"What holds {listed(silent)} out of the plane is not recorded{others}.",
            do="Look what holds each chord out of the plane, and where; record it, also where nothing does.",
            evidence={"members": [*silent]},
        )
    unseen = {name: [b for b in members[name].braced or () if not b.seen] for name in chords}
    doubtful = [name for name, braces in unseen.items() if braces]
    if doubtful:
        number = sum(len(unseen[name]) for name in doubtful)
        yield Finding(
            code="bracing-not-seen",
            level="query",
            where=tuple(pointer("members", name, "braced") for name in doubtful),
            says=f"{counted(number, 'brace')} of {listed(doubtful)} nobody saw to hold: "
            f"{listed(dict.fromkeys(brace.by for name in doubtful for brace in unseen[name]))}.",
            do="See whether it is fastened at both ends and runs to something that stands.",
            evidence={"members": [*doubtful], "unseen": number},
        )
    bare = [name for name in chords if members[name].braced == ()]
    if bare:
        yield Finding(
            code="unbraced-chord",
            level="query",
            where=member_pointers(bare),
            says=f"The survey found nothing that holds {listed(bare)} out of the plane of the truss.",
            do="Ask what keeps it upright; in compression its free length is then all of it.",
            evidence={"members": [*bare]},
        )


def surroundings(subject: Subject) -> Iterator[Finding]:
    """Knee braces and columns of which the site says nothing, or that nobody saw."""
    site = subject.truss.site
    if site is None:
        return
    asked = {"knee_braces": ("knee braces", site.knee_braces), "columns": ("columns that run on", site.columns)}
    open_ones = {key: what for key, (what, seen) in asked.items() if seen in {None, "not-seen"}}
    if open_ones:
        yield Finding(
            code="frame-not-seen",
            level="query",
            where=tuple(pointer("site", key) if asked[key][1] else "/site" for key in open_ones),
            says=f"Nobody saw whether {listed(open_ones.values(), last='or')} hold the truss at its ends; they "
            "would change the forces near the heels.",
            do="Look at both ends; say `none`, or enter them as members and bearings and say `in-model`.",
            evidence={"open": [*open_ones]},
        )
