"""What people do on a build is taken once, in order, and nothing of it is lost.

The acts, their kinds and limits are this house's own; metadata of photos is looked for with
exifread, which shares no code with Pillow.
"""

import base64
import json
import uuid
from contextlib import suppress
from datetime import timedelta
from io import BytesIO

import exifread
import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from builds.building.models.acts import BadAct, as_sent, read
from builds.building.models.intake import may_send, take
from builds.plans.models.build_acts import Overtaken, Tick
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.progress import Progress
from habitats.designs.models.designs import Design
from tests.support.builds import make_build, planner, steps_of
from tests.support.designs import make_design

pytestmark = pytest.mark.django_db


@pytest.fixture
def build(builder):
    return make_build(state="building", people=[builder])


@pytest.fixture
def act(build):
    """`act("tick")`: as a phone sends it, on the first step unless another is named."""

    def make(kind, **changes):
        first = steps_of(build)[0].key
        at = timezone.now().isoformat()
        return {"once": str(uuid.uuid4()), "kind": kind, "step": first, "at": at, **changes}

    return make


@pytest.fixture
def send(build, builder):
    """`send(act, person=…, now=…)`: the answer to it."""

    def send(sent, person=None, now=None):
        return take(person or builder, build, sent, now or timezone.now())

    return send


def photo_in_base64(size=(400, 300), **options):
    out = BytesIO()
    Image.new("RGB", size, "tan").save(out, "JPEG", **options)
    return base64.b64encode(out.getvalue()).decode()


# --- Taken, once ---


def test_a_tick_is_taken_with_the_time_of_the_phone_and_of_ours(build, act, send):
    at = timezone.now() - timedelta(hours=30)

    answer = send(act("tick", at=at.isoformat()))

    tick = build.ticks.get()
    assert (answer.outcome, answer.sentence) == ("taken", "Step 1 is ticked.")
    assert tick.at == at
    assert tick.made_at - at > timedelta(hours=29)


def test_an_act_that_is_sent_twice_happens_once(build, act, send):
    tick = act("tick")

    outcomes = [send(tick).outcome for _ in range(3)]

    assert outcomes == ["taken", "known", "known"]
    assert build.ticks.count() == 1
    assert not build.strays.exists()


def test_every_kind_is_kept_with_what_it_says(build, act, send):
    send(act("note", step="", text=" The north wall is not square. "))
    send(act("shortage", what="connector", count=3, is_damaged=True, note="split"))
    send(act("photo", image=photo_in_base64(), note="The split one"))
    send(act("start"))

    assert build.buildnotes.get().text == "The north wall is not square."
    short = build.shortages.get()
    assert (short.what, short.count, short.kind, short.note) == ("connector", 3, "damaged", "split")
    assert build.buildphotos.get().note == "The split one"
    assert build.starts.count() == 1


@pytest.mark.parametrize("kind", ["tick", "untick", "start", "note", "shortage", "photo"])
def test_each_kind_that_is_sent_twice_is_known(kind, build, act, send):
    facts = {
        "note": {"text": "dry"},
        "shortage": {"what": "tie", "count": 2, "is_damaged": False},
        "photo": {"image": photo_in_base64()},
    }
    sent = act(kind, **facts.get(kind, {}))

    assert [send(sent).outcome for _ in range(2)] == ["taken", "known"]


def test_something_else_under_the_same_number_is_kept_beside_the_build(build, act, send):
    first = act("note", text="Take the long ties.")
    second = {**first, "text": "Take the short ties."}
    send(first)

    answers = [send(second) for _ in range(2)]

    assert [one.outcome for one in answers] == ["stray", "stray"]
    assert "under the same number" in answers[0].sentence
    assert build.buildnotes.get().text == "Take the long ties."
    assert build.strays.get().payload["text"] == "Take the short ties."


def test_the_same_number_from_another_person_takes_nothing_from_the_first(
    build, act, send, coordinator
):
    sent = act("tick")
    send(sent)

    assert send(sent, person=coordinator).outcome == "stray"
    assert build.ticks.get().made_by.username == "bertil"


