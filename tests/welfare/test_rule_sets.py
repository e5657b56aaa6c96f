"""The data files: which rule sets there are, what each may be used for, and that slips are seen."""

import pytest

from habitats.source import KNOWN_WORDS, Known
from habitats.welfare.bands import BandClass, Bands
from habitats.welfare.data_words import WORDS
from habitats.welfare.read_rule_sets import BadRuleSet, read_rule_sets
from habitats.welfare.rule_set import STANDING_WORDS, Authority
from habitats.welfare.rule_sets import rule_set, rule_sets, rule_sets_for
from habitats.welfare.values import Species

GUINEA_PIGS = [
    "eu-2010-63",
    "ilar-2011",
    "us-9cfr-3.28b",
    "us-9cfr-3.28c",
    "ch-tschv",
    "at-2thv",
    "at-tschsv",
    "de-tvt159",
    "uk-shop-juvenile",
    "us-rescue-minimum",
    "us-rescue-preferred",
    "us-bucsis-somerville",
]
RABBITS = [
    "eu-2010-63-rabbit",
    "ilar-2011-rabbit",
    "us-9cfr-3.53c",
    "uk-companion-rabbit",
    "scot-breeder-2021",
    "de-tvt-rabbit",
]

SMALL = """
[[rule_set]]
id = "small"
name = "Small"
standing = "guidance"
choosable = true
known = "primary"
source = "None: made up for this test"
floor.further = [{ area = "1 m2" }]
"""


def test_every_rule_set_has_its_id_and_species():
    assert [one.id for one in rule_sets_for(Species.GUINEA_PIG)] == GUINEA_PIGS
    assert [one.id for one in rule_sets_for(Species.RABBIT)] == RABBITS
    assert [one.id for one in rule_sets()] == GUINEA_PIGS + RABBITS


def test_a_rule_set_that_is_not_there_is_no_other():
    with pytest.raises(LookupError, match="uk-current"):
        rule_set("uk-current")


@pytest.mark.parametrize(
    "id",
    [
        "eu-2010-63",
        "ilar-2011",
        "us-9cfr-3.28b",
        "us-9cfr-3.28c",
        "eu-2010-63-rabbit",
        "ilar-2011-rabbit",
        "us-9cfr-3.53c",
    ],
)
def test_laboratory_minima_cannot_be_chosen(id):
    # Directive 2010/63/EU is about animals used for science; the ILAR Guide and 9 CFR part 3
    # about research facilities and dealers.
    one = rule_set(id)

    assert one.standing is Authority.LABORATORY
    assert not one.choosable


def test_what_is_for_a_trade_or_not_checked_cannot_be_chosen():
    for one in rule_sets():
        if one.standing is Authority.TRADE or one.known is Known.MEMORY:
            assert not one.choosable


def test_no_rule_set_calls_itself_the_current_uk_code():
    # The Home Office code of 2014 was replaced in March 2026.
    for one in rule_sets():
        assert "code" not in one.name.lower()
        assert "current" not in one.name.lower()


def test_every_rule_set_tells_its_source_and_how_well_it_is_known():
    assert set(KNOWN_WORDS) == set(Known)
    assert set(STANDING_WORDS) == set(Authority)
    for one in rule_sets():
        assert one.source
        assert one.known_words
        assert one.standing_words


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('known = "primary"', 'known = "memory"', "from memory only"),
        ('standing = "guidance"', 'standing = "laboratory"', "cannot be chosen"),
        ('standing = "guidance"', 'standing = "rumour"', "rumour"),
        ('source = "None: made up for this test"', "", "'source' is missing"),
        ('area = "1 m2"', 'area = "1 acre"', "'1 acre' is not area"),
        ('area = "1 m2"', 'area = "1 kg"', "'1 kg' is not area"),
        ('area = "1 m2"', 'area = "1 m2", upto = 3', "nobody reads upto"),
        ('name = "Small"', 'name = "Small"\nheigth = "7 in"', "nobody reads heigth"),
        ('floor.further = [{ area = "1 m2" }]', "floor = {}", "groups, further animals or both"),
    ],
)
def test_a_slip_in_a_data_file_is_named_with_its_rule_set(old, new, said):
    assert old in SMALL

    with pytest.raises(BadRuleSet, match=said) as refused:
        read_rule_sets(SMALL.replace(old, new), Species.RABBIT)
    assert str(refused.value).startswith("small: ")


def test_a_sound_data_file_is_read():
    (one,) = read_rule_sets(SMALL, Species.RABBIT)

    assert (one.id, one.species, one.choosable) == ("small", Species.RABBIT, True)


def test_a_class_says_whether_its_bound_belongs_to_it():
    to = Bands((BandClass(1, bound=350, included=True), BandClass(2)))
    under = Bands((BandClass(1, bound=350), BandClass(2)))

    assert [to.of(350), to.of(351)] == [1, 2]
    assert [under.of(349), under.of(350)] == [1, 2]


def test_a_weight_that_is_not_known_is_in_the_last_class():
    assert Bands((BandClass(1, bound=350), BandClass(2))).of(None) == 2


@pytest.mark.parametrize(
    "classes",
    [
        (),
        (BandClass(1, bound=350),),
        (BandClass(1), BandClass(2, bound=350)),
        (BandClass(1, bound=350), BandClass(2, bound=300), BandClass(3)),
        (BandClass(1, bound=350), BandClass(2, bound=350), BandClass(3)),
        (BandClass(1, bound=350), BandClass(3, bound=400), BandClass(2)),
    ],
)
def test_classes_that_cross_are_refused(classes):
    with pytest.raises(ValueError, match="of classes"):
        Bands(classes)


def test_what_the_files_say_is_collected_for_translation():
    said = {text for one in rule_sets() for text in (one.name, one.source, *one.notes)}

    assert said == set(WORDS)
