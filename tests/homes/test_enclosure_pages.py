"""Pages of enclosures, without a browser: set up, moved, looked over, judged."""

import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from habitats.animals.models.groups import Override
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure, State
from habitats.enclosures.models.parts import ComponentCheck
from habitats.structure.lattice import Side
from habitats.welfare.rule_sets import rule_sets_for
from habitats.welfare.values import Species
from tests.support.designs import make_design, ramp_from


@pytest.fixture
def make_drawn(coordinator):
    return lambda **changes: Design.objects.draw(make_design(**changes), by=coordinator)


@pytest.fixture
def sent(make_drawn, today):
    """What the form of a new enclosure sends."""
    return {
        "design": make_drawn().code,
        "label": "North wall",
        "home": "",
        "state": "standing",
        "day": today.isoformat(),
    }


# --- Set up ---


def test_an_empty_list_says_what_to_do_first(coordinating, building, text_of):
    assert "Set up the first" in text_of(coordinating.get("/enclosures/"))
    assert "A coordinator sets them up" in text_of(building.get("/enclosures/"))


def test_an_enclosure_is_set_up_in_a_home(coordinating, sent, make_home, today):
    home = make_home()

    coordinating.post("/enclosures/new/", sent | {"home": home.code, "notes": "Mind the cat."})

    made = Enclosure.objects.get()
    assert (made.label, made.notes, made.state_now()) == (
        "North wall",
        "Mind the cat.",
        State.STANDING,
    )
    assert made.standings.on(today).get().home == home
    assert {one.kind for one in made.components.all()} >= {"panel", "connector", "tray"}


@pytest.mark.parametrize("home", ["😀", "two words", "a/b", "²"])
def test_a_home_that_can_be_no_code_is_refused_and_not_a_fault_of_ours(coordinating, sent, home):
    assert coordinating.get("/enclosures/new/", {"home": home}).status_code == 200
    assert coordinating.post("/enclosures/new/", sent | {"home": home}).status_code == 422


def test_an_enclosure_sent_twice_is_set_up_once(coordinating, sent, make_home):
    twice = sent | {"home": make_home().code, "once": str(uuid.uuid4())}

    for _ in range(2):
        assert coordinating.post("/enclosures/new/", twice).status_code == 302

    assert Enclosure.objects.get().standings.count() == 1


def test_a_draft_is_refused_beside_the_design(coordinating, sent, make_drawn, text_of):
    # A ramp that has no floor to run over.
    draft = make_drawn(plan=["###"], upper=["#.."], ramps=(ramp_from(0, 0, Side.W),), name="Half")
    assert draft.faults()

    response = coordinating.post("/enclosures/new/", sent | {"design": draft.code})

    assert response.status_code == 422
    assert "“Half” is a draft and cannot be made yet." in text_of(response)
    assert not Enclosure.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"design": ""}, "This field is required"),
        ({"design": "NOSUCH"}, "Select a valid choice"),
        ({"label": ""}, "This field is required"),
        ({"home": "NOSUCH"}, "No home is called “NOSUCH”. Type its name, its code"),
        ({"home": "x" * 201}, "at most 200 characters"),
        ({"home": "\0"}, "Null characters are not allowed"),
        ({"state": "retired"}, "Select a valid choice"),
        ({"day": "2027-04-01"}, "1 April 2027 is in the future."),
        ({"day": "30.2.2027"}, "Enter a valid date"),
    ],
)
def test_a_wrong_enclosure_is_refused_beside_its_field_and_nothing_is_lost(
    coordinating, sent, text_of, wrong, sentence
):
    response = coordinating.post("/enclosures/new/", sent | {"notes": "Mind the cat."} | wrong)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert "Mind the cat." in text_of(response)
    assert not Enclosure.objects.exists()


def test_without_a_design_a_new_enclosure_says_what_to_do_first(coordinating, sent, text_of):
    told = "First:</span> draw a design"

    assert told not in text_of(coordinating.get("/enclosures/new/"))
    Design.objects.get().archive(at=timezone.now())
    assert told in text_of(coordinating.get("/enclosures/new/"))


