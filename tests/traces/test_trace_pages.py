"""Marking what is suspected, working through what it met, and who sees which part of it."""

import uuid

import pytest
from django.urls import reverse
from pypdf import PdfReader

from habitats.linens.models.changes import change
from habitats.linens.models.loads import Load
from habitats.rotation.labels import LABEL_MARKS
from habitats.rotation.states import State
from habitats.traces.models.traces import Trace

pytestmark = pytest.mark.django_db


@pytest.fixture
def trace(start, clover, spread):
    return start(clover)


def address(name, trace):
    return reverse(name, args=[trace.code])


def words(response):
    return " ".join(response.content.decode().split())


def mark(client, **given):
    sent = {
        "sort": "group",
        "since": "2027-02-28",
        "suspicion": "ringworm",
        "note": "",
        "once": uuid.uuid4(),
        **given,
    }
    return client.post(reverse("new_trace"), sent)


def tick(client, trace, **given):
    return client.post(address("tick_trace", trace), {"once": uuid.uuid4(), **given})


# --- Marking ---


def test_a_group_is_marked_and_its_trace_opens(coordinating, clover):
    answer = mark(coordinating, code=clover.code.lower())
    assert answer.url == address("trace", Trace.objects.get(group=clover))


def test_a_link_from_its_page_fills_the_form_in(coordinating, clover):
    page = words(coordinating.get(reverse("group", args=[clover.code])))
    assert f"sort=group&amp;code={clover.code}" in page
    form = coordinating.get(reverse("new_trace"), {"sort": "group", "code": clover.code})
    assert f'value="{clover.code}"' in words(form)


def test_a_repeated_mark_makes_one_trace(coordinating, clover):
    once = uuid.uuid4()
    mark(coordinating, code=clover.code, once=once)
    mark(coordinating, code=clover.code, once=once)
    assert Trace.objects.count() == 1


def test_a_linen_is_marked_by_its_label_as_people_type_it(coordinating, linen):
    answer = mark(coordinating, sort="linen", code=f" {str(linen).lower()} ")
    assert answer.url == address("trace", Trace.objects.get(linen=linen))


def test_a_label_mistyped_by_one_mark_is_caught(coordinating, linen):
    other = next(mark for mark in LABEL_MARKS if mark != linen.label[0])
    answer = mark(coordinating, sort="linen", code=other + linen.label[1:])
    assert answer.status_code == 422
    assert "looks mistyped" in words(answer)


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"since": "2027-03-11"}, "11 March 2027 is in the future"),
        ({"since": "2025-01-01"}, "is more than 400 days ago"),
        ({"since": "soon"}, "Enter a valid date"),
        ({"code": "ZZZZZZ"}, "No group has “ZZZZZZ”"),
        ({"code": ""}, "Type its code"),
        ({"sort": "enclosure"}, "No enclosure has"),
        ({"sort": "cage"}, "Choose a group, an enclosure or a linen"),
        ({"suspicion": "fleas"}, "fleas is not one of the available choices"),
    ],
)
def test_what_makes_no_sense_is_refused_with_a_sentence(coordinating, clover, given, sentence):
    answer = mark(coordinating, **{"code": clover.code, **given})
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not Trace.objects.exists()


# --- The sheet ---


def test_the_coordinator_reads_home_by_home_what_was_met_and_how(coordinating, trace, spread):
    page = words(coordinating.get(address("trace", trace)))
    assert "Wren, Eastgate" in page
    assert "Ada, Harbour" in page
    assert (
        f"Have lived on {spread['carrier']} in East wall since 7 March 2027, after "
        f"{spread['carrier']} lay under Clover and Thyme in North wall 1 to 3 March 2027"
    ) in page
    assert f"Was washed with {spread['carrier']} on 5 March 2027" in page
    assert "2 washes, each at 60 °C or more for at least 14 min" in page


def test_an_enclosure_in_the_same_home_is_told_apart(coordinating, trace, make_enclosure, wren):
    make_enclosure("South wall", wren)
    page = words(coordinating.get(address("trace", trace)))
    assert "South wall" in page
    assert "Same home" in page


def test_a_foster_sees_the_own_home_and_no_other(fostering, trace, spread):
    page = words(fostering.get(address("trace", trace)))
    assert "North wall" in page
    assert "Harbour" not in page
    assert "Basil" not in page
    assert str(spread["carrier"]) not in page


