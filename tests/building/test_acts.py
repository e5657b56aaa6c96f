"""What phones send, and what they are told, as JSON."""

import base64
import json
import time
import uuid
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.building.models.intake import TAKEN, take
from builds.plans.models.build_plans import BuildPlan
from habitats.common import photo_queue
from tests.support.builds import make_build, steps_of

pytestmark = pytest.mark.django_db

# Of the processor, since other work on the machine is no fault of ours; for two hundred ticks that
# were kept while there was no signal.
MOST_SECONDS = 5


@pytest.fixture
def build(builder):
    return make_build(state="building", people=[builder])


@pytest.fixture
def send(building, builder, build):
    """`send([act, …])`: as the phone does it, by the builder unless another client is named."""

    def send(acts, client=building, **changes):
        said = {"person": builder.pk, "sent": timezone.now().isoformat(), "acts": acts, **changes}
        return client.post(
            reverse("builds:acts", args=[build.code]), json.dumps(said), "application/json"
        )

    return send


def tick(step, kind="tick", **changes):
    at = timezone.now().isoformat()
    return {"once": str(uuid.uuid4()), "kind": kind, "step": step.key, "at": at, **changes}


def outcomes(response):
    return [one["outcome"] for one in response.json()["answers"]]


def test_every_act_has_its_answer_in_the_same_order(send, build):
    first, second = steps_of(build)[:2]
    sent = [tick(first), tick(second, kind="dance"), "no act at all", tick(first, kind="untick")]

    response = send(sent)

    assert outcomes(response) == ["taken", "stray", "stray", "taken"]
    assert [one["is_odd"] for one in response.json()["answers"]] == [False, True, True, False]
    assert response.json()["answers"][0]["once"] == sent[0]["once"]


def test_photos_that_come_all_at_once_are_asked_for_again_and_nothing_is_lost(
    send, build, photo, monkeypatch
):
    step = steps_of(build)[0]
    image = base64.b64encode(photo).decode()
    queue = [tick(step), tick(step, kind="photo", image=image, note="")]

    def busy(sent):
        raise photo_queue.PhotosWaiting("Send this one again in a minute.")

    with monkeypatch.context() as patched:
        patched.setattr(photo_queue, "taken_in", busy)
        refused = send(queue)
    again = send(queue)

    # From 500 up a phone keeps what it has, and tries again later (static/js/act-sending.js).
    assert (refused.status_code, "again" in refused.json()["why"]) == (503, True)
    assert outcomes(again) == ["known", "taken"]
    assert build.strays.count() == 0


def test_a_queue_that_is_sent_twice_changes_nothing_the_second_time(send, build):
    queue = [tick(step, kind=kind) for step in steps_of(build)[:3] for kind in ("tick", "untick")]

    assert outcomes(send(queue)) == ["taken"] * 6
    assert outcomes(send(queue)) == ["known"] * 6
    assert build.ticks.count() == 6


def test_a_queue_out_of_order_loses_and_doubles_nothing(send, build):
    queue = [tick(step) for step in steps_of(build)[:4]]

    send(queue[2:])
    send(queue[::-1])

    assert build.ticks.count() == 4


def test_two_hundred_ticks_are_taken_in_order_and_in_time(send, build):
    steps = steps_of(build)[:-1]
    queue = [tick(steps[n % len(steps)], kind="tick" if n % 3 else "untick") for n in range(200)]
    began = time.process_time()

    for at in range(0, 200, 50):
        assert outcomes(send(queue[at : at + 50])) == ["taken"] * 50

    assert time.process_time() - began < MOST_SECONDS
    kept = build.ticks.order_by("pk").values_list("idempotency_key", flat=True)
    assert [str(idempotency_key) for idempotency_key in kept] == [act["once"] for act in queue]


def test_who_is_logged_out_is_told_as_json(client_of, send, build):
    address = reverse("builds:acts", args=[build.code])

    for response in (client_of(None).get(address), send([], client=client_of(None))):
        assert response.status_code == 401
        assert "saved on this phone" in response.json()["why"]