def test_an_empty_enclosure_leads_to_the_groups_once_it_stands(
    coordinating, make_enclosure, text_of
):
    told = "Choose the group that moves in"
    standing, planned = make_enclosure("Bay 1"), make_enclosure("Bay 2", state="planned")

    assert told in text_of(coordinating.get(f"/enclosures/{standing.code}/"))
    assert told not in text_of(coordinating.get(f"/enclosures/{planned.code}/"))


def test_a_closed_home_takes_no_enclosure(coordinating, sent, make_home, text_of, day):
    home = make_home()
    home.close(day(-1))

    response = coordinating.post("/enclosures/new/", sent | {"home": home.code})

    assert response.status_code == 422
    assert "Wren is closed. Choose a home that is open." in text_of(response)


@pytest.mark.parametrize(
    "typed", ["wren", "Wren, Hill", "Hill", "H-03", "{code}", "Wren, Hill ({code})", "  wren "]
)
def test_a_home_is_found_by_what_people_call_it(coordinating, sent, make_home, typed):
    home = make_home("Wren", area="Hill", own_id="H-03")
    make_home("Wrenfield", area="Dale")

    coordinating.post("/enclosures/new/", sent | {"home": typed.format(code=home.code)})

    assert Enclosure.objects.get().standings.get().home == home


def test_a_name_of_several_homes_is_asked_about_and_names_them(
    coordinating, sent, make_home, text_of
):
    first, second = make_home("Wren", area="Hill"), make_home("Wren", area="Dale")

    response = coordinating.post("/enclosures/new/", sent | {"home": "Wren"})

    assert response.status_code == 422
    assert (
        f"“Wren” could be several homes: Wren, Dale ({second.code}); Wren, Hill ({first.code}). "
        "Type the code of one."
    ) in text_of(response)


def test_open_homes_are_offered_and_the_one_asked_for_is_written_in(
    coordinating, make_home, text_of, day
):
    wren, ash = make_home("Wren", area="Hill"), make_home("Ash")
    ash.close(day(-1))

    page = text_of(coordinating.get(f"/enclosures/new/?home={wren.code}"))

    assert page.count(f'value="Wren, Hill ({wren.code})"') == 2
    assert 'list="home_offers"' in page
    assert "Ash" not in page


# The usual design is 2 × 4 panels of 355 mm: 710 × 1 420 mm.
@pytest.mark.parametrize(
    ("home", "sentence"),
    [
        (
            {"largest_width_mm": 1400, "largest_depth_mm": 800},
            "the largest that fits into Wren is 1 400 mm × 800 mm.",
        ),
        ({"most_enclosures": 0}, "Wren can look after 0, and has 0 already."),
    ],
)
def test_what_speaks_against_a_home_is_asked_about_once_more(
    coordinating, sent, make_home, text_of, home, sentence
):
    there = sent | {"home": make_home(**home).code}

    response = coordinating.post("/enclosures/new/", there)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Enclosure.objects.exists()

    coordinating.post("/enclosures/new/", there | {"anyway": "on"})
    assert Enclosure.objects.count() == 1


@pytest.mark.parametrize("sides", [(710, 1420), (1420, 710), (None, None)])
def test_a_footprint_fits_either_way_round_or_where_nobody_has_measured(
    coordinating, sent, make_home, sides
):
    home = make_home(largest_width_mm=sides[0], largest_depth_mm=sides[1])

    response = coordinating.post("/enclosures/new/", sent | {"home": home.code})

    assert response.status_code == 302


def test_a_second_label_of_one_home_is_asked_about(
    coordinating, sent, make_home, make_enclosure, text_of
):
    home = make_home(most_enclosures=2)
    make_enclosure("North wall", home)

    response = coordinating.post("/enclosures/new/", sent | {"home": home.code})

    assert "Another enclosure of Wren is called “North wall” too." in text_of(response)


# --- Found ---


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("", ["Attic", "Nook"]),
        ("words=noo", ["Nook"]),
        ("state=repair", ["Attic"]),
        ("state=retired", ["Old"]),
        ("words=nothing", []),
    ],
)
def test_enclosures_are_found_by_label_and_state(coordinating, make_enclosure, asked, found):
    make_enclosure("Nook")
    make_enclosure("Attic", state="repair")
    make_enclosure("Old", state="retired")

    page = coordinating.get(f"/enclosures/?{asked}").context["enclosures"]

    assert [one.label for one in page] == found


