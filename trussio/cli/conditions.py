"""Options for what a document does not say of the roof and the checks of wood need."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trussio.errors import UsageError
from trussio.model.truss import MemberId
from trussio.timber.bench import Conditions

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace

    from trussio.model.truss import Truss


def add_conditions(parser: ArgumentParser) -> None:
    """What the review of wood must know."""
    group = parser.add_argument_group("what the document does not say; where not given, what was taken is said")
    group.add_argument("--wet", choices=("yes", "no"), help="wood in service above 19 %% moisture")
    group.add_argument(
        "--temperature",
        metavar="DEGREES",
        type=float,
        help="sustained temperature of the wood, F in a us document, C in an si one",
    )
    group.add_argument("--service-class", choices=(1, 2, 3), type=int, help="service class of EN 1995-1-1")
    group.add_argument(
        "--lateral",
        metavar="MEMBER=LENGTH",
        action="append",
        default=[],
        help="length between what truly holds a stick across the truss plane, in. or mm, 0 where held throughout",
    )


def conditions_of(args: Namespace, truss: Truss) -> Conditions:
    """What the options say. Raises UsageError `bad-lateral` or `unknown-member`."""
    temperature = args.temperature
    if temperature is not None and truss.units == "si":
        temperature = temperature * 1.8 + 32
    return Conditions(
        wet=None if args.wet is None else args.wet == "yes",
        temperature=temperature,
        service_class=args.service_class,
        lateral=dict(_lateral(text, truss) for text in args.lateral),
    )


def _lateral(text: str, truss: Truss) -> tuple[MemberId, float]:
    name, equals, number = text.rpartition("=")
    try:
        length = float(number)
    except ValueError:
        length = -1.0
    if not equals or not 0 <= length < float("inf"):
        raise UsageError(
            "bad-lateral",
            where=text,
            what="--lateral takes a stick and a length.",
            do="Write it as top=48, in inches or millimetres as the document has them.",
        )
    if name not in truss.members:
        raise UsageError(
            "unknown-member",
            where=text,
            what=f"The document has no stick {name}.",
            do=f"Choose among {', '.join(truss.members)}.",
        )
    return MemberId(name), length
