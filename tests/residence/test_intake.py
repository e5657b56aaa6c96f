"""An intake: one form for animals that come on one day, each of them in a few fields."""

import uuid

import pytest

from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companion_of, with_facts
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.intake import Arriving, Intake, SharedDays, take_in
from habitats.structure.design import Species
from tests.support.intakes import SENT, names, rows

# --- What is written down ---


def test_all_animals_come_in_with_what_they_have_in_common(send, today):
    send(
        {"name": "Pip", "sex": "F", "grams": "812", "colour": "agouti", "condition": "thin"},
        {"name": "Moss", "sex": "M?", "marks": "white foot", "own_id": "2027-14"},
        {},
        {"name": "Nut", "chip": "276 0981 0002 1417"},
    )

    pip, moss, nut = Animal.objects.order_by("pk")
    assert {one.origin for one in (pip, moss, nut)} == {"seized"}
    assert {one.came_from for one in (pip, moss, nut)} == {"a flat in North Quay"}
    assert {one.came_on for one in (pip, moss, nut)} == {today}
    assert (pip.sex, pip.colour, pip.condition) == ("F", "agouti", "thin")
    assert [(one.grams, one.on) for one in pip.weighings.all()] == [(812, today)]
    assert (moss.sex, moss.sex_guess, moss.marks, moss.own_id) == ("", "M", "white foot", "2027-14")
    assert nut.chip == "276098100021417"
    assert {one.quarantines.get().since for one in (pip, moss, nut)} == {today}


def test_those_in_one_enclosure_are_one_group_and_one_quarantine(send, bay, text_of, coordinating):
    answer = send({"name": "Pip", "sex": "F"}, {"name": "Moss", "sex": "F"}, place=bay.code)

    pip, moss = Animal.objects.order_by("pk")
    group = Group.objects.get()
    assert {one.memberships.get().group for one in (pip, moss)} == {group}
    assert group.stays.get().enclosure == bay
    (word,) = {one.quarantines.get().together for one in (pip, moss)}
    assert pip.code in word
    page = text_of(coordinating.get(answer.url))
    assert "Bay 1" in page
    # 14 days at least, 21 advised: guidance for rescues, second-hand, as cited in the product.
    assert "until 24 Mar 2027 at the earliest, 31 Mar 2027 is advised" in page


def test_what_comes_after_asks_for_a_place_for_those_without_one_alone(
    send, bay, coordinating, text_of
):
    def told(answer):
        return text_of(coordinating.get(answer["Location"]))

    housed = send({"name": "Pip", "sex": "F"}, {"name": "Moss", "sex": "F"}, place=bay.code)
    assert "All have an enclosure. Print their cards." in told(housed)

    assert "Still without an enclosure: Fern and Nut." in told(
        send({"name": "Nut"}, {"name": "Fern"})
    )


def test_one_of_them_has_another_enclosure(send, bay, make_enclosure):
    other = make_enclosure("Bay 2", bay.standings.get().home, plan=("###", "###"))

    send(
        {"name": "Pip", "sex": "F"},
        {"name": "Moss", "sex": "M", "place": other.code},
        {"name": "Nut", "sex": "F"},
        place=bay.code,
        reason="the only boar",
    )

    lives = {
        one.enclosure.label: set(one.group.memberships.values_list("animal__name", flat=True))
        for group in Group.objects.all()
        for one in group.stays.select_related("enclosure")
    }
    assert lives == {"Bay 1": {"Pip", "Nut"}, "Bay 2": {"Moss"}}


def test_a_sow_that_came_with_a_boar_may_be_pregnant(send, day):
    send(
        {"name": "Pip", "sex": "F"},
        {"name": "Moss", "sex": "M"},
        {"name": "Bo", "sex": "M", "is_castrated": "on"},
        together="on",
        separated_on="2027-03-08",
    )

    pip, moss, bo = Animal.objects.order_by("pk")
    assert (pip.may_be_pregnant, pip.with_male_last) == (True, day(-2))
    assert not moss.may_be_pregnant
    assert not bo.may_be_pregnant
    assert pip.quarantines.get().together == moss.quarantines.get().together != ""


def days_lived():
    """Of each animal and enclosure, or none, the days of it."""
    return {
        (one.animal.name, stay.enclosure.label if stay else None, one.since, one.until)
        for one in Membership.objects.select_related("animal")
        for stay in one.group.stays.select_related("enclosure") or [None]
    }


