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
        if label.size.metric == "doubtful":
            asked = _in_doubt(label, best)
            questions.append(asked)
            if chosen(asked, answers, ("no size", label.size.name)) == "no size":
                continue
        found.setdefault(best, []).append(label)
    placed = {member: found[member] for member in truss.members if member in found}
    sizes, more = _sizes(truss, placed, reach, answers)
    questions += more
    changes += _as_read([label for mine in placed.values() for label in mine])
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


def _sizes(
    truss: Recognised, placed: dict[MemberId, list[Label]], reach: Reach, answers: Answers
) -> tuple[dict[MemberId, SizeLabel], list[Question]]:
    """The size of every member that has labels, and where they leave it open or the depth drawn is another."""
    sizes: dict[MemberId, SizeLabel] = {}
    questions: list[Question] = []
    for member, labels in placed.items():
        sizes[member], asked = _size(member, labels, _drawn_depth(truss, member), reach, answers)
        questions += [*asked, *_against_depth(truss, member, labels[0], sizes[member], reach)]
    return sizes, questions


def _size(
    member: MemberId, labels: Sequence[Label], drawn: float, reach: Reach, answers: Answers
) -> tuple[SizeLabel, list[Question]]:
    """The size of a member that has labels; of several readings the one that has the depth drawn, if one has."""
    ways = {size.name: size for label in labels for size in label.sizes}
    fitting = [name for name, size in ways.items() if drawn and _agrees(size, drawn, reach)]
    if not _disagree(labels) and len(fitting) == 1:
        return ways[fitting[0]], []
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
    drawn = _drawn_depth(truss, member)
    if not drawn or _agrees(size, drawn, reach):
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


def _drawn_depth(truss: Recognised, member: MemberId) -> float:
    """The depth between the edges that draw a member, 0 where it is drawn by its axis."""
    return float(np.nanmax(truss.frame.sticks.depth[list(truss.members[member].sticks)], initial=0.0))


def _agrees(size: SizeLabel, drawn: float, reach: Reach) -> bool:
    return abs(depth_of(size, reach.inch) - drawn) <= DEPTH_INCHES * reach.inch


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


def _as_read(labels: Sequence[Label]) -> list[Change]:
    """What is told of labels that were read one of two ways without a question: once for each size."""
    found = []
    for name, size in {label.size.name: label.size for label in labels}.items():
        handles = tuple(label.text.handle for label in labels if label.size.name == name)
        if size.by_hyphen:
            says = f"'{name}' was read as {size.plies} plies, and not as a mark {size.plies} before a size."
            found.append(Change(kind="plies-by-hyphen", says=says, handles=handles))
        if size.metric == "cm":
            says = f"'{size.raw}' was read as centimetres: {name} in millimetres."
            found.append(Change(kind="size-in-centimetres", says=says, handles=handles))
    return found


def _in_doubt(label: Label, best: MemberId) -> Question:
    return question(
        "size-doubtful",
        f"Beside {best} stands '{label.text.says}'. Is it a size of {label.size.name} mm?",
        taken="no size",
        options=("no size", label.size.name),
        where=label.text.centre,
        handles=(label.text.handle,),
    )


def _unplaced(label: Label) -> Change:
    return Change(
        kind="label-without-member",
        says=f"The size '{label.text.says}' stands near no member and was left out.",
        where=label.text.centre,
        handles=(label.text.handle,),
    )