def test_a_phone_is_told_a_fresh_token_and_who_is_logged_in(building, builder, build):
    said = building.get(reverse("builds:acts", args=[build.code])).json()

    assert said["person"] == builder.pk
    assert len(said["token"]) > 30


def test_a_post_without_the_token_is_refused(build, builder):
    from django.test import Client

    client = Client(enforce_csrf_checks=True)
    client.force_login(builder, backend="django.contrib.auth.backends.ModelBackend")
    address = reverse("builds:acts", args=[build.code])
    said = {"person": builder.pk, "acts": [tick(steps_of(build)[0])]}

    def post(**headers):
        return client.post(address, json.dumps(said), "application/json", headers=headers)

    assert post().status_code == 403
    assert post(**{"X-CSRFToken": client.get(address).json()["token"]}).status_code == 200


def test_acts_of_another_person_are_not_taken_as_ones_own(send, build, coordinator):
    response = send([tick(steps_of(build)[0])], person=coordinator.pk)

    assert response.status_code == 409
    assert "who is logged in" in response.json()["why"]
    assert not build.ticks.exists()


def test_who_lost_the_role_still_hands_over_what_they_did(send, build, builder):
    builder.roles = "foster"
    builder.save()

    response = send([tick(steps_of(build)[0])])

    assert outcomes(response) == ["stray"]
    assert build.name not in response.content.decode()
    assert build.strays.get().made_by == builder


@pytest.mark.parametrize("code", ["NOSUCH", None])
def test_who_never_built_cannot_tell_a_build_from_none(code, client_of, foster, build):
    address = reverse("builds:acts", args=[code or build.code])

    assert client_of(foster).get(address).status_code == 403


@pytest.mark.parametrize(
    "body",
    ["", "no JSON", "[]", "{}", '{"acts": 3}', '{"acts": [NaN]}', "[" * 100_000, '{"acts": 1e999}'],
)
def test_what_is_no_list_of_acts_is_refused_with_a_sentence(body, building, build):
    address = reverse("builds:acts", args=[build.code])

    response = building.post(address, body, "application/json")

    assert response.status_code == 400
    assert response.json()["why"].endswith(".")


def test_more_acts_than_are_taken_at_once_are_refused_with_the_number(send, build):
    response = send([tick(steps_of(build)[0])] * 101)

    assert response.status_code == 413
    assert "at most 100 acts at once" in response.json()["why"]
    assert not build.ticks.exists()


def test_more_bytes_than_are_taken_at_once_are_refused_with_a_sentence(send, build):
    response = send([tick(steps_of(build)[0], image="x" * 13_000_000)])

    assert response.status_code == 413
    assert response.json()["why"].endswith(".")


@pytest.mark.parametrize("given", [[[[[[[["deep"]]]]]]], {"a": {"b": 10**300}}, None, 1e308])
def test_things_that_are_no_acts_are_kept_as_what_they_are(given, send, build):
    assert outcomes(send([given])) == ["stray"]
    assert build.strays.count() == 1


# --- How it stands ---


def told(client, build):
    return client.get(reverse("builds:ticks", args=[build.code])).json()


def test_a_phone_is_told_who_ticked_what(building, coordinating, coordinator, build, send):
    first = steps_of(build)[0]
    send([tick(first)], client=coordinating, person=coordinator.pk)

    step = told(building, build)["steps"][0]

    assert step["is_done"]
    assert step["done"].startswith("Cora, ")
    assert (step["key"], step["number"]) == (first.key, 1)


def test_a_phone_is_told_who_else_is_on_a_step_and_since_when_one_is(
    building, coordinating, coordinator, build, send
):
    first, second = steps_of(build)[:2]
    send([tick(first, kind="start")], client=coordinating, person=coordinator.pk)
    send([tick(second, kind="start")])

    one, two = told(building, build)["steps"][:2]

    assert (one["on"][:13], one["own"]) == ("Cora has been", "")
    assert (two["on"], two["own"][:11]) == ("", "you started")


def test_what_did_not_change_is_not_told_twice(building, build, send):
    address = reverse("builds:ticks", args=[build.code])
    etag = building.get(address)["ETag"]

    assert building.get(address, headers={"If-None-Match": etag}).status_code == 304

    send([tick(steps_of(build)[0])])

    assert building.get(address, headers={"If-None-Match": etag}).status_code == 200


