"""The packing list, and what is missing of it.

Masses are the worked values of rotation: terry 700 × 1 400 mm at 500 g/m² weighs 490 g, two
layers of 300 g/m² fleece of that size 588 g; 1 400 mm at 5 % shrinkage is cut 1 474 mm.
"""

from dataclasses import asdict

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.making.reckoning import plan_of
from builds.packing import Cloth, known_mass, mass_words, missing, packing_list
from habitats.rotation.cloth import Shrinkage
from habitats.structure.lattice import Side
from tests.support.designs import make_design, ramp_from

FLEECE = Cloth("fleece", is_cotton=False, layers=2, grams_per_m2=300, shrinkage=Shrinkage(50, 50))
TERRY = Cloth("terry", is_cotton=True, layers=1, grams_per_m2=500, shrinkage=Shrinkage(50, 50))


@pytest.fixture(scope="module")
def parts():
    """Of two levels and a ramp, as a plan keeps them."""
    design = make_design(
        ["####", "####"], upper=["#...", "#..."], ramps=(ramp_from(0, 0, Side.E, panels=3),)
    )
    return [asdict(part) for part in plan_of(design).parts.parts]


def a_part(what="liner-ground", kind="cloth", count=1, spare=0, **more):
    size = {"size": (700, 1400), "cut": (737, 1474)}
    return {
        "what": what,
        "kind": kind,
        "count": count,
        "spare": spare,
        "unit": "",
        **size,
        **more,
    }


def the_line(part, sets=1, **cloths):
    (line,) = packing_list([part], sets=sets, cloths=cloths)
    return line


def test_every_part_of_the_plan_is_on_the_list_in_its_order(parts):
    lines = packing_list(parts, sets=1, cloths={})

    assert [line.what for line in lines] == [part["what"] for part in parts]
    assert [line.to_pack for line in lines] == [part["count"] + part["spare"] for part in parts]


def test_linens_go_along_in_sets_and_nothing_else_does(parts):
    once, thrice = (packing_list(parts, sets=sets, cloths={}) for sets in (1, 3))

    for one, three in zip(once, thrice, strict=True):
        assert three.to_pack == one.to_pack * (3 if one.is_linen else 1)
    assert sum(line.is_towel for line in once) == 1


def test_a_line_of_known_goods_weighs_what_its_finished_cloth_weighs():
    assert the_line(a_part(), liner=FLEECE).each_g == 588
    assert the_line(a_part(), liner=TERRY).each_g == 490


def test_a_folded_towel_weighs_all_four_layers():
    towel = a_part("towel-for-the-ramp", size=(200, 1030), cut=(800, 1030))

    assert the_line(towel, towel=TERRY).each_g == 412  # 0.8 × 1.03 m² × 500 g/m²


def test_nothing_is_reckoned_for_goods_that_nobody_named():
    assert the_line(a_part()).each_g is None
    assert the_line(a_part(), towel=TERRY).each_g is None
    assert the_line(a_part("plain-panel", "panel"), liner=TERRY).each_g is None


def test_a_liner_is_cut_as_its_own_goods_shrink():
    assert the_line(a_part(), liner=FLEECE).cut == (737, 1474)
    none = FLEECE._replace(shrinkage=Shrinkage(0, 0))
    assert the_line(a_part(), liner=none).cut == (700, 1400)


def test_a_line_says_how_many_and_of_what_unit():
    assert the_line(a_part("sheet-tape", "sheet", 4, unit="m")).counted == "4 m"
    assert the_line(a_part("connector", "fastening", 32, spare=4)).counted == "36"


@given(st.integers(1, 50), st.integers(0, 5), st.integers(0, 60))
def test_what_is_missing_and_what_is_packed_make_up_what_belongs_there(count, spare, packed):
    line = the_line(a_part("connector", "fastening", count, spare=spare))

    short = missing([line], {"connector": packed})

    if packed >= count + spare:
        assert short == ()
    else:
        assert short[0].short + packed == count + spare


def test_what_is_missing_is_said_by_its_part():
    tape = the_line(a_part("sheet-tape", "sheet", 4, unit="m"))
    panel = the_line(a_part("plain-panel", "panel", 12))

    said = [str(one) for one in missing([tape, panel], {"plain-panel": 9})]

    assert said == ["4 m of sheet tape", "3 × plain panel"]


def test_only_lines_of_known_mass_are_weighed_together():
    liner = the_line(a_part(count=2), liner=FLEECE)
    panel = the_line(a_part("plain-panel", "panel", 12))

    assert known_mass([liner, panel], {"liner-ground": 1, "plain-panel": 12}) == (588, 1176)


# --- What a weighing says ---


def plain(words):
    return words.replace("\N{NO-BREAK SPACE}", " ")


def test_a_box_lighter_than_its_linens_is_said_to_be():
    assert "less than the linens in it alone" in mass_words(900, 1176, 15_000)


def test_a_box_is_held_against_the_last_one_like_it():
    assert plain(mass_words(15_400, 0, 15_000)).startswith("As heavy as the last kit")
    assert plain(mass_words(12_000, 0, 15_000)).startswith("3 000 g less than the last kit")
    assert plain(mass_words(16_000, 0, 15_000)).startswith("1 000 g more than the last kit")


def test_a_box_as_heavy_as_its_linens_has_them_in_it():
    assert mass_words(1176, 1176, None) == ""


def test_nothing_is_said_where_there_is_nothing_to_hold_it_against():
    assert mass_words(15_000, 0, None) == ""