def test_the_short_link_of_a_card_leads_to_its_enclosure(
    fostering, make_home, make_enclosure, foster
):
    enclosure = make_enclosure(home=make_home(people=[foster]))

    response = fostering.get(f"/e/{enclosure.code.lower()}/")

    assert response.url == f"/enclosures/{enclosure.code}/"


# --- Who sees what ---


@pytest.fixture
def nook(make_home, make_enclosure, make_animal, make_group, foster):
    home = make_home("Wren", area="North Quay", people=[foster])
    enclosure = make_enclosure("Nook", home)
    make_group(make_animal("Pip", grams=900), make_animal("Moss", grams=880), enclosure=enclosure)
    return enclosure


def test_a_builder_is_told_of_the_home_and_nothing_of_animals(building, nook, text_of):
    page = text_of(building.get(f"/enclosures/{nook.code}/"))

    assert "Wren, North Quay" in page
    assert "Pip" not in page
    assert "Lived there" not in page
    assert "/homes/" not in page


def test_a_foster_sees_who_lives_there_and_moves_nothing(fostering, nook, text_of):
    page = text_of(fostering.get(f"/enclosures/{nook.code}/"))

    assert "Pip" in page
    assert "Move to another home" not in page
    assert "Say what state it is in" not in page


def test_a_foster_does_not_find_what_stands_elsewhere(fostering, make_home, make_enclosure):
    enclosure = make_enclosure(home=make_home("Ash"))

    for page in ("", "check/", "card.pdf"):
        assert fostering.get(f"/enclosures/{enclosure.code}/{page}").status_code == 404
    assert fostering.get(f"/e/{enclosure.code}/").status_code == 404


def test_a_foster_reads_no_names_of_other_homes_in_the_history(
    coordinating, fostering, make_home, make_enclosure, foster, coordinator, day, text_of
):
    from habitats.enclosures.models.standing import stand

    enclosure = make_enclosure(home=make_home("Ash", area="Hill"))
    stand(enclosure, make_home("Wren", people=[foster]), day(-5), by=coordinator)

    told = text_of(fostering.get(f"/enclosures/{enclosure.code}/"))

    assert "in another home" in told
    assert "Ash" not in told
    assert "Ash, Hill" in text_of(coordinating.get(f"/enclosures/{enclosure.code}/"))


# --- Space ---


def test_without_a_rule_set_nothing_is_judged_and_the_page_says_so(coordinating, nook, text_of):
    page = text_of(coordinating.get(f"/enclosures/{nook.code}/"))

    assert "No rule set is chosen for these animals." in page


def test_the_chosen_rule_set_is_told_clause_by_clause(coordinating, nook, answer_to, text_of):
    answer_to("ch-tschv")

    page = coordinating.get(f"/enclosures/{nook.code}/")
    card = page.context["page"].space.verdicts.chosen

    # Switzerland, TSchV, Annex 2, Table 1: 0.5 m² for two, never singly.
    assert card.rules.id == "ch-tschv"
    rows = [f"{row.needed}, {row.given} {row.said.words}" for row in card.rows]
    assert [row.replace("\xa0", " ") for row in rows] == [
        "at least 5 000 cm², 10 082 cm² met",
        "at least 2, 2 met",
    ]
    assert "SR 455.1" in text_of(page)


def test_every_other_rule_set_is_told_by_itself(coordinating, nook, answer_to):
    answer_to("ch-tschv")

    others = coordinating.get(f"/enclosures/{nook.code}/").context["page"].space.verdicts.others

    told = {card.rules.id for card in others}
    assert told == {one.id for one in rule_sets_for(Species.GUINEA_PIG)} - {"ch-tschv"}


def test_a_minimum_for_laboratories_is_never_called_enough(coordinating, nook, answer_to):
    answer_to("de-tvt159")

    verdicts = coordinating.get(f"/enclosures/{nook.code}/").context["page"].space.verdicts
    told = {card.rules.id: card.said for card in verdicts.others}

    # Directive 2010/63/EU asks for 2 500 cm²; TVT Merkblatt 159 for 20 000 cm².
    assert told["eu-2010-63"] == ("untold", "Above this minimum, which is not enough for a home")
    assert verdicts.chosen.said == ("lacks", "Not enough")


