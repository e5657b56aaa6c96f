"""What is stored of a person of the team: handed out, and erased."""

from datetime import timedelta

import pytest
from django.db import IntegrityError
from django.urls import reverse
from django.utils import timezone

from habitats.animals.models.animals import Weighing
from habitats.homes.models.homes import HomeContact
from habitats.people.models.access_events import AccessEvent
from habitats.people.models.calendar_feeds import CalendarFeed
from habitats.people.models.erasing import CannotErasePerson, erase, without_log_in_since
from habitats.people.models.people import Person
from habitats.people.models.second_factor import has_second_factor, new_key, set_up

pytestmark = pytest.mark.django_db
SECRETS = ("Fay", "Odell", "fay@example.org")


@pytest.fixture
def left(foster, make_animal, day):
    """A foster who weighed an animal, with all that an account may have."""
    foster.email = "fay@example.org"
    foster.save()
    set_up(foster, new_key())
    CalendarFeed.objects.renew(foster)
    make_animal("Pip").weigh(900, day(-1), by=foster)
    return foster


def erase_by(client, person):
    return client.post(reverse("erase_person", args=[person.pk]), follow=True)


def test_what_they_did_stays_as_by_a_former_member(coordinating, left, text_of):
    animal = Weighing.objects.get(made_by=left).animal
    erase_by(coordinating, left)

    page = text_of(coordinating.get(reverse("animal", args=[animal.code])))
    assert "former member" in page
    assert not [secret for secret in SECRETS if secret in page]
    assert animal.weighings.get().made_by == left


def test_nothing_of_the_account_is_left(coordinating, client_of, left):
    phone = client_of(left)
    erase_by(coordinating, left)

    left.refresh_from_db()
    assert (left.username, left.get_full_name(), left.email) == (f"former-{left.pk}", "", "")
    assert not has_second_factor(left)
    assert not CalendarFeed.objects.open().exists()
    assert phone.get(reverse("who")).status_code == 401
    pages = [reverse("people"), reverse("access_log"), reverse("erase_person", args=[left.pk])]
    told = "".join(coordinating.get(page, follow=True).text for page in pages)
    assert not [secret for secret in SECRETS if secret in told]


def test_the_access_log_says_who_erased_whom(coordinating, coordinator, left):
    erase_by(coordinating, left)

    event = AccessEvent.objects.newest_first()[0]
    assert (event.kind, event.by, event.name) == ("erased", coordinator, f"former-{left.pk}")
    assert not AccessEvent.objects.filter(name="fay").exists()


def test_who_looks_after_a_home_is_not_erased(coordinating, foster, make_home):
    wren = make_home("Wren", people=[foster])

    answer = erase_by(coordinating, foster)

    assert answer.status_code == 422
    assert "They look after Wren." in answer.text
    assert f'href="{reverse("home_people", args=[wren.code])}"' in answer.text
    foster.refresh_from_db()
    assert foster.first_name == "Fay"


def test_how_they_were_reached_at_home_goes_with_them(coordinating, foster, builder, make_home):
    def contact(name, full_name, *people):
        home = make_home(name, people=people)
        home.close(timezone.localdate())
        return HomeContact.objects.create(home=home, full_name=full_name, phone="0100")

    alone, shared = contact("Wren", "Odells", foster), contact("Rook", "Bo", foster, builder)

    erase_by(coordinating, foster)

    assert not HomeContact.objects.filter(pk=alone.pk).exists()
    assert HomeContact.objects.filter(pk=shared.pk).exists()


def test_two_coordinators_may_erase_at_once(coordinator, left):
    for _twice in range(2):
        erase(left, by=coordinator)

    left.refresh_from_db()
    assert left.erased_on


def test_nobody_erases_themselves_so_a_coordinator_is_left(coordinating, coordinator):
    assert erase_by(coordinating, coordinator).status_code == 422

    with pytest.raises(CannotErasePerson):
        erase(coordinator, by=coordinator)


def test_an_erased_person_gets_no_name_again(coordinating, left):
    erase_by(coordinating, left)

    with pytest.raises(IntegrityError):
        Person.objects.filter(pk=left.pk).update(first_name="Fay")


def test_nothing_can_be_done_with_an_erased_account(coordinating, left):
    erase_by(coordinating, left)

    assert coordinating.get(reverse("new_password", args=[left.pk])).status_code == 404
    assert coordinating.get(reverse("merge_person", args=[left.pk])).status_code == 404
    assert coordinating.get(reverse("person", args=[left.pk])).url == reverse("people")


def test_each_downloads_what_is_stored_of_them(client_of, left, make_home):
    make_home("Wren", people=[left])

    told = client_of(left).get(reverse("own_data")).json()

    assert (told["log_in_name"], told["roles"]) == ("fay", ["foster"])
    assert [one["name"] for one in told["homes"]] == ["Wren"]
    assert told["recorded"]["habitats_weighing"] == 1
    assert AccessEvent.objects.filter(kind="data_handed_out", person=left, by=left).exists()


def test_a_coordinator_downloads_it_for_them(coordinating, left):
    told = coordinating.get(reverse("person_data", args=[left.pk]))

    assert told.json()["email"] == "fay@example.org"
    assert "no-store" in told["Cache-Control"]


def test_the_rule_of_the_rescue_proposes_who_left_long_ago(foster, builder):
    moment = timezone.now() - timedelta(days=800)
    Person.objects.filter(pk__in=[foster.pk, builder.pk]).update(date_joined=moment)
    Person.objects.filter(pk=foster.pk).update(is_active=False)
    today = timezone.localdate()

    assert list(without_log_in_since(today - timedelta(days=700))) == [foster]
    assert not without_log_in_since(today - timedelta(days=900)).exists()
