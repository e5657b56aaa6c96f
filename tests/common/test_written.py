"""Questions that are written once: each answer is that of the question written for its values."""

from datetime import date, datetime, timedelta

import pytest
from django.utils import timezone

from habitats.common.written import given, given_keys, write_all, written
from habitats.people.models.devices import Device
from habitats.people.models.people import Person

pytestmark = pytest.mark.django_db

BY_DAY = written(
    lambda: Person.objects.filter(date_joined__date__lte=given("last", date)).order_by("pk")
)
BY_MOMENT = written(
    lambda: Person.objects.filter(date_joined__lt=given("before", datetime)).order_by("pk")
)
OF_PERSON = written(
    lambda: Device.objects.filter(person=given("person", Person)).select_related("person")
)


@pytest.fixture
def people(coordinator, foster, builder) -> list[Person]:
    found = [coordinator, foster, builder]
    for number, one in enumerate(found):
        one.date_joined = timezone.now() - timedelta(days=2 * number)
        one.save()
    return sorted(found, key=lambda one: one.pk)


def test_each_day_and_moment_is_answered_as_by_a_question_of_its_own(people):
    now = timezone.now()
    for days in range(-1, 6):
        last, moment = timezone.localdate() - timedelta(days=days), now - timedelta(days=days)
        plain = Person.objects.order_by("pk")
        assert BY_DAY(last=last) == list(plain.filter(date_joined__date__lte=last)), days
        assert BY_MOMENT(before=moment) == list(plain.filter(date_joined__lt=moment)), days
    assert BY_DAY(last=timezone.localdate()) == people


def test_what_changed_since_is_in_the_answer(foster):
    named = written(lambda: Person.objects.filter(last_name=given("name", str)))
    assert named(name="Willow") == []
    Person.objects.filter(pk=foster.pk).update(last_name="Willow")
    assert named(name="Willow") == [foster]


def test_a_row_is_compared_by_its_key_and_related_rows_ask_nothing_more(
    people, django_assert_num_queries
):
    for one in people[:2]:
        Device.objects.create(person=one, session_key=f"key{one.pk}", address="::1")
    for one in people:
        with django_assert_num_queries(1):
            found = [device.person for device in OF_PERSON(person=one)]
        assert found == ([one] if one in people[:2] else [])


def test_any_number_of_keys_are_one_value(people):
    some = written(lambda: Person.objects.filter(pk__in=given_keys("people")).order_by("pk"))
    keys = [one.pk for one in people]
    for number in (0, 1, 3):
        assert [one.pk for one in some(people=keys[:number])] == keys[:number]


def test_every_question_of_the_project_can_be_written_before_it_is_asked():
    write_all()