def test_two_who_tick_the_same_step_agree(build, act, send, coordinator):
    outcomes = [send(act("tick")).outcome, send(act("tick"), person=coordinator).outcome]

    assert outcomes == ["taken", "taken"]
    assert Tick.objects.last_words().get().is_done


def test_acts_count_in_the_order_in_which_they_come(build, act, send):
    for kind in ("tick", "untick", "tick", "untick"):
        send(act(kind))

    assert not Tick.objects.last_words().get().is_done


def test_the_first_tick_says_that_the_build_has_begun(builder, act, send):
    planned = make_build("Alcove", people=[builder])
    tick = act("tick", step=steps_of(planned)[0].key)

    take(builder, planned, tick, timezone.now())

    assert planned.state_now() == "building"


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


def test_an_older_tick_that_arrives_later_undoes_no_newer_word(build, act, send, opened_again):
    opened_again()

    answer = send(act("tick", at=(timezone.now() - timedelta(hours=3)).isoformat()))

    assert Progress(build, "metric").done == 0
    assert not Tick.objects.last_words().get().is_done
    assert (answer.outcome, answer.is_odd) == ("taken", True)
    assert "Cora opened it again later" in answer.sentence


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


# --- What changed meanwhile ---


def test_a_tick_of_a_step_that_was_planned_away_is_taken_and_told(build, act, send):
    sent = act("tick", step=steps_of(build)[-2].key)
    wide = Design.objects.draw(make_design(["####", "####", "####"]), by=planner())
    BuildPlan.objects.work_out(build, wide.current, by=planner())

    answer = send(sent)

    assert answer.outcome == "taken"
    assert answer.is_odd
    assert "planned away" in answer.sentence
    assert build.ticks.count() == 1


@pytest.mark.parametrize("state", ["stopped", "handed over"])
def test_what_comes_after_the_end_is_kept_beside_the_build(state, builder, act):
    ended = make_build("Too late", state=state, people=[builder])
    sent = act("tick", step=steps_of(ended)[0].key)

    answers = [take(builder, ended, sent, timezone.now()) for _ in range(2)]

    assert {one.outcome for one in answers} == {"stray"}
    assert f"is {state}" in answers[0].sentence
    assert ended.strays.get().payload["kind"] == "tick"
    assert not ended.ticks.exists()


def test_a_photo_that_comes_after_the_end_is_kept_with_its_picture(builder, act):
    ended = make_build("Too late", state="stopped", people=[builder])

    take(builder, ended, act("photo", step="", image=photo_in_base64()), timezone.now())

    with Image.open(ended.strays.get().image) as kept:
        assert kept.size == (400, 300)


def test_who_lost_the_role_is_told_nothing_of_the_build_and_loses_nothing(
    build, act, send, builder
):
    builder.role = "foster"
    builder.save()

    answer = send(act("note", text="Two ties are missing on top."))

    assert answer.outcome == "stray"
    assert "no builder any more" in answer.sentence
    assert build.name not in answer.sentence
    assert build.strays.get().payload["text"] == "Two ties are missing on top."


def test_a_foster_who_was_on_the_build_may_send_and_another_may_not(build, act, send, foster):
    assert not may_send(foster, build)

    build.people.add(foster)

    assert may_send(foster, build)


def test_whoever_did_something_on_the_build_may_send_even_after_leaving_it(
    build, act, send, builder
):
    send(act("tick"))
    build.people.clear()
    builder.role = "laundry"

    assert may_send(builder, build)


def test_the_inspection_is_not_ticked_by_hand(build, act, send):
    answer = send(act("tick", step=steps_of(build)[-1].key))

    assert answer.outcome == "stray"
    assert "signing it" in answer.sentence


# --- Bad input: a sentence, and kept ---

TOO_LONG = "x" * 1001

