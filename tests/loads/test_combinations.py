"""Combinations against the lists of ASCE 7-16 2.4.1 (New York City Building Code 1605.3.1) and EN 1990."""

from __future__ import annotations

from trussio.loads.combinations import Groups, asd_combinations, eurocode_combinations, named
from trussio.model.loading import RunId


def runs(*names: str) -> tuple[RunId, ...]:
    """Runs of these names."""
    return tuple(RunId(name) for name in names)


NONE = Groups(dead=(), live=(), panel=(), snow=(), roof_live=(), wind=(), accidental=(), held=())
FULL = NONE._replace(
    dead=runs("D"), live=runs("L"), snow=runs("S", "S-left"), roof_live=runs("Lr"), wind=runs("W")
)


def test_the_list_of_seven_sixteen() -> None:
    assert set(named(asd_combinations(FULL, "asce7-16"))) == {
        "D+L",
        "D+S",
        "D+S-left",
        "D+Lr",
        "D+0.75L+0.75S",
        "D+0.75L+0.75S-left",
        "D+0.75L+0.75Lr",
        "D+0.6W",
        "D+0.75L+0.45W+0.75S",
        "D+0.75L+0.45W+0.75S-left",
        "D+0.75L+0.45W+0.75Lr",
        "0.6D+0.6W",
    }


def test_seven_twenty_two_takes_seven_tenths_of_snow_and_all_of_the_roof_live_load() -> None:
    found = named(asd_combinations(FULL._replace(wind=()), "asce7-22"))
    assert set(found) == {
        "D+L",
        "D+0.7S",
        "D+0.7S-left",
        "D+Lr",
        "D+0.75L+0.525S",
        "D+0.75L+0.525S-left",
        "D+0.75L+0.75Lr",
    }
    assert "7-22" in found["D+0.7S"].rule.mark


def test_snow_and_roof_live_load_are_never_added_and_no_two_snows() -> None:
    for combination in named(asd_combinations(FULL, "asce7-16")).values():
        roof = {"S", "S-left", "Lr"} & set(combination.factors)
        assert len(roof) <= 1


def test_dead_load_alone_is_its_own_run_unless_there_are_several() -> None:
    assert named(asd_combinations(NONE._replace(dead=runs("D")), "asce7-16")) == {}
    assert set(named(asd_combinations(NONE._replace(dead=runs("D", "D2")), "asce7-16"))) == {"D+D2"}
    assert named(asd_combinations(NONE, "asce7-16")) == {}


def test_a_name_too_long_is_numbered() -> None:
    long = NONE._replace(dead=runs("a" * 40), snow=runs("b" * 40))
    assert set(named(asd_combinations(long, "asce7-16"))) == {"combination 1"}


def test_the_list_of_europe() -> None:
    groups = NONE._replace(
        dead=runs("G"), live=runs("Q"), snow=runs("S"), roof_live=runs("H"), wind=runs("W"), accidental=runs("AS")
    )
    assert set(named(eurocode_combinations(groups))) == {
        "1.35G",
        "1.35G+1.5Q",
        "1.35G+1.5S",
        "G+1.5S",
        "1.35G+1.5H",
        "G+1.5H",
        "1.35G+1.5S+1.05Q",
        "1.35G+1.5Q+0.75S",
        "1.35G+1.5W",
        "G+1.5W",
        "1.35G+1.5S+0.9W",
        "1.35G+1.5W+0.75S",
        "1.35G+1.5Q+0.9W",
        "1.35G+1.5W+1.05Q",
        "1.35G+1.5S+1.05Q+0.9W",
        "1.35G+1.5Q+0.75S+0.9W",
        "1.35G+1.5W+0.75S+1.05Q",
        "1.35G+1.5H+1.05Q",
        "G+AS",
        "G+Q",
        "G+S",
    }


def test_imposed_load_on_a_roof_stands_beside_neither_snow_nor_wind() -> None:
    groups = NONE._replace(dead=runs("G"), live=runs("Q"), snow=runs("S"), roof_live=runs("H"), wind=runs("W"))
    for combination in named(eurocode_combinations(groups)).values():
        assert "H" not in combination.factors or not {"S", "W"} & set(combination.factors)


def test_stated_companion_values_go_before_the_recommended_ones() -> None:
    groups = NONE._replace(dead=runs("G"), live=runs("Q"), snow=runs("S"))
    found = named(eurocode_combinations(groups, psi0_snow=0.7, psi0_live=1.0))
    assert {"1.35G+1.5Q+1.05S", "1.35G+1.5S+1.5Q"} <= set(found)
    assert "1.35G+1.5S" in set(named(eurocode_combinations(groups, psi0_live=0.0)))