def test_a_foster_whose_home_met_nothing_finds_no_such_page(fostering, start, spread, wren, foster):
    trace = start(spread["basil"])
    wren.people.remove(foster)
    assert fostering.get(address("trace", trace)).status_code == 404


def test_the_laundry_sees_the_linens_and_no_animals(washing, trace, spread):
    page = words(washing.get(address("trace", trace)))
    assert str(spread["other"]) in page
    assert str(spread["carrier"]) in page
    assert "Clover" not in page
    assert "Harbour" not in page


def test_a_box_is_ticked_with_who_did_it_and_taken_back(fostering, trace, foster, clover):
    key = f"watch group {clover.code}"
    answer = tick(fostering, trace, done=key)
    assert answer.url == f"{address('trace', trace)}#watch-group-{clover.code}"
    assert f"Done by {foster}" in words(fostering.get(address("trace", trace)))
    tick(fostering, trace, undone=key)
    assert "Done by" not in words(fostering.get(address("trace", trace)))


def test_a_double_tap_is_one_tick(fostering, trace, clover):
    once = uuid.uuid4()
    for _tap in range(2):
        tick(fostering, trace, done=f"watch group {clover.code}", once=once)
    assert trace.ticks.count() == 1


@pytest.mark.parametrize("key", ["", "watch group NOBODY", "x" * 200])
def test_what_is_not_on_the_list_is_not_ticked(fostering, trace, key):
    answer = fostering.post(address("tick_trace", trace), {"done": key}, follow=True)
    assert "no longer on the list" in words(answer)
    assert not trace.ticks.exists()


def test_a_foster_ticks_nothing_of_another_home(fostering, trace, spread):
    tick(fostering, trace, done=f"watch group {spread['basil'].code}")
    assert not trace.ticks.exists()


def test_the_trace_takes_as_many_queries_for_twelve_linens_as_for_three(
    coordinating, trace, spot, pool, make_linen, day, coordinator, django_assert_max_num_queries
):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(
        connection,
    ) as few:
        coordinating.get(address("trace", trace))
    for _number in range(9):
        change(spot, make_linen(pool, spot.size), day(-1), by=coordinator)
    with django_assert_max_num_queries(len(few)):
        page = words(coordinating.get(address("trace", trace)))
    assert page.count("set-aside-linen-") >= 12


# --- Setting linens aside ---


def test_linens_not_in_the_wash_are_set_aside_in_one_go(
    coordinating, trace, spread, pool, day, coordinator
):
    everyday = pool.programmes.get(name="Everyday")
    Load.objects.start(pool, [spread["second"]], everyday, day(-1), by=coordinator)
    once = uuid.uuid4()
    for _tap in range(2):
        coordinating.post(address("set_aside_linens", trace), {"once": once, "in_use": "on"})
    states = {}
    for name in ("carrier", "second", "third", "other"):
        spread[name].refresh_from_db()
        states[name] = spread[name].state
    assert states == {
        "carrier": State.SET_ASIDE,
        "second": State.WASHING,
        "third": State.SET_ASIDE,
        "other": State.SET_ASIDE,
    }
    page = words(coordinating.get(address("trace", trace)))
    assert "in the wash: set it aside when it comes out" in page


def test_linens_in_enclosures_may_be_left_for_now(coordinating, trace, spread):
    coordinating.post(address("set_aside_linens", trace), {"once": uuid.uuid4()})
    spread["carrier"].refresh_from_db()
    spread["other"].refresh_from_db()
    assert (spread["carrier"].state, spread["other"].state) == (State.IN_USE, State.SET_ASIDE)


# --- Over, and open again ---


def test_it_is_over_with_a_reason_and_open_again(coordinating, trace):
    given = {"once": uuid.uuid4(), "on": "2027-03-10", "reason": "The vet found no ringworm."}
    coordinating.post(address("close_trace", trace), given)
    page = words(coordinating.get(address("trace", trace)))
    assert "The vet found no ringworm." in page
    assert 'name="done"' not in page
    coordinating.post(address("reopen_trace", trace), {"reason": "It came back."})
    assert 'name="done"' in words(coordinating.get(address("trace", trace)))


