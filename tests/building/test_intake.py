"""What people do on a build is taken once, in order, and nothing of it is lost.

The acts, their kinds and limits are this house's own; metadata of photos is looked for with
exifread, which shares no code with Pillow.
"""

import base64
import json
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
from builds.plans.models.build_acts import Tick
from builds.plans.models.build_plans import BuildPlan
from habitats.designs.models.designs import Design
from tests.support.builds import make_build, planner, steps_of
from tests.support.designs import make_design

pytestmark = pytest.mark.django_db


def photo_in_base64(size=(400, 300), **options):
    out = BytesIO()
    Image.new("RGB", size, "tan").save(out, "JPEG", **options)
    return base64.b64encode(out.getvalue()).decode()


# --- Taken, once ---


def test_a_tick_is_taken_with_the_time_of_the_phone_and_of_ours(build, act, send):
    at = timezone.now() - timedelta(hours=30)

    answer = send(act("tick", at=at.isoformat()))

    tick = build.ticks.get()
    assert (answer.outcome, answer.sentence) == ("taken", "Step 1 is done.")
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


# --- What changed meanwhile ---


def test_a_tick_of_a_step_that_was_planned_away_is_taken_and_told(build, act, send):
    sent = act("tick", step=steps_of(build)[-2].key)
    wide = Design.objects.draw(make_design(["####", "####", "####"]), by=planner())
    BuildPlan.objects.work_out(build, wide.current, by=planner())

    answer = send(sent)

    assert answer.outcome == "taken"
    assert answer.is_odd
    assert "removed from the plan" in answer.sentence
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


def test_what_comes_too_late_is_the_same_when_its_clock_is_measured_anew(builder, act):
    ended = make_build("Too late", state="stopped", people=[builder])
    tick = act("tick", step=steps_of(ended)[0].key)
    tries = [{**tick, "sent": tick["at"], "ahead": ahead} for ahead in (12, 40)]

    answers = [take(builder, ended, sent, timezone.now()) for sent in tries]

    assert answers[0].sentence == answers[1].sentence
    assert ended.strays.count() == 1


def test_a_photo_that_comes_after_the_end_is_kept_with_its_picture(builder, act):
    ended = make_build("Too late", state="stopped", people=[builder])

    take(builder, ended, act("photo", step="", image=photo_in_base64()), timezone.now())

    with Image.open(ended.strays.get().image) as kept:
        assert kept.size == (400, 300)


def test_who_lost_the_role_is_told_nothing_of_the_build_and_loses_nothing(
    build, act, send, builder
):
    builder.roles = "foster"
    builder.save()

    answer = send(act("note", text="Two ties are missing on top."))

    assert answer.outcome == "stray"
    assert "no longer a builder" in answer.sentence
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
    builder.roles = "laundry"

    assert may_send(builder, build)


def test_the_inspection_is_not_ticked_by_hand(build, act, send):
    answer = send(act("tick", step=steps_of(build)[-1].key))

    assert answer.outcome == "stray"
    assert "sign it" in answer.sentence


# --- Bad input: a sentence, and kept ---

TOO_LONG = "x" * 1001

BAD = {
    "an unknown kind": ({"kind": "dance"}, "the kinds allowed are tick"),
    "a kind that is a list": ({"kind": ["tick"]}, "the kinds allowed are tick"),
    "no step": ({"kind": "tick", "step": ""}, "names no step"),
    "a step of another build": ({"kind": "tick", "step": "abcdefabcdef"}, "in no plan"),
    "a step that is a number": ({"kind": "tick", "step": 3}, "is not text"),
    "a step that is too long": ({"kind": "tick", "step": "x" * 13}, "13 characters"),
    "an empty note": ({"kind": "note", "text": "  "}, "is empty"),
    "a note that is too long": ({"kind": "note", "text": TOO_LONG}, "at most 1000 are allowed"),
    "a note with a NUL": ({"kind": "note", "text": "a\0b"}, "cannot be saved"),
    "half a pair of surrogates": ({"kind": "note", "text": "\ud83d"}, "cannot be saved"),
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
        "cannot be read as a photo",
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
