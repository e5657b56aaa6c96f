"""The space of an enclosure on its page: judged by rule sets, and drawn."""

import pytest

from habitats.animals.models.groups import Override
from habitats.welfare.rule_sets import rule_sets_for
from habitats.welfare.values import Species

# --- Space ---


def test_without_a_rule_set_nothing_is_judged_and_the_page_says_so(coordinating, nook, text_of):
    page = text_of(coordinating.get(f"/enclosures/{nook.code}/"))

    assert "no space standard is chosen for these animals." in page


def test_the_chosen_rule_set_is_told_clause_by_clause(coordinating, nook, answer_to, text_of):
    answer_to("ch-tschv")

    page = coordinating.get(f"/enclosures/{nook.code}/")
    card = page.context["page"].space.verdicts.chosen

    # Switzerland, TSchV, Annex 2, Table 1: 0.5 m² for two, never singly.
    assert card.rules.id == "ch-tschv"
    rows = [f"{row.needed}, {row.given} {row.result.words}" for row in card.rows]
    assert [row.replace("\xa0", " ") for row in rows] == [
        "at least 0.50 m², 1.00 m² met",
        "at least 2, 2 met",
    ]
    assert 'href="/sources/#ch-tschv">Source</a>' in page.content.decode()


def test_every_other_rule_set_is_told_by_itself(coordinating, nook, answer_to):
    answer_to("ch-tschv")

    others = coordinating.get(f"/enclosures/{nook.code}/").context["page"].space.verdicts.others

    told = {card.rules.id for card in others}
    assert told == {one.id for one in rule_sets_for(Species.GUINEA_PIG)} - {"ch-tschv"}


def test_a_minimum_for_laboratories_is_never_called_enough(coordinating, nook, answer_to):
    answer_to("de-tvt159")

    verdicts = coordinating.get(f"/enclosures/{nook.code}/").context["page"].space.verdicts
    told = {card.rules.id: card.result for card in verdicts.others}

    # Directive 2010/63/EU asks for 2 500 cm²; TVT Merkblatt 159 for 20 000 cm².
    assert told["eu-2010-63"] == ("untold", "Above this minimum, which is not enough for a home")
    assert verdicts.chosen.result == ("lacks", "Not enough")


def test_own_figures_judge_and_the_rule_set_they_stand_on_is_told_beside_them(
    coordinating, nook, answer_to
):
    own = {"animals": 2, "floor_mm2": 1_100_000, "further_mm2": 300_000}
    answer_to("ch-tschv", own_rules={"guinea_pig": own})

    verdicts = coordinating.get(f"/enclosures/{nook.code}/").context["page"].space.verdicts

    assert verdicts.chosen.result.words == "Not enough"
    assert "ch-tschv" in {card.rules.id for card in verdicts.others}


@pytest.mark.parametrize(
    ("rules", "told"),
    [
        # 10 082 cm²: TSchV asks for 9 000 for four and 11 000 for five, TVT for 2 m² for two.
        ("ch-tschv", "enough for 4 guinea pigs"),
        ("de-tvt159", "too small for any guinea pig"),
    ],
)
def test_an_empty_enclosure_tells_how_many_it_would_be_enough_for(
    coordinating, make_enclosure, answer_to, text_of, rules, told
):
    answer_to(rules)

    page = text_of(coordinating.get(f"/enclosures/{make_enclosure().code}/"))

    assert told in page


def test_animals_of_two_kinds_are_not_judged(
    coordinating, make_enclosure, make_animal, make_group, answer_to, text_of
):
    answer_to("ch-tschv", rabbit_rules="de-tvt-rabbit")
    enclosure = make_enclosure()
    make_group(make_animal("Pip"), make_animal("Bun", species="rabbit"), enclosure=enclosure)

    page = text_of(coordinating.get(f"/enclosures/{enclosure.code}/"))

    assert "two species live together." in page


def test_an_objection_is_told_until_it_is_overridden(
    coordinating, coordinator, make_enclosure, make_animal, make_group, text_of
):
    enclosure = make_enclosure()
    boar = make_animal("Moss", sex="M")
    group = make_group(make_animal("Pip"), boar, enclosure=enclosure)
    address = f"/enclosures/{enclosure.code}/"
    objections = coordinating.get(address).context["page"].living.objections
    assert any(one.severity == "block" for one in objections)

    for one in objections:
        Override.objects.create(
            group=group,
            key=one.key,
            sentence=one.sentence,
            reason="A vet agreed.",
            is_block=True,
            confirmed=True,
            made_by=coordinator,
        )

    assert not coordinating.get(address).context["page"].living.objections


def test_what_is_the_matter_with_several_is_said_once(
    coordinating, make_enclosure, make_animal, make_group, text_of
):
    enclosure = make_enclosure()
    boar = make_animal("Moss", sex="M")
    make_group(boar, *map(make_animal, ("Pip", "Fern", "Wren")), enclosure=enclosure)

    told = text_of(coordinating.get(f"/enclosures/{enclosure.code}/"))

    assert told.count("they may not live together") == 1
    assert "This also applies to Pip and Wren." in told


# --- The floor, drawn ---


def test_the_floor_is_drawn_with_who_needs_how_much(coordinating, nook, answer_to, text_of):
    answer_to("ch-tschv")

    page = text_of(coordinating.get(f"/enclosures/{nook.code}/"))

    # TSchV: 0.5 m² for two, half of it each.
    assert "Needed: 1 Moss 0.25 m², 2 Pip 0.25 m². Free: 0.50 m²." in page


def test_what_is_lacking_is_drawn_on_the_page_of_the_home(coordinating, nook, answer_to, text_of):
    answer_to("de-tvt159")

    page = text_of(coordinating.get(f"/homes/{nook.standings.get().home.code}/"))

    # TVT Merkblatt 159: 2 m² for two; 10 082 cm² are there, so 0.9918 m² are lacking.
    assert "1.00 m² too small</text>" in page


def test_a_builder_sees_the_bare_floor(building, nook, answer_to, text_of):
    answer_to("ch-tschv")

    page = text_of(building.get(f"/enclosures/{nook.code}/"))

    assert "Floor of Nook" in page
    assert "Needed" not in page