def test_own_figures_judge_and_the_rule_set_they_stand_on_is_told_beside_them(
    coordinating, nook, answer_to
):
    own = {"animals": 2, "floor_mm2": 1_100_000, "further_mm2": 300_000}
    answer_to("ch-tschv", own_rules={"guinea_pig": own})

    verdicts = coordinating.get(f"/enclosures/{nook.code}/").context["page"].space.verdicts

    assert verdicts.chosen.said.words == "Not enough"
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

    assert "Animals of two kinds live together." in page


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


# --- State, parts, moving ---


def test_a_builder_says_that_it_stands(building, make_enclosure, today):
    enclosure = make_enclosure(state="building")

    building.post(
        f"/enclosures/{enclosure.code}/state/", {"state": "standing", "day": today.isoformat()}
    )

    assert enclosure.state_now() == State.STANDING


def test_a_builder_retires_nothing(building, make_enclosure, today):
    enclosure = make_enclosure()

    response = building.post(
        f"/enclosures/{enclosure.code}/state/", {"state": "retired", "day": today.isoformat()}
    )

    assert response.status_code == 422
    assert enclosure.state_now() == State.STANDING


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"state": "retired"}, "It cannot be marked “retired” now."),
        ({"state": "repair", "day": "2027-03-11"}, "is in the future"),
        ({"state": "repair", "day": "2026-11-01"}, "is of 30 November 2026"),
        ({"state": ""}, "This field is required"),
    ],
)
def test_a_wrong_state_is_refused_with_a_sentence(
    coordinating, nook, text_of, today, given, sentence
):
    response = coordinating.post(
        f"/enclosures/{nook.code}/state/", {"day": today.isoformat()} | given
    )

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert nook.state_now() == State.IN_USE


def test_parts_are_looked_over_and_a_fault_takes_it_out_of_use_for_others(
    fostering, nook, foster, today, text_of
):
    seen = {
        "day": today.isoformat(),
        "condition_panel": "unsafe",
        "note_panel": "a cut end",
        "condition_tray": "good",
        "needs_repair": "on",
        "once": str(uuid.uuid4()),
    }

    for _ in range(2):
        fostering.post(f"/enclosures/{nook.code}/check/", seen)

    checks = ComponentCheck.objects.order_by("component__kind")
    assert [(one.component.kind, one.condition, one.made_by) for one in checks] == [
        ("panel", "unsafe", foster),
        ("tray", "good", foster),
    ]
    assert nook.state_now() == State.NEEDS_REPAIR
    assert "panels unsafe: a cut end" in text_of(fostering.get(f"/enclosures/{nook.code}/"))


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({}, "Nothing is said yet. Answer the points, or say of one kind of part how it is."),
        ({"note_panel": "bent"}, "Say what condition it is in, or leave the note away."),
        ({"condition_panel": "splendid"}, "Select a valid choice"),
        ({"condition_panel": "good", "day": "2027-03-11"}, "is in the future"),
    ],
)
def test_a_wrong_look_over_is_refused_with_a_sentence(
    building, nook, text_of, today, given, sentence
):
    response = building.post(f"/enclosures/{nook.code}/check/", {"day": today.isoformat()} | given)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not ComponentCheck.objects.exists()


def test_an_enclosure_moves_to_another_home_with_its_animals(
    coordinating, nook, make_home, today, day
):
    new = make_home("Ash")

    coordinating.post(
        f"/enclosures/{nook.code}/move/", {"home": new.code, "day": today.isoformat()}
    )

    assert nook.standings.on(today).get().home == new
    assert nook.standings.on(day(-1)).get().home.name == "Wren"
    assert nook.stays.open().exists()