def test_what_is_met_after_it_was_over_is_not_listed(
    coordinating, trace, spot, pool, make_linen, day, coordinator
):
    trace.close(day(-1), "Over.", by=coordinator)
    late = make_linen(pool, spot.size)
    change(spot, late, day(0), by=coordinator)
    assert str(late) not in words(coordinating.get(address("trace", trace)))


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"on": "2027-03-11", "reason": "x"}, "is in the future"),
        ({"on": "2027-02-01", "reason": "x"}, "is before the suspicion began"),
        ({"on": "2027-03-10", "reason": ""}, "Enter the reason"),
    ],
)
def test_an_end_that_makes_no_sense_is_refused(coordinating, trace, given, sentence):
    answer = coordinating.post(address("close_trace", trace), given)
    assert answer.status_code == 422
    assert sentence in words(answer)


def test_the_list_tells_open_ones_from_those_that_are_over(coordinating, trace, coordinator, day):
    assert trace.code in words(coordinating.get(reverse("traces")))
    trace.close(day(0), "Over.", by=coordinator)
    assert trace.code not in words(coordinating.get(reverse("traces")))
    assert trace.code in words(coordinating.get(reverse("traces"), {"shown": "closed"}))


def test_the_list_takes_as_many_queries_for_twelve_as_for_three(
    coordinating, start, clover, django_assert_max_num_queries
):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    for _number in range(3):
        start(clover)
    with CaptureQueriesContext(connection) as few:
        coordinating.get(reverse("traces"))
    for _number in range(9):
        start(clover)
    with django_assert_max_num_queries(len(few)):
        coordinating.get(reverse("traces"))


# --- On paper ---


def test_the_paper_has_the_size_the_person_likes_and_each_box(
    coordinating, trace, coordinator, tmp_path
):
    coordinator.paper = "Letter"
    coordinator.save()
    paper = tmp_path / "trace.pdf"
    paper.write_bytes(coordinating.get(address("trace_pdf", trace)).content)
    pages = PdfReader(paper).pages
    # ANSI/ASME Y14.1: Letter is 8.5 by 11 inches; a point is 1/72 inch.
    assert [round(float(side)) for side in pages[0].mediabox[2:]] == [612, 792]
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert trace.code in text
    assert "No animal joins, leaves or moves until a vet has seen them." in text


# --- Where else it is told ---


def test_today_tells_the_coordinator_and_the_foster_of_it(coordinating, fostering, trace):
    assert "Clover and Thyme, since 28 February" in words(coordinating.get(reverse("today")))
    page = words(fostering.get(reverse("today")))
    assert "Something in your home had contact with it" in page
    assert address("trace", trace) in page


def test_the_foster_of_another_home_is_told_nothing(
    fostering, start, spread, wren, make_home, foster
):
    start(spread["basil"], since=spread["basil"].memberships.get().since)
    wren.people.remove(foster)
    make_home("Finch", people=[foster])
    assert "Suspected" not in words(fostering.get(reverse("today")))


def test_the_own_homes_page_tells_of_it(fostering, trace, wren):
    assert "Something in your home had contact with it" in words(
        fostering.get(address_of_home(wren))
    )


def test_who_moves_the_group_is_warned(coordinating, trace, clover, make_enclosure, wren):
    free = make_enclosure("South wall", wren)
    page = words(coordinating.get(reverse("move_group", args=[clover.code])))
    assert "Clover and Thyme met a suspected infection (ringworm" in page
    page = words(
        coordinating.get(reverse("move_group", args=[clover.code]), {"enclosure": free.code})
    )
    assert "Clover and Thyme met a suspected infection" in page


def test_who_moves_another_group_into_a_suspected_enclosure_is_warned(
    coordinating, trace, clover, north, make_group, make_animal, coordinator, day
):
    from habitats.animals.models.stays import leave

    leave(clover, day(-1), by=coordinator)
    dill = make_group(make_animal("Dill"))
    asked = {"enclosure": north.code}
    page = words(coordinating.get(reverse("move_group", args=[dill.code]), asked))
    assert "North wall met a suspected infection (ringworm" in page
    assert "Dill met" not in page


def address_of_home(home):
    return reverse("home_page", args=[home.code])
