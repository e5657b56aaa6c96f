"""Today tells coordinators, and nobody else, that there is no good backup of the last two days."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone

from habitats.backups.models.record import record_failed, record_good

OLD = "the last good backup is from"
NONE = "there is no backup yet"


@pytest.fixture
def made(settings, tmp_path):
    """`made(hours=50)`: the last good backup is so old."""
    settings.DATA_DIR = tmp_path

    def made(**ago: int) -> None:
        record_good(timezone.now() - timedelta(**ago), Path("one.zip"))

    return made


def today_of(client) -> str:
    return client.get("/today/").content.decode()


def test_after_two_days_it_warns_and_says_what_to_do(made, coordinating):
    made(hours=49)

    page = today_of(coordinating)

    assert OLD in page
    assert "<code>.venv/bin/python manage.py backup</code>" in page


def test_with_a_backup_of_yesterday_it_is_silent(made, coordinating):
    made(hours=40)

    assert OLD not in today_of(coordinating)


def test_one_of_a_day_to_come_says_nothing_of_the_days_since(made, coordinating):
    """The clock was a month ahead when it was made."""
    made(hours=-24 * 30)

    assert OLD in today_of(coordinating)


def test_only_coordinators_are_warned(made, building, fostering):
    made(days=9)

    assert OLD not in today_of(building) + today_of(fostering)


def test_where_none_was_ever_made_it_warns_after_two_days(made, coordinator, coordinating):
    assert NONE not in today_of(coordinating)

    coordinator.date_joined -= timedelta(days=3)
    coordinator.save()

    assert NONE in today_of(coordinating)


def test_why_the_last_one_failed_is_told(made, coordinating):
    made(days=3)
    record_failed("No space left on device")

    assert "The last attempt failed: No space left on device" in today_of(coordinating)


def test_a_record_that_cannot_be_read_is_as_none(made, coordinating, settings):
    (settings.DATA_DIR / "backups.json").write_text('{"good_at": 7')

    assert OLD not in today_of(coordinating)


def test_it_asks_nothing_of_the_database(made, coordinating, django_assert_max_num_queries):
    made(hours=1)
    with django_assert_max_num_queries(200) as fresh:
        today_of(coordinating)
    made(days=9)

    with django_assert_max_num_queries(len(fresh)):
        assert OLD in today_of(coordinating)