def test_an_empty_enclosure_is_stored(coordinating, make_home, make_enclosure, today):
    enclosure = make_enclosure(home=make_home())

    coordinating.post(
        f"/enclosures/{enclosure.code}/move/", {"stored": "on", "day": today.isoformat()}
    )

    assert not enclosure.standings.on(today).exists()


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({}, "Choose a home, or say that it stands in none: one of the two."),
        ({"stored": "on"}, "Animals live in it. Choose a home, or move them first."),
        ({"home": "own"}, "It stands there already."),
        ({"home": "other", "stored": "on"}, "one of the two"),
        ({"home": "other", "day": "2026-01-01"}, "Choose a later day"),
        ({"home": "other", "day": "2027-03-11"}, "is in the future"),
        ({"home": "small"}, "the largest that fits into Elm is 500 mm × 500 mm."),
    ],
)
def test_a_wrong_move_is_refused_with_a_sentence(
    coordinating, nook, make_home, text_of, today, given, sentence
):
    homes = {
        "own": nook.standings.get().home.code,
        "other": make_home("Ash").code,
        "small": make_home("Elm", largest_width_mm=500, largest_depth_mm=500).code,
    }
    home = {"home": homes[given["home"]]} if "home" in given else {}

    response = coordinating.post(
        f"/enclosures/{nook.code}/move/", {"day": today.isoformat()} | given | home
    )

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert nook.standings.get().home.name == "Wren"


def test_label_and_what_to_know_can_be_changed(coordinating, nook):
    coordinating.post(f"/enclosures/{nook.code}/edit/", {"label": "Attic", "notes": "Mind the cat"})

    nook.refresh_from_db()
    assert (nook.label, nook.notes) == ("Attic", "Mind the cat")


# --- Figures: as many queries for many rows as for few ---


def test_the_list_asks_as_often_for_thirty_enclosures_as_for_three(
    coordinating, make_home, make_enclosure
):
    home, counts = make_home(), []
    for number in (3, 30):
        while home.standings.count() < number:
            make_enclosure(f"Nook {home.standings.count()}", home)
        with CaptureQueriesContext(connection) as queries:
            coordinating.get("/enclosures/")
        counts.append(len(queries))

    assert counts[0] == counts[1]


def test_the_page_asks_as_often_for_thirty_animals_and_entries_as_for_three(
    coordinating, coordinator, answer_to, make_home, make_enclosure, make_animal, make_group, day
):
    from habitats.animals.models.stays import move_in
    from habitats.enclosures.models.standing import stand

    answer_to("ch-tschv")
    counts = []
    for number in (3, 30):
        enclosure, other = make_enclosure("Nook"), make_enclosure("Attic")
        animals = [make_animal(f"Pip {one}", grams=800 + one) for one in range(number)]
        group = make_group(*animals, enclosure=enclosure)
        component = enclosure.components.first()
        for one in range(number):
            move_in(group, (other, enclosure)[one % 2], day(one - 60), by=coordinator)
            stand(enclosure, make_home(f"Home {one}"), day(one - 60), by=coordinator)
            component.found_to_be("good", on=day(one - 60), by=coordinator)
        move_in(group, enclosure, day(-1), by=coordinator)
        with CaptureQueriesContext(connection) as queries:
            response = coordinating.get(f"/enclosures/{enclosure.code}/")
        assert len(response.context["page"].living.animals) == number
        counts.append(len(queries))

    assert counts[0] == counts[1]


# --- The floor, drawn ---


def test_the_floor_is_drawn_with_who_needs_how_much(coordinating, nook, answer_to, text_of):
    answer_to("ch-tschv")

    page = text_of(coordinating.get(f"/enclosures/{nook.code}/"))

    # TSchV: 0.5 m² for two, half of it each.
    assert "Needed: 1 Moss 2 500 cm², 2 Pip 2 500 cm². Free: 5 082 cm²." in page


def test_what_is_lacking_is_drawn_on_the_page_of_the_home(coordinating, nook, answer_to, text_of):
    answer_to("de-tvt159")

    page = text_of(coordinating.get(f"/homes/{nook.standings.get().home.code}/"))

    # TVT Merkblatt 159: 2 m² for two.
    assert "lacks 9 918 cm²</text>" in page


def test_a_builder_sees_the_bare_floor(building, nook, answer_to, text_of):
    answer_to("ch-tschv")

    page = text_of(building.get(f"/enclosures/{nook.code}/"))

    assert "Floor of Nook" in page
    assert "Needed" not in page
