"""What size each member has: from its labels, from a schedule of marks, from a label that goes for others too.

Two members about as near to a label, two sizes on one member, a size against the depth drawn, a label that says it
is typical: each is a question, with the likeliest answer taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from trussio.drawing.answers import chosen, question
from trussio.drawing.recognise.labels import depth_of, ranked_axes
from trussio.drawing.recognise.schedules import scheduled
from trussio.model.change import Change
from trussio.model.truss import MemberId

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trussio.drawing.answers import Answers
    from trussio.drawing.heal.axes import Axes
    from trussio.drawing.heal.reach import Reach
    from trussio.drawing.recognise.labels import Label
    from trussio.drawing.recognise.roles import Recognised
    from trussio.drawing.records import Text
    from trussio.drawing.sizes import SizeLabel
    from trussio.model.change import Question

RIVAL: Final = 1.2
"""Two members are rivals for a label when the further is no more than so many times as far."""
DEPTH_INCHES: Final = 1.0
"""A label and a drawn depth that differ by more are asked about."""


@dataclass(frozen=True, kw_only=True)
class Sized:
    """The size of each member that has one, and the labels that say so, in the order of the drawing."""

    sizes: dict[MemberId, SizeLabel]
    labels: dict[MemberId, tuple[Label, ...]]


def sized(
    truss: Recognised, labels: Sequence[Label], texts: Sequence[Text], reach: Reach, answers: Answers
) -> tuple[Sized, list[Change], list[Question]]:
    """The size of every member that the drawing gives one."""
    if not labels:
        return Sized(sizes={}, labels={}), [], []
    axes, owner = _member_axes(truss)
    table = scheduled(axes, owner, labels, texts, reach)
    roles = [truss.members[member].role for member in owner]
    found: dict[MemberId, list[Label]] = {}
    changes, questions = [], []
    for label in labels:
        if label.text.handle in table.rows:
            continue
        allowed = np.array([label.role is None or role == label.role for role in roles])
        ranked = _members(ranked_axes(axes, label.text, reach, allowed if allowed.any() else ~allowed), owner)
        if not ranked:
            changes.append(_unplaced(label))
            continue
        best = ranked[0][1]
        rivals = [member for distance, member in ranked[1:] if distance <= RIVAL * ranked[0][0] + reach.silent]
        if rivals:
            asked = _which(label, best, rivals)
            questions.append(asked)
            best = MemberId(chosen(asked, answers, list(truss.members)))
        found.setdefault(best, []).append(label)
    placed = {member: found[member] for member in truss.members if member in found}
    changes += _by_hyphen([label for mine in placed.values() for label in mine])
    sizes: dict[MemberId, SizeLabel] = {}
    for member, mine in placed.items():
        sizes[member], asked_about = _size(member, mine, answers)
        questions += [*asked_about, *_against_depth(truss, member, mine[0], sizes[member], reach)]
    spread, asked_about = _typical(truss, placed, sizes, answers)
    sizes |= spread
    questions += asked_about
    sizes |= _along_chords(truss, sizes)
    listed = {member: size for member, size in table.sizes.items() if member not in sizes}
    if listed:
        asked = _from_table(listed, table.rows)
        questions.append(asked)
        if chosen(asked, answers, ("yes", "no")) == "yes":
            sizes |= listed
    return Sized(sizes=sizes, labels={m: tuple(mine) for m, mine in placed.items()}), changes, questions


def _size(member: MemberId, labels: Sequence[Label], answers: Answers) -> tuple[SizeLabel, list[Question]]:
    """The size of a member that has labels."""
    ways = {size.name: size for label in labels for size in label.sizes}
    names = list(ways)
    if len(names) == 1:
        return ways[names[0]], []
    asked = _conflict(member, labels, names) if _disagree(labels) else _reading(labels[0], names)
    return ways[chosen(asked, answers, names)], [asked]


def _typical(
    truss: Recognised,
    placed: dict[MemberId, list[Label]],
    sizes: dict[MemberId, SizeLabel],
    answers: Answers,
) -> tuple[dict[MemberId, SizeLabel], list[Question]]:
    """Sizes that go for others too (TYP.): spread over the unlabelled members of the same role on consent."""
    spread: dict[MemberId, SizeLabel] = {}
    questions = []
    for member, labels in placed.items():
        for label in labels:
            if not label.size.typical:
                continue
            role = truss.members[member].role
            others = [name for name, part in truss.members.items() if part.role == role and name not in placed]
            if not others:
                continue
            asked = question(
                "size-typical",
                f"Does '{label.text.says}' on {member} go for {len(others)} more members without a size?",
                taken="no",
                options=("no", "yes"),
                where=label.text.centre,
                handles=(label.text.handle,),
            )
            questions.append(asked)
            if chosen(asked, answers, ("no", "yes")) == "yes":
                spread |= dict.fromkeys(others, sizes[member])
    return spread, questions


def _along_chords(truss: Recognised, sizes: dict[MemberId, SizeLabel]) -> dict[MemberId, SizeLabel]:
    """Sizes of unlabelled chord pieces where all labels along one unbroken sweep of the chord agree."""
    found: dict[MemberId, SizeLabel] = {}
    for word in ("bottom-", "top-"):
        names = [name for name in truss.members if name.startswith(word)]
        sweeps: list[list[MemberId]] = []
        for name in names:
            if sweeps and truss.sweeps_on(sweeps[-1][-1], name):
                sweeps[-1].append(name)
            else:
                sweeps.append([name])
        for sweep in sweeps:
            known = {sizes[name].name: sizes[name] for name in sweep if name in sizes}
            if len(known) == 1:
                found |= {name: next(iter(known.values())) for name in sweep if name not in sizes}
    return found


def _against_depth(
    truss: Recognised, member: MemberId, label: Label, size: SizeLabel, reach: Reach
) -> list[Question]:
    """A question where the depth that a label states differs by more than an inch from that between the edges."""
    drawn = float(np.nanmax(truss.frame.sticks.depth[list(truss.members[member].sticks)], initial=0.0))
    stated = depth_of(size, reach.inch)
    if not drawn or abs(stated - drawn) <= DEPTH_INCHES * reach.inch:
        return []
    return [
        question(
            "label-against-depth",
            f"{member} is labelled {size.name} and drawn {reach.told(drawn)} deep. Which is right?",
            taken=size.name,
            options=(size.name,),
            settle="Correct the label or the drawing.",
            where=label.text.centre,
            handles=(label.text.handle, *truss.handles(truss.members[member])),
        )
    ]


def _members(ranked: list[tuple[float, int]], owner: list[MemberId]) -> list[tuple[float, MemberId]]:
    """Members instead of rows, each once, nearest first."""
    best: dict[MemberId, float] = {}
    for distance, row in ranked:
        best.setdefault(owner[row], distance)
    return [(distance, member) for member, distance in best.items()]


def _member_axes(truss: Recognised) -> tuple[Axes, list[MemberId]]:
    """The axes of all members, stick by stick, and the member of each."""
    pairs = [(row, member) for member, part in truss.members.items() for row in part.sticks]
    return truss.frame.axes.take(np.array([row for row, _ in pairs], dtype=np.intp)), [
        member for _, member in pairs
    ]


def _from_table(listed: dict[MemberId, SizeLabel], rows: Sequence[str]) -> Question:
    return question(
        "size-schedule",
        f"A table gives sizes by mark for {', '.join(listed)}. Do they hold?",
        taken="yes",
        options=("yes", "no"),
        handles=tuple(rows),
    )


def _disagree(labels: Sequence[Label]) -> bool:
    return len({label.size.name for label in labels}) > 1


def _which(label: Label, best: MemberId, rivals: Sequence[MemberId]) -> Question:
    return question(
        "label-between-members",
        f"Does the size '{label.text.says}' belong to {best} or to {' or '.join(rivals)}?",
        taken=best,
        options=(best, *rivals),
        where=label.text.centre,
        handles=(label.text.handle,),
    )


def _reading(label: Label, names: Sequence[str]) -> Question:
    return question(
        "size-reads-two-ways",
        f"Does '{label.text.says}' mean {' or '.join(names)}?",
        taken=names[0],
        options=names,
        where=label.text.centre,
        handles=(label.text.handle,),
    )


def _conflict(member: MemberId, labels: Sequence[Label], names: Sequence[str]) -> Question:
    return question(
        "sizes-disagree",
        f"The drawing writes {' and '.join(names)} on {member}. Which is it?",
        taken=names[0],
        options=names,
        where=labels[0].text.centre,
        handles=tuple(label.text.handle for label in labels),
    )


def _by_hyphen(labels: Sequence[Label]) -> list[Change]:
    """What is told of labels such as `3-2x10`, which may be plies, or a mark before a size: once for each size."""
    sizes = {label.size.name: label.size for label in labels if label.size.by_hyphen}
    return [
        Change(
            kind="plies-by-hyphen",
            says=f"'{name}' was read as {size.plies} plies, and not as a mark {size.plies} before a size.",
            handles=tuple(
                label.text.handle for label in labels if label.size.by_hyphen and label.size.name == name
            ),
        )
        for name, size in sizes.items()
    ]


def _unplaced(label: Label) -> Change:
    return Change(
        kind="label-without-member",
        says=f"The size '{label.text.says}' stands near no member and was left out.",
        where=label.text.centre,
        handles=(label.text.handle,),
    )
