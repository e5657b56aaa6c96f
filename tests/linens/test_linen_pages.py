"""The coordinator's pages of linens: new ones, the list, one with its history."""

import uuid

import pytest
from django.urls import reverse

from habitats.linens.models.changes import stays_elsewhere
from habitats.linens.models.linens import Linen
from habitats.linens.models.spots import LinenSize, Spot
from habitats.rotation.states import State

pytestmark = pytest.mark.django_db


@pytest.fixture
def pool(make_home, make_pool):
    return make_pool(home=make_home())


@pytest.fixture
def kind(make_kind):
    return make_kind(shrink_length=50)


@pytest.fixture
def size(db):
    return LinenSize.of("liner", 700, 1400)


@pytest.fixture
def make_new(coordinating, pool, kind, size):
    def post(**changes):
        sent = {
            "once": uuid.uuid4(),
            "pool": pool.pk,
            "kind": kind.pk,
            "size": size.pk,
            "number": "3",
            "washed": "new",
            "on": "2027-03-10",
            **changes,
        }
        return coordinating.post(reverse("new_linens"), sent)

    return post


@pytest.fixture
def read(coordinating):
    return lambda linen: coordinating.get(
        reverse("linen_page", args=[linen.label])
    ).content.decode()


def test_new_linens_are_made_in_number_each_with_its_label(make_new):
    answer = make_new()

    assert answer.status_code == 302
    assert len(set(Linen.objects.values_list("label", flat=True))) == 3
    assert {one.state for one in Linen.objects.all()} == {State.NEW}


def test_sent_twice_they_are_made_once(make_new):
    once = uuid.uuid4()
    for _ in range(2):
        make_new(once=once)

    assert Linen.objects.count() == 3


def test_they_are_cut_so_that_the_finished_size_is_left(make_new):
    make_new(number="1")

    # Reference values: to finish 1 400 mm at 5 % shrinkage cut 1 474 mm.
    linen = Linen.objects.get()
    assert (linen.cut_width_mm, linen.cut_length_mm) == (700, 1474)


def test_a_towel_is_cut_as_it_is_before_folding(make_new, make_kind):
    terry = make_kind(name="Terry", sort="towel", layers=4)
    towel = LinenSize.of("towel", 200, 900)

    make_new(kind=terry.pk, size=towel.pk, number="1")

    assert Linen.objects.get().cut_width_mm == 800


def test_linens_that_were_washed_before_are_clean_and_fit(make_new, read):
    make_new(washed="washed", number="1")

    linen = Linen.objects.get()
    assert (linen.state, linen.is_oversize) == (State.CLEAN, False)
    assert "washed before it came" in read(linen)


def test_a_size_of_their_own_is_made(make_new):
    make_new(size="", width_mm="300", length_mm="50 cm", number="1")

    assert Linen.objects.get().size == LinenSize.of("liner", 300, 500)


@pytest.mark.parametrize(
    ("changes", "field", "sentence"),
    [
        ({"size": ""}, "size", "Choose a size, or enter a width and a length"),
        ({"size": "", "width_mm": "300"}, "size", "Choose a size, or enter a width"),
        ({"width_mm": "300", "length_mm": "400"}, "size", "not both"),
        ({"size": "", "width_mm": "x", "length_mm": "400"}, "width_mm", "is not a length"),
        ({"number": "0"}, "number", "Enter a whole number from 1 to 200."),
        ({"number": "201"}, "number", "Enter a whole number from 1 to 200."),
        ({"number": ""}, "number", "Enter a whole number from 1 to 200."),
        ({"on": "2027-03-11"}, "on", "is in the future"),
    ],
)
def test_new_linens_that_cannot_be_are_told_beside_the_field(make_new, changes, field, sentence):
    answer = make_new(**changes)

    assert answer.status_code == 422
    assert sentence in str(answer.context["form"].errors[field])
    assert not Linen.objects.exists()


def test_a_size_of_another_sort_is_told(make_new):
    answer = make_new(size=LinenSize.of("towel", 200, 900).pk)

    sentence = str(answer.context["form"].errors["size"])
    assert "Two layers of fleece is used as: Liner. This size is for: Towel." in sentence


def test_the_form_is_filled_in_from_what_the_pool_lacks(coordinating, pool, kind, size):
    asked = {"pool": pool.code, "size": size.pk, "kind": kind.pk, "number": 7}
    form = coordinating.get(reverse("new_linens"), asked).context["form"]

    assert form["pool"].value() == pool.pk
    assert (form["number"].value(), form["size"].value()) == ("7", str(size.pk))


def test_without_a_kind_new_linens_say_what_to_do_first(coordinating):
    text = coordinating.get(reverse("new_linens")).content.decode()
    assert "Before you add linens, describe what they are made of." in text


def test_a_new_linen_says_that_it_is_larger_than_it_will_be(make_new, read):
    make_new(number="1")

    text = read(Linen.objects.get())

    assert "Cut oversize" in text
    assert "74\xa0mm longer" in text


def test_the_list_finds_by_the_beginning_of_a_label(coordinating, pool, size, make_linen):
    wanted, other = make_linen(pool, size), make_linen(pool, size)
    typed = str(wanted).lower()

    found = coordinating.get(reverse("linens"), {"words": typed}).context["page"].object_list

    assert wanted in found
    assert other not in found


