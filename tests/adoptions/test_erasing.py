"""What is stored of an adopter: handed out, and erased."""

from datetime import timedelta

import pytest
from django.urls import reverse

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import AdoptionEvent
from habitats.adoptions.models.deaths import record_death
from habitats.adoptions.models.erasing import data_of, without_contact_since
from habitats.adoptions.models.steps import adopt
from habitats.rescue.models.rescue import Rescue
from tests.support.columns import columns_with
from tests.support.kits import make_kit

SECRETS = ("Alder", "020 555", "@example.org", "Mill Lane", "has a cough")


@pytest.fixture
def known(adopter):
    """All that may be stored of somebody."""
    adopter.name, adopter.phone = "Ida Alder", "020 555"
    adopter.email, adopter.address = "ida@example.org", "4 Mill Lane"
    adopter.notes = "Ida has a cough."
    adopter.save()
    return adopter


@pytest.fixture
def returned(known, pair, make_reserved, coordinator, day):
    """Animals were reserved, and the adoption fell through, with a note that names her."""
    _group, animals, _enclosure = pair
    made = make_reserved(*animals)
    made.notes = "Ida Alder has a cough."
    made.save()
    AdoptionEvent.objects.create(
        adoption=made,
        state="fell_through",
        on=day(-1),
        note="Alder moved away",
        made_by=coordinator,
    )
    made.overrides.create(
        key="space",
        sentence="Too small",
        reason="Alder builds a larger one",
        is_block=False,
        made_by=coordinator,
    )
    return made


def erase(client, adopter):
    return client.post(reverse("erase_adopter", kwargs={"code": adopter.code}), follow=True)


def test_nothing_that_is_shown_names_an_erased_adopter(
    coordinating, known, returned, text_of, coordinator
):
    erase(coordinating, known)

    known.refresh_from_db()
    pages = [
        coordinating.get(reverse("adopter", kwargs={"code": known.code})),
        coordinating.get(reverse("adoption", kwargs={"code": returned.code})),
        coordinating.get(reverse("adopters")),
        coordinating.get(reverse("adoptions")),
    ]
    for page in pages:
        assert page.status_code == 200
        assert not [secret for secret in SECRETS if secret in text_of(page)]
    assert (known.name, known.erased_by) == (known.code, coordinator)


def test_which_animals_went_there_and_when_stays(coordinating, known, returned):
    before = list(returned.events.values_list("state", "on"))
    animals = list(returned.animals.values_list("animal", flat=True))

    erase(coordinating, known)

    assert list(returned.events.values_list("state", "on")) == before
    assert list(returned.animals.values_list("animal", flat=True)) == animals


def test_who_has_animals_reserved_is_not_erased(coordinating, known, pair, make_reserved, text_of):
    make_reserved(*pair[1])
    page = erase(coordinating, known)

    assert page.status_code == 422
    assert "End that first." in text_of(page)
    known.refresh_from_db()
    assert known.name == "Ida Alder"


def test_an_erased_adopter_is_chosen_for_no_new_adoption(coordinating, known):
    erase(coordinating, known)
    assert known not in Adopter.objects.by_name()


def test_an_erased_adopter_gets_no_name_again(coordinating, known):
    erase(coordinating, known)
    page = reverse("edit_adopter", kwargs={"code": known.code})

    assert coordinating.post(page, {"name": "Ida Alder"}).url == reverse(
        "adopter", kwargs={"code": known.code}
    )
    assert coordinating.get(reverse("merge_adopter", args=[known.code])).status_code == 404


def test_an_adopter_gets_all_that_is_stored(coordinating, known, returned):
    told = coordinating.get(reverse("adopter_data", kwargs={"code": known.code})).json()

    assert (told["name"], told["address"]) == ("Ida Alder", "4 Mill Lane")
    (adoption,) = told["adoptions"]
    assert adoption["notes"] == "Ida Alder has a cough."
    assert adoption["events"][-1]["note"] == "Alder moved away"
    assert [one["reason"] for one in adoption["overrides"]] == ["Alder builds a larger one"]


def test_the_rule_of_the_rescue_proposes_who_was_without_contact(known, returned, day):
    Adopter.objects.filter(pk=known.pk).update(made_at=known.made_at - timedelta(days=4000))
    AdoptionEvent.objects.update(on=day(-800))

    assert list(without_contact_since(day(-799))) == [known]
    assert not without_contact_since(day(-800)).exists()


def test_nothing_is_proposed_without_a_rule(coordinating, known, text_of):
    assert "No time limit is set yet." in text_of(coordinating.get(reverse("erasable_adopters")))

    Rescue.objects.update_or_create(pk=1, defaults={"erase_adopters_after_years": 3})
    page = text_of(coordinating.get(reverse("erasable_adopters")))
    assert "No adopter has been without contact for 3 years." in page


def test_what_was_noted_of_a_death_at_their_home_is_handed_out_and_erased(
    coordinating, known, pair, make_reserved, step
):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    adopt(adoption, step(-9), [])
    death = record_death(adoption, pip, step(-3, "Alder found him"))

    (told,) = data_of(known)["adoptions"]
    assert [one["note"] for one in told["deaths"]] == ["Alder found him"]

    erase(coordinating, known)
    death.refresh_from_db()
    assert death.note == ""


def test_after_it_no_column_names_an_adopter(coordinating, known, returned):
    assert len(columns_with(*SECRETS)) > 7

    erase(coordinating, known)

    assert columns_with(*SECRETS) == {}


def test_a_kit_for_them_is_listed_and_can_be_renamed(coordinating, known, text_of):
    kit = make_kit("Kit 7", adopter="Ida Alder", state="handed over")
    page = coordinating.get(reverse("erase_adopter", kwargs={"code": known.code}))
    edit = reverse("builds:edit_build", args=[kit.code])
    assert f'href="{edit}"' in page.text

    form = coordinating.get(edit).context["form"]
    given = {"name": "Kit 7", "people": form.initial["people"], "adopter": ""}
    basis = coordinating.get(edit).text.split('name="basis" value="')[1].split('"')[0]
    assert coordinating.post(edit, {**given, "basis": basis}).status_code == 422

    coordinating.post(edit, {**given, "adopter": "an adopter", "basis": basis})
    kit.refresh_from_db()
    assert kit.adopter == "an adopter"