@pytest.mark.parametrize("kind", ["start", "note", "shortage", "untick"])
def test_whatever_changes_how_a_build_stands_is_told(building, build, send, kind):
    """A note or a report ends that its author is on a step."""
    address = reverse("builds:ticks", args=[build.code])
    etag = building.get(address)["ETag"]
    more = {"text": "Bent.", "what": "connector", "count": 1, "is_damaged": True}
    send([tick(steps_of(build)[0], kind=kind, **more)])

    assert building.get(address, headers={"If-None-Match": etag}).status_code == 200


def test_a_new_name_of_who_ticked_is_told(building, build, builder, send):
    address = reverse("builds:ticks", args=[build.code])
    send([tick(steps_of(build)[0])])
    etag = building.get(address)["ETag"]
    builder.first_name = "Marika"
    builder.save()

    assert building.get(address, headers={"If-None-Match": etag}).status_code == 200


def test_little_is_asked_where_nothing_changed(building, build, django_assert_max_num_queries):
    address = reverse("builds:ticks", args=[build.code])
    etag = building.get(address)["ETag"]

    with django_assert_max_num_queries(7):
        assert building.get(address, headers={"If-None-Match": etag}).status_code == 304


def test_a_tick_asks_little_of_the_database(build, builder, django_assert_max_num_queries):
    step = steps_of(build)[0]

    with django_assert_max_num_queries(9):  # two of them begin and end what is written at once
        answer = take(builder, build, tick(step), timezone.now())

    assert answer.outcome == TAKEN


def test_a_build_that_is_planned_anew_is_stored_anew(building, build, coordinator):
    before = told(building, build)["stored_as"]
    BuildPlan.objects.work_out(build, build.plans.get().revision, by=coordinator)

    assert told(building, build)["stored_as"] != before


def test_every_page_to_store_is_one_that_opens(building, build):
    pages = told(building, build)["pages"]

    assert len(pages) == 8 + len(steps_of(build))
    assert all(building.get(page).status_code == 200 for page in pages)


def test_who_may_not_sign_the_inspection_stores_no_page_of_it(building, build):
    build.people.clear()

    assert reverse("builds:inspect_build", args=[build.code]) not in told(building, build)["pages"]


# --- What is sent is answered with how the build stands ---


def test_the_answer_to_acts_tells_how_the_build_stands_with_them(send, build):
    stands = send([tick(steps_of(build)[0])]).json()["build"]

    assert [step["is_done"] for step in stands["steps"][:2]] == [True, False]


def test_of_two_answers_the_newer_one_has_more_words(building, send, build):
    before = told(building, build)["words"]
    stands = send([tick(steps_of(build)[0])]).json()["build"]

    assert stands["words"] > before
    assert told(building, build)["words"] == stands["words"]


def test_who_lost_the_role_is_not_told_how_the_build_stands(send, build, builder):
    builder.roles = "foster"
    builder.save()

    assert send([tick(steps_of(build)[0])]).json()["build"] is None


def test_a_phone_is_told_our_time(building, build):
    said = building.get(reverse("builds:acts", args=[build.code])).json()["now"]

    assert abs(datetime.fromisoformat(said) - timezone.now()) < timedelta(minutes=1)


def test_who_ticked_one_step_and_began_the_next_without_signal_is_on_it(send, build):
    """All of it reaches us in one moment: what counts is when it was done."""
    first, second = steps_of(build)[:2]
    then = [(timezone.now() - timedelta(minutes=ago)).isoformat() for ago in (20, 10)]

    stands = send([tick(first, at=then[0]), tick(second, kind="start", at=then[1])]).json()["build"]

    assert [one["number"] for one in stands["steps"] if one["own"]] == [second.number]


def test_the_inspection_alone_leads_to_the_page_on_which_it_is_signed(building, build):
    page = reverse("builds:inspect_build", args=[build.code])

    assert [one["sign"] for one in told(building, build)["steps"] if one["sign"]] == [page]