def test_a_boar_and_a_sow_are_recorded_as_they_came_until_they_were_separated(
    send, bay, make_enclosure, day
):
    other = make_enclosure("Bay 2", bay.standings.get().home, plan=("###", "###"))

    answer = send(
        {"name": "Pip", "sex": "F"},
        {"name": "Moss", "sex": "M", "place": other.code},
        place=bay.code,
        since="2027-03-05",
        together="on",
        separated_on="2027-03-08",
        reason="the only boar",
    )

    assert answer.status_code == 302
    assert days_lived() == {
        ("Pip", "Bay 1", day(-5), None),
        ("Moss", "Bay 1", day(-5), day(-2)),
        ("Moss", "Bay 2", day(-2), None),
    }
    (pip,) = with_facts(Animal.objects.filter(name="Pip"), day(0))
    (contact,) = companion_of(pip).lived_with
    assert (contact.since, contact.last) == (day(-5), day(-2))


def test_those_separated_on_the_day_they_came_never_lived_together_here(send, day):
    send(
        {"name": "Pip", "sex": "F"},
        {"name": "Moss", "sex": "M"},
        since="2027-03-05",
        together="on",
        separated_on="2027-03-05",
    )

    assert not Membership.objects.exists()


def test_without_an_enclosure_they_are_one_group_while_they_were_together(send, day):
    send(
        {"name": "Pip", "sex": "F"},
        {"name": "Moss", "sex": "M"},
        since="2027-03-05",
        together="on",
        separated_on="2027-03-08",
    )

    assert days_lived() == {
        ("Pip", None, day(-5), day(-2)),
        ("Moss", None, day(-5), day(-2)),
    }


def test_those_who_are_still_together_are_one_group_of_which_the_rules_warn(send, day):
    send({"name": "Pip", "sex": "F"}, {"name": "Moss", "sex": "M"}, together="on", separated_on="")

    (group,) = Group.objects.all()
    assert group.memberships.open().count() == 2


def test_who_is_still_together_is_not_in_two_enclosures(send, bay, text_of):
    refused = send(
        {"name": "Pip", "sex": "F"},
        {"name": "Moss", "sex": "M", "place": bay.code},
        together="on",
        separated_on="",
    )

    assert refused.status_code == 422
    assert "They have different enclosures, so they are not together." in text_of(refused)
    assert not Animal.objects.exists()


def test_sows_that_came_with_a_neutered_boar_are_not(send):
    send(
        {"name": "Pip", "sex": "F"},
        {"name": "Bo", "sex": "M", "is_castrated": "on"},
        together="on",
    )

    assert not Animal.objects.filter(may_be_pregnant=True).exists()


def test_an_intake_sent_twice_comes_in_once(send, bay):
    once = str(uuid.uuid4())

    answers = [
        send({"name": "Pip", "sex": "F", "own_id": "1", "grams": "800"}, once=once, place=bay.code)
        for _ in range(2)
    ]

    assert answers[0].url == answers[1].url
    pip = Animal.objects.get()
    assert pip.weighings.count() == pip.quarantines.count() == Group.objects.count() == 1


# --- What is refused ---


@pytest.mark.parametrize(
    ("row", "field", "sentence"),
    [
        ({"name": "", "colour": "agouti"}, "name", "Enter a name. A colour or a number will do."),
        ({"grams": "40000"}, "grams", "cannot be the weight of a guinea pig"),
        ({"grams": "heavy"}, "grams", "Enter whole grams, such as 812."),
        ({"chip": "27609810002141"}, "chip", "A chip number has 15 digits"),
        ({"own_id": "taken"}, "own_id", "has this number already"),
        ({"own_id": "9"}, "own_id", "Moss has the same number above"),
        ({"born": "2027-03-12"}, "born", "in the future"),
        ({"place": "BBBBBB"}, "place", "It is no longer free"),
    ],
)
def test_a_bad_row_is_told_beside_its_field_and_nothing_is_lost(
    row, field, sentence, send, make_animal, text_of
):
    make_animal("Old", own_id="taken")

    answer = send({"name": "Moss", "own_id": "9", "marks": "torn ear"}, {"name": "Pip", **row})

    assert answer.status_code == 422
    (told,) = answer.context["rows"][1].errors[field]
    assert sentence in told.replace("\xa0", " ")
    assert "torn ear" in text_of(answer)
    assert "a flat in North Quay" in text_of(answer)
    assert names() == {"Old"}


@pytest.mark.django_db(transaction=True)
def test_of_two_intakes_with_one_chip_at_the_same_moment_one_is_told(
    send, at_once, client_of, make_person, text_of
):
    other = client_of(make_person("bo", first_name="Bo", role="coordinator"))
    chip = {"chip": "276098100021417"}

    def sent(*animals):
        return {"once": str(uuid.uuid4()), **SENT, **rows(*animals)}

    answers = at_once(
        lambda: send({"name": "Pip"}, {"name": "Nut", **chip}),
        lambda: other.post("/intake/", sent({"name": "Moss"}, {"name": "Fern", **chip})),
    )

    taken, refused = sorted(answers, key=lambda one: one.status_code)
    assert (taken.status_code, refused.status_code) == (302, 422)
    assert "has this number already. Enter another number" in text_of(refused)
    assert names() in ({"Pip", "Nut"}, {"Moss", "Fern"})


