"""What holds for every rule set, whatever the enclosure and the animals."""

import tomllib
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.welfare.read_rule_sets import read_rule_sets
from habitats.welfare.rule_sets import DATA, rule_set, rule_sets_for
from habitats.welfare.space import judged
from habitats.welfare.values import Resident, Room, Sex, Species

HEAVIEST_G = {Species.GUINEA_PIG: 1500, Species.RABBIT: 8000}
each_species = pytest.mark.parametrize("species", list(Species))


def residents(species):
    return st.builds(
        Resident,
        weight_g=st.none() | st.integers(30, HEAVIEST_G[species]),
        age_days=st.none() | st.integers(0, 100),
        sex=st.sampled_from([None, *Sex]),
        castrated=st.booleans(),
        with_litter=st.booleans(),
    ).filter(lambda one: not (one.with_litter and one.sex is Sex.MALE))


def groups(species):
    return st.lists(residents(species), min_size=1, max_size=13)


rooms = st.builds(
    Room,
    ground_mm2=st.integers(10_000, 8_000_000),
    upper_mm2=st.integers(0, 2_000_000),
    height_mm=st.none() | st.integers(100, 1200),
    tall_share=st.none() | st.floats(0, 1),
    longest_side_mm=st.none() | st.integers(300, 4000),
    shortest_side_mm=st.none() | st.integers(200, 3000),
    raised_mm2=st.none() | st.integers(0, 300_000),
)

# Large and fully measured, so that many of them pass.
large_rooms = st.builds(
    Room,
    ground_mm2=st.integers(200_000, 20_000_000),
    upper_mm2=st.integers(0, 2_000_000),
    height_mm=st.sampled_from([500, 1000]),
    tall_share=st.sampled_from([0.6, 1.0]),
    longest_side_mm=st.sampled_from([1000, 3000]),
    shortest_side_mm=st.sampled_from([600, 2000]),
    raised_mm2=st.integers(0, 300_000),
)


@each_species
@given(data=st.data())
def test_more_animals_never_need_less(species, data):
    group, newcomer = data.draw(groups(species)), data.draw(residents(species))

    for one in rule_sets_for(species):
        assert one.required_mm2([*group, newcomer]) >= one.required_mm2(group), one.id


@each_species
@given(data=st.data())
def test_more_animals_never_need_less_height(species, data):
    group, newcomer = data.draw(groups(species)), data.draw(residents(species))

    for one in (one for one in rule_sets_for(species) if one.height is not None):
        assert one.needed_height_mm([*group, newcomer]) >= one.needed_height_mm(group), one.id


@each_species
@given(room=rooms | large_rooms, more=st.integers(1, 3_000_000), data=st.data())
def test_more_floor_never_fails_what_passed(species, room, more, data):
    group = data.draw(groups(species))[:4]
    larger = replace(room, ground_mm2=room.ground_mm2 + more)
    higher = replace(room, upper_mm2=room.upper_mm2 + more)

    for one in rule_sets_for(species):
        if judged(one, species, room, group).passes:
            assert judged(one, species, larger, group).passes, one.id
            assert judged(one, species, higher, group).passes, one.id


@each_species
@given(data=st.data())
def test_shares_are_all_of_the_floor_asked_for(species, data):
    group = data.draw(groups(species))

    for one in rule_sets_for(species):
        shares = judged(one, species, Room(ground_mm2=1), group).shares_mm2
        assert len(shares) == len(group)
        assert min(shares) > 0
        assert sum(shares) == one.required_mm2(group)


@each_species
@given(data=st.data())
def test_an_animal_that_is_not_known_never_needs_less(species, data):
    known, others = data.draw(residents(species)), data.draw(groups(species))

    for one in rule_sets_for(species):
        need = one.required_mm2([*others, known])
        assert one.required_mm2([*others, replace(known, weight_g=None)]) >= need, one.id
        assert one.required_mm2([*others, replace(known, age_days=None)]) >= need, one.id


@each_species
@given(data=st.data())
def test_the_order_of_animals_does_not_matter(species, data):
    group = data.draw(groups(species))
    turned = data.draw(st.permutations(group))

    for one in rule_sets_for(species):
        assert one.required_mm2(turned) == one.required_mm2(group), one.id


@each_species
@given(room=rooms, data=st.data())
def test_nothing_passes_while_something_is_not_known_or_broken(species, room, data):
    group = data.draw(groups(species))

    for one in rule_sets_for(species):
        verdict = judged(one, species, room, group)
        deciding = [clause.passes for clause in verdict.clauses if clause.verified]
        assert (verdict.passes is True) == (bool(deciding) and all(deciding))
        assert (verdict.passes is False) == (False in deciding)


@each_species
@given(data=st.data())
def test_rule_sets_never_blend(species, data):
    # Each verdict is the one that the rule set gives when its file holds nothing else.
    room, group = data.draw(rooms), data.draw(groups(species))

    for one, alone in ALONE[species]:
        verdict = judged(one, species, room, group)
        assert verdict == judged(alone, species, room, group)
        assert {clause.source for clause in verdict.clauses} == {one.source}


def _each_alone(species):
    text = (DATA / f"{species}.toml").read_text(encoding="utf-8")
    tables = text.split("[[rule_set]]")[1:]
    assert len(tables) == len(tomllib.loads(text)["rule_set"])
    alone = [read_rule_sets(f"[[rule_set]]{table}", species)[0] for table in tables]
    return list(zip(rule_sets_for(species), alone, strict=True))


ALONE = {species: _each_alone(species) for species in Species}


def test_a_rule_set_judges_only_its_own_species():
    with pytest.raises(ValueError, match="cannot judge rabbit"):
        judged(rule_set("ch-tschv"), Species.RABBIT, Room(ground_mm2=1), [Resident()])


def test_an_enclosure_without_animals_is_not_judged():
    with pytest.raises(ValueError, match="at least one"):
        judged(rule_set("ch-tschv"), Species.GUINEA_PIG, Room(ground_mm2=1), [])
