"""A foster is told once that what was wrong at home is mended, and may say that it is not."""

import re

import pytest
from django.urls import reverse

from habitats.faults.models.faults import Fault, report
from habitats.faults.models.mended_news import TOLD_DAYS, MendedSeen
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.places import FloorPoint
from habitats.upkeep.urgency import FaultUrgency

pytestmark = pytest.mark.django_db
NEWS = "Mended: Loose or missing tie"


@pytest.fixture
def at_home(make_home, make_enclosure, foster):
    home = make_home("Wren")
    home.people.add(foster)
    return make_enclosure("Loft", home=home)


@pytest.fixture
def mended(at_home, foster, builder, day):
    """`mended(days_ago=0)`: a fault that the foster saw and the builder mended."""

    def done(days_ago: int = 0, by=builder) -> Fault:
        seen = report(
            at_home,
            FaultKind.TIE,
            FaultUrgency.SOON,
            on=day(-days_ago - 1),
            by=foster,
            note="By the door",
            where=FloorPoint(0, 100, 100),
        )
        seen.mend(day(-days_ago), by=by, note="A new tie")
        return seen

    return done


def test_it_is_told_with_who_mended_it_and_when_until_it_is_seen(
    fostering, mended, builder, text_of
):
    fault = mended()

    told = text_of(fostering.get("/today/"))
    assert NEWS in told
    assert f"Loft · 10 Mar by {builder}" in told
    assert "A new tie" in told

    assert fostering.post(reverse("see_mended", args=[fault.pk])).status_code == 302
    fostering.post(reverse("see_mended", args=[fault.pk]))
    assert MendedSeen.objects.count() == 1
    assert NEWS not in text_of(fostering.get("/today/"))


def test_what_one_mended_oneself_or_long_ago_is_no_news(fostering, mended, foster, text_of):
    mended(by=foster)
    mended(days_ago=TOLD_DAYS + 1)

    assert NEWS not in text_of(fostering.get("/today/"))


def test_one_tap_says_that_it_is_not_mended_with_all_that_was_said_before(
    fostering, mended, at_home, today, text_of
):
    fault = mended()
    page = fostering.get("/today/").content.decode()
    address = re.search(r'href="(/enclosures/[^"]+again=\d+)"', page)[1]
    form = fostering.get(address).context["form"]
    said = {name: form[name].value() for name in form.fields if form[name].value() is not None}
    assert said["note"] == "Not mended: By the door"

    answer = fostering.post(address, said | {"day": today.isoformat()})

    assert answer.status_code == 302
    again = Fault.objects.open().get()
    assert (again.kind, again.urgency, again.where) == (fault.kind, fault.urgency, fault.where)
    assert fault.mended.note == "A new tie", "what was said stays"
    assert NEWS not in text_of(fostering.get("/today/"))


def test_news_of_other_homes_is_not_told_nor_taken(fostering, mended, at_home, foster):
    fault = mended()
    at_home.standings.open().get().home.people.remove(foster)

    assert NEWS not in fostering.get("/today/").content.decode()
    assert fostering.post(reverse("see_mended", args=[fault.pk])).status_code == 404
    assert not MendedSeen.objects.exists()