def test_a_chip_that_another_animal_got_after_the_look_is_told_beside_its_field(
    send, bay, make_animal, monkeypatch, text_of
):
    def meanwhile(row, by):
        if not Animal.objects.filter(name="Quick").exists():
            make_animal("Quick", chip="276098100021417")

    monkeypatch.setattr("habitats.residence.views.intake._photo_of", meanwhile)

    pip = {"name": "Pip", "sex": "F", "chip": "276098100021417"}
    refused = send(pip, {"name": "Moss", "sex": "F"}, place=bay.code)

    assert refused.status_code == 422
    (fault,) = refused.context["form"].rows[0]["chip"].errors
    assert "has this number already" in fault
    assert "has this number already" in text_of(refused)
    assert not Animal.objects.filter(name__in=("Pip", "Moss")).exists()
    assert not Group.objects.exists()


def test_nobody_is_no_intake(send, text_of):
    assert "Enter at least one animal" in text_of(send({}, {}))
    assert not Animal.objects.exists()


def test_a_boar_and_a_sow_share_no_enclosure_without_a_word(send, bay, text_of):
    pair = ({"name": "Pip", "sex": "F"}, {"name": "Moss", "sex": "M"})

    answer = send(*pair, place=bay.code)

    assert answer.status_code == 422
    assert "Reasons against" in text_of(answer)
    assert not Animal.objects.exists()


def test_a_warning_takes_a_reason_and_is_kept_with_the_group(send, bay, text_of):
    boars = ({"name": "Bo", "sex": "M"}, {"name": "Moss", "sex": "M"})

    refused = send(*boars, place=bay.code)
    send(*boars, place=bay.code, reason="brothers, always together")

    assert "Enter a reason for the override" in text_of(refused)
    (override,) = Group.objects.get().overrides.all()
    assert override.reason == "brothers, always together"
    assert names() == {"Bo", "Moss"}


def test_too_little_space_is_asked_about(send, bay, text_of):
    six = [{"name": name, "sex": "F"} for name in ("Pip", "Moss", "Nut", "Flo", "Ida", "Lark")]

    refused = send(*six, place=bay.code)
    send(*six, place=bay.code, small_ok="on")

    assert "too small by your space standard" in text_of(refused)
    assert len(names()) == 6


def test_one_that_came_alone_needs_no_other_reason(send, bay):
    answer = send({"name": "Pip", "sex": "F"}, place=bay.code)

    assert answer.status_code == 302
    assert Animal.objects.get().quarantines.get().note == "came alone"


def test_an_enclosure_that_was_built_for_rabbits_takes_none(send, make_enclosure, bay, text_of):
    yard = make_enclosure(
        "Yard", bay.standings.get().home, plan=("####", "####"), species=Species.RABBIT
    )

    answer = send({"name": "Pip", "sex": "F"}, place=yard.code)

    assert "built for another species" in text_of(answer)


def test_only_free_enclosures_are_offered(coordinating, bay, lives):
    _group, _animals, taken = lives("Old", home=bay.standings.get().home)

    page = coordinating.get("/intake/").content.decode()

    assert f'value="{bay.code}"' in page
    assert f'value="{taken.code}"' not in page


def test_those_who_came_together_and_stay_so_are_one_group_and_leave_no_empty_one(
    bay, coordinator, day
):
    arriving = [
        Arriving({"name": name, "species": "guinea_pig", "sex": sex}, enclosure=bay)
        for name, sex in (("Pip", "F"), ("Moss", "M"))
    ]
    shared = SharedDays(until=day(-2), enclosure=None)  # each row named the enclosure
    intake = Intake(day(-5), day(0), arriving, is_apart=True, together=True, shared=shared)

    take_in(intake, by=coordinator, idempotency_key=uuid.uuid4())

    (group,) = Group.objects.all()
    assert group.memberships.open().count() == 2
    assert group.stays.get().since == day(-2)


def test_after_an_intake_numbered_names_stand_in_their_order(send, coordinating, text_of):
    answer = send(*({"name": f"Nova{number}", "sex": "F"} for number in (10, 2, 1)))

    rows = coordinating.get(answer.url).context["rows"]

    assert [row.animal.name for row in rows] == ["Nova1", "Nova2", "Nova10"]
