"""A treatment of an animal in a foster's home, and a clock that pages go by."""

from datetime import UTC, datetime

import pytest


@pytest.fixture
def at_nine(this_day, monkeypatch):
    """It is nine in the morning of `today`; `at_nine(21)` makes it later. Hours of UTC."""

    def at(hour=9, minute=0):
        now = datetime(this_day.year, this_day.month, this_day.day, hour, minute, tzinfo=UTC)
        monkeypatch.setattr("django.utils.timezone.now", lambda: now)

    at()
    return at


@pytest.fixture
def pip(lives, make_home, foster):
    """Lives in Fay's home."""
    return lives("Pip", home=make_home(people=[foster]))[1][0]


@pytest.fixture
def treat(coordinator, day):
    """`treat(pip, times=["20:00"])`: what a vet wrote, from three days ago on."""
    from habitats.health.models.treatments import Treatment

    def treat(animal, **changes):
        written = {
            "drug": "Amber drops",
            "amount": "0.2 ml",
            "how": "by mouth",
            "how_often": "twice a day for a week",
            "times": ["08:00", "20:00"],
            "first_day": day(0),
            "last_day": day(6),
            "vet": "Dr Quail",
            **changes,
        }
        return Treatment.objects.create(animal=animal, made_by=coordinator, **written)

    return treat


@pytest.fixture
def fostering_pip(client_of, foster):
    return client_of(foster)
