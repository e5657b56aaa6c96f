"""Of what people do on a build, the newer word stands, whatever the clocks of phones say."""

from datetime import timedelta

import pytest
from django.utils import timezone

from builds.plans.models.build_acts import Overtaken, Tick
from builds.plans.models.progress import Progress

pytestmark = pytest.mark.django_db

# --- Clocks ---


@pytest.mark.parametrize(
    ("days", "words"), [(3, "about 3 days ahead"), (-2, "about 2 days behind")]
)
def test_the_time_of_a_wrong_clock_is_corrected_and_told(days, words, build, act, send):
    now = timezone.now()
    done, wrong = now - timedelta(hours=5), timedelta(days=days)
    sent = act("tick", at=(done + wrong).isoformat(), sent=(now + wrong).isoformat())

    answer = send(sent, now=now)

    assert answer.outcome == "taken"
    assert answer.is_odd
    assert words in answer.sentence
    assert "corrected" in answer.sentence
    assert build.ticks.get().at == done


def test_what_the_phone_measured_counts_for_more_than_when_it_sent(build, act, send):
    """A large photo on a slow line is sent a minute before it arrives."""
    now = timezone.now()
    sent_at = now - timedelta(minutes=1)

    send(act("tick", at=sent_at.isoformat(), sent=sent_at.isoformat(), ahead=0), now=now)

    assert build.ticks.get().at == sent_at


@pytest.mark.parametrize("ahead", [True, 1.5, "3", 10**30, None])
def test_a_measure_that_cannot_be_is_none(ahead, build, act, send):
    now = timezone.now()
    at = (now - timedelta(hours=1)).isoformat()

    send(act("tick", at=at, sent=now.isoformat(), ahead=ahead), now=now)

    assert build.ticks.get().at.isoformat() == at


def test_nothing_is_done_later_than_it_reached_us(build, act, send):
    """The clock was set right before the phone sent: what it is wrong by is not known any more."""
    now = timezone.now()
    ahead = (now + timedelta(days=3)).isoformat()

    answer = send(act("tick", at=ahead, sent=now.isoformat()), now=now)

    assert build.ticks.get().at == now
    assert "about 3 days ahead" in answer.sentence


# --- A newer word stands ---


@pytest.fixture
def opened_again(act, send, coordinator):
    """`opened_again(ago)`: the coordinator opens the first step again, so long ago."""

    def opened_again(ago=timedelta(0), **changes):
        now = timezone.now() - ago
        return send(act("untick", at=now.isoformat(), **changes), person=coordinator, now=now)

    return opened_again


@pytest.mark.parametrize("wrong", [{"hours": 1}, {"days": 1}])
def test_after_our_own_clock_was_set_back_what_is_said_next_stands(
    wrong, build, act, send, opened_again, clock
):
    clock(**wrong)
    send(act("tick"))
    clock()

    opened_again()

    assert not Overtaken.objects.exists()
    assert Progress(build, "metric").done == 0


def test_an_older_tick_that_arrives_later_undoes_no_newer_word(build, act, send, opened_again):
    opened_again()

    answer = send(act("tick", at=(timezone.now() - timedelta(hours=3)).isoformat()))

    assert Progress(build, "metric").done == 0
    assert not Tick.objects.last_words().get().is_done
    assert (answer.outcome, answer.is_odd) == ("taken", True)
    assert "Cora marked it not done later" in answer.sentence


def test_a_clock_ahead_makes_no_older_word_newer(build, act, send, opened_again):
    opened_again()
    now, wrong = timezone.now(), timedelta(days=3)
    at = now + wrong - timedelta(hours=3)

    send(act("tick", at=at.isoformat(), sent=(now + wrong).isoformat()), now=now)

    assert Progress(build, "metric").done == 0


def test_an_older_not_done_that_arrives_later_unticks_nothing(build, act, send, coordinator):
    send(act("tick"), person=coordinator)

    send(act("untick", at=(timezone.now() - timedelta(hours=3)).isoformat()))

    assert Progress(build, "metric").done == 1


def test_a_newer_tick_stands_above_an_older_not_done(build, act, send, opened_again):
    opened_again(timedelta(hours=3))

    assert not send(act("tick")).is_odd
    assert Progress(build, "metric").done == 1


def test_who_said_otherwise_is_told_until_they_have_read_it(
    build, act, send, opened_again, coordinator, builder
):
    opened_again()
    send(act("tick", at=(timezone.now() - timedelta(hours=3)).isoformat()))

    told = Overtaken.objects.unread_by(coordinator).get()
    assert str(told.tick.made_by) == "Bertil"
    assert not Overtaken.objects.unread_by(builder).exists()

    told.read(builder, timezone.now())
    assert Overtaken.objects.unread_by(coordinator).exists()
    told.read(coordinator, timezone.now())
    assert not Overtaken.objects.unread_by(coordinator).exists()


def test_a_late_tick_that_comes_twice_is_kept_once_and_told_again(build, act, send, opened_again):
    opened_again()
    late = act("tick", at=(timezone.now() - timedelta(hours=3)).isoformat())

    answers = [send(late) for _ in range(2)]

    assert [one.outcome for one in answers] == ["taken", "known"]
    assert Overtaken.objects.count() == 1
    assert answers[1].is_odd, "the first answer may have been lost on its way"
    assert answers[1].sentence == answers[0].sentence


def test_a_tick_of_days_ago_from_a_phone_with_a_right_clock_is_nothing_odd(act, send):
    now = timezone.now()
    at = (now - timedelta(days=4)).isoformat()

    assert not send(act("tick", at=at, sent=now.isoformat()), now=now).is_odd


@pytest.mark.parametrize("at", [None, "", "yesterday", 5, "2027-03-01", "0001-01-01T00:00+14:00"])
def test_a_tick_with_no_time_that_can_be_read_gets_ours(at, build, act, send):
    now = timezone.now()

    assert send(act("tick", at=at), now=now).outcome == "taken"
    assert build.ticks.get().at == now