BAD = {
    "an unknown kind": ({"kind": "dance"}, "what is known is tick"),
    "a kind that is a list": ({"kind": ["tick"]}, "what is known is tick"),
    "no step": ({"kind": "tick", "step": ""}, "names no step"),
    "a step of another build": ({"kind": "tick", "step": "abcdefabcdef"}, "in no plan"),
    "a step that is a number": ({"kind": "tick", "step": 3}, "is no text"),
    "a step that is too long": ({"kind": "tick", "step": "x" * 13}, "13 characters"),
    "an empty note": ({"kind": "note", "text": "  "}, "is empty"),
    "a note that is too long": ({"kind": "note", "text": TOO_LONG}, "1000 are kept at most"),
    "a note with a NUL": ({"kind": "note", "text": "a\0b"}, "cannot be kept"),
    "half a pair of surrogates": ({"kind": "note", "text": "\ud83d"}, "cannot be kept"),
    "a count of nothing": (
        {"kind": "shortage", "what": "tie", "count": 0, "is_damaged": True},
        "from 1 to 10000",
    ),
    "a count that is a truth": (
        {"kind": "shortage", "what": "tie", "count": True, "is_damaged": True},
        "from 1 to 10000",
    ),
    "a count without end": (
        {"kind": "shortage", "what": "tie", "count": 10**4000, "is_damaged": True},
        "from 1 to 10000",
    ),
    "neither missing nor damaged": (
        {"kind": "shortage", "what": "tie", "count": 1},
        "missing or damaged",
    ),
    "a photo of no bytes": ({"kind": "photo", "image": ""}, "The file is empty"),
    "an SVG for a photo": (
        {"kind": "photo", "image": base64.b64encode(b"<svg/>").decode()},
        "no photo that can be read",
    ),
    "a photo that is not in base64": ({"kind": "photo", "image": "?!"}, "not in base64"),
    "a photo that is a number": ({"kind": "photo", "image": 7}, "not in base64"),
    "no UUID": ({"kind": "tick", "once": "seven"}, "without a UUID"),
    "a UUID that is a list": ({"kind": "tick", "once": [1]}, "without a UUID"),
}


@pytest.mark.parametrize("name", BAD)
def test_what_cannot_be_taken_is_answered_and_kept_once(name, build, act, send):
    changes, words = BAD[name]
    sent = {**act("tick"), **changes}

    answers = [send(sent) for _ in range(2)]

    assert {one.outcome for one in answers} == {"stray"}
    assert words in answers[0].sentence
    assert build.strays.count() == 1
    assert not build.ticks.exists()


def test_a_note_that_is_too_long_is_kept_whole(build, act, send):
    send(act("note", text=TOO_LONG))

    assert build.strays.get().payload["text"] == TOO_LONG


def test_a_photo_of_40_megabytes_is_refused_with_a_sentence(build, act, send):
    answer = send(act("photo", image=base64.b64encode(b"\xff" * 40_000_000).decode()))

    assert answer.outcome == "stray"
    assert "larger than 15 MB" in answer.sentence
    assert len(str(build.strays.get().payload)) < 1000


def test_a_photo_loses_what_it_tells_of_the_place(build, act, send):
    exif = Image.Exif()
    exif[0x010F] = "A camera"  # Make, in Exif 2.3
    exif.get_ifd(0x8825)[1] = "N"  # GPSLatitudeRef
    out = BytesIO()
    Image.new("RGB", (400, 300), "tan").save(out, "JPEG", exif=exif)
    assert "GPS GPSLatitudeRef" in exifread.process_file(BytesIO(out.getvalue()))

    send(act("photo", image=base64.b64encode(out.getvalue()).decode()))

    assert not exifread.process_file(build.buildphotos.get().image.open("rb"))


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=8,
)
names = st.sampled_from(
    ["once", "kind", "step", "at", "text", "count", "what", "image", "is_damaged", "sent"]
)


@given(
    st.dictionaries(names | st.text(max_size=5), values, max_size=8),
    st.sampled_from(["tick", "untick", "start", "note", "photo", "shortage"]),
)
def test_whatever_is_sent_is_read_or_refused_and_can_be_kept(sent, kind):
    for act in (sent, {**sent, "kind": kind}):
        with suppress(BadAct):
            read(act)
        json.dumps(as_sent(act), allow_nan=False).encode()
