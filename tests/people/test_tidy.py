"""What nobody needs any longer goes each night, and nothing else."""

from datetime import timedelta

import pytest
from axes.models import AccessAttempt, AccessLog
from django.contrib.sessions.models import Session
from django.core.management import call_command
from django.utils import timezone


@pytest.fixture
def tidied(db, capsys):
    """Runs the command; what it says."""

    def tidied() -> str:
        call_command("tidy")
        return capsys.readouterr().out

    return tidied


def test_a_session_that_ended_goes_and_one_that_holds_stays(tidied):
    now = timezone.now()
    for key, ends in (("ended", now - timedelta(1)), ("holds", now + timedelta(1))):
        Session.objects.create(session_key=key, session_data="", expire_date=ends)

    assert "1 ended sessions" in tidied()
    assert [one.session_key for one in Session.objects.all()] == ["holds"]


@pytest.mark.parametrize(
    ("model", "more", "stays", "goes"),
    [(AccessLog, {}, 89, 91), (AccessAttempt, {"failures_since_start": 1}, 6, 8)],
)
def test_old_records_of_log_ins_go(tidied, model, more, stays, goes):
    for days in (stays, goes):
        one = model.objects.create(username=f"{days}", ip_address="192.0.2.1", **more)
        model.objects.filter(pk=one.pk).update(attempt_time=timezone.now() - timedelta(days))

    tidied()

    assert [one.username for one in model.objects.all()] == [f"{stays}"]