@pytest.mark.parametrize("name", ["pool", "size", "kind", "state"])
def test_the_list_is_narrowed_by_each_filter(
    name, coordinating, pool, size, make_linen, make_home, make_pool
):
    wanted = make_linen(pool, size)
    elsewhere = make_pool("Elsewhere", home=make_home("Other"))
    make_linen(elsewhere, LinenSize.of("towel", 200, 900), state="soiled")
    value = {"pool": pool.pk, "size": size.pk, "kind": wanted.kind.pk, "state": "clean"}[name]

    found = coordinating.get(reverse("linens"), {name: value}).context["page"].object_list

    assert list(found) == [wanted]


def test_retired_ones_are_found_only_when_asked_for(
    coordinating, pool, size, make_linen, coordinator, day
):
    linen = make_linen(pool, size)
    linen.set_state(State.RETIRED, day(0), by=coordinator)

    def found(**asked):
        return list(coordinating.get(reverse("linens"), asked).context["page"].object_list)

    assert found() == []
    assert found(state="retired") == [linen]


def test_a_page_tells_all_that_happened(pool, size, make_linen, coordinator, day, read):
    linen = make_linen(pool, size)
    linen.set_state(State.MENDING, day(-3), by=coordinator, note="A seam is open")
    stays_elsewhere(linen, None, day(-2), by=coordinator)

    text = read(linen)

    assert "A seam is open" in text
    assert "7 Mar 2027" in text
    assert "Scanned elsewhere" in text


def test_one_set_aside_says_what_still_releases_it_and_the_source(
    pool, size, make_linen, coordinator, day, read
):
    linen = make_linen(pool, size)
    linen.set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion="ringworm")

    text = read(linen)

    assert "it still takes 2 washes" in text
    assert "/sources/#wash_ringworm" in text


@pytest.fixture
def set_state(coordinating):
    def post(linen, state, **more):
        sent = {"once": uuid.uuid4(), "state": state, "on": "2027-03-10", **more}
        return coordinating.post(reverse("say_of_linen", args=[linen.label]), sent)

    return post


@pytest.mark.parametrize("state", ["soiled", "mending", "lost", "retired"])
def test_a_coordinator_says_what_became_of_it(state, set_state, pool, size, make_linen):
    linen = make_linen(pool, size)

    assert set_state(linen, state, note="seen").status_code == 302
    linen.refresh_from_db()
    assert linen.state == state


def test_a_lost_one_is_found_again(set_state, pool, size, make_linen):
    linen = make_linen(pool, size)
    set_state(linen, "lost")
    set_state(linen, "soiled")

    linen.refresh_from_db()
    assert linen.state == State.SOILED


def test_a_day_before_it_was_last_seen_is_told(set_state, pool, size, make_linen, day):
    linen = make_linen(pool, size, on=day(-1))

    answer = set_state(linen, "soiled", on="2027-03-01")

    assert answer.status_code == 422
    assert "is before" in answer.content.decode()


def test_what_cannot_follow_is_not_taken(set_state, pool, size, make_linen):
    linen = make_linen(pool, size)
    answer = set_state(linen, "washing")

    assert answer.status_code == 422
    linen.refresh_from_db()
    assert linen.state == State.CLEAN


def test_a_retired_one_has_no_more_forms(set_state, pool, size, make_linen, read):
    linen = make_linen(pool, size)
    set_state(linen, "retired")

    assert "Say what it is" not in read(linen)


def test_one_linen_goes_to_another_pool(coordinating, pool, size, make_linen, make_home, make_pool):
    linen = make_linen(pool, size)
    other = make_pool("Elsewhere", home=make_home("Other"))
    sent = {"once": uuid.uuid4(), "to": other.pk, "on": "2027-03-10"}
    address = reverse("move_linen", args=[linen.label])
    for _ in range(2):
        coordinating.post(address, sent)

    linen.refresh_from_db()
    assert linen.pool == other
    assert linen.events.filter(pool=other).count() == 1


@pytest.mark.parametrize("linens", [3, 12])
def test_the_list_asks_the_same_few_questions_of_many(
    linens, coordinating, pool, size, make_linen, django_assert_max_num_queries
):
    for _ in range(linens):
        make_linen(pool, size)
    with django_assert_max_num_queries(12):
        assert len(coordinating.get(reverse("linens")).context["page"]) == linens


def test_sizes_of_the_homes_of_a_pool_are_offered_first(
    coordinating, make_home, make_pool, make_enclosure
):
    near, far = make_home("Wren"), make_home("Finch")
    make_enclosure("Nook", near, plan=("##", "##"))
    for label in ("Left", "Right"):
        make_enclosure(label, far, plan=("####", "####"))
    Spot.objects.lay_missing()
    wrens = make_pool("Wren's cupboard", near)
    page = coordinating.get("/linens/new/", {"pool": wrens.code})
    first = page.context["form"].fields["size"].queryset[0]
    assert first.spots.get().enclosure.label == "Nook"
    assert page.context["sizes"][0].size == first
