"""The laundry's pages: what to wash, loads in, out, dried and back, measuring, setting aside."""

import re
import uuid

import pytest
from django.urls import reverse

from habitats.linens.models.loads import Load
from habitats.linens.models.shrinkage import ShrinkTest
from habitats.linens.models.spots import LinenSize
from habitats.linens.views.laundry import POOLS_A_PAGE
from habitats.rotation.states import State

pytestmark = pytest.mark.django_db


@pytest.fixture
def pool(make_home, make_pool):
    return make_pool(home=make_home(), cotton_g=5000)


@pytest.fixture
def size():
    return LinenSize.of("liner", 700, 1400)


@pytest.fixture
def soiled(make_linen, pool, size):
    """Three liners of two layers of fleece, 588 g each, which count as 1176 g of cotton."""
    return [make_linen(pool, size, state="soiled") for _ in range(3)]


@pytest.fixture
def fill(washing, pool):
    def post(linens=(), *, programme="Everyday", apart=False, on="2027-03-10", **given):
        address = reverse("new_load", args=[pool.code]) + ("?apart=yes" if apart else "")
        sent = {
            "once": uuid.uuid4(),
            "on": on,
            "programme": pool.programmes.get(name=programme).pk,
            "linens": [one.label for one in linens],
            **given,
        }
        return washing.post(address, sent)

    return post


@pytest.fixture
def step(washing):
    def post(load, what, linens, once=None):
        sent = {"once": once or uuid.uuid4(), "step": what, "on": "2027-03-10"}
        return washing.post(
            reverse("load", args=[load.code]), {**sent, "linens": [one.label for one in linens]}
        )

    return post


def test_the_laundry_says_what_waits_and_when_is_washed(washing, soiled):
    page = washing.get(reverse("laundry")).content.decode()

    assert '<span class="figure">3</span> to wash' in page
    assert "Next wash on Thursday, 11 March" in page


def test_what_the_plan_would_wash_is_ticked(washing, pool, soiled):
    form = washing.get(reverse("new_load", args=[pool.code])).context["form"]

    assert set(form["linens"].value()) == {one.label for one in soiled}


def test_a_load_goes_in_out_dries_and_comes_back(fill, step, soiled):
    fill(soiled)
    load = Load.objects.get()

    for what in ("out", "dry", "back"):
        assert step(load, what, soiled).status_code == 302

    assert {one.state for one in load.linens()} == {State.CLEAN}


def test_some_of_a_load_go_on_and_others_stay(fill, step, soiled):
    fill(soiled)
    load = Load.objects.get()

    step(load, "out", soiled[:1])

    assert [one.state for one in load.linens()].count(State.DRYING) == 1
    assert load.still(State.WASHING) != []


def test_a_step_tapped_twice_happens_once(fill, step, soiled):
    fill(soiled)
    load, idempotency_key = Load.objects.get(), uuid.uuid4()

    for _ in range(2):
        assert step(load, "out", soiled, idempotency_key).status_code == 302

    assert load.events.filter(state=State.DRYING).count() == len(soiled)


def test_the_page_of_a_load_brings_what_makes_its_steps_happen_once(washing, fill, soiled):
    fill(soiled)
    address = reverse("load", args=[Load.objects.get().code])

    found = re.search(r'name="once" value="([^"]+)"', washing.get(address).content.decode())

    assert found
    assert uuid.UUID(found[1])


def test_linens_still_in_the_machine_cannot_come_back(fill, step, soiled):
    fill(soiled)
    load = Load.objects.get()

    step(load, "back", soiled)

    assert {one.state for one in load.linens()} == {State.WASHING}


def test_a_load_that_is_too_heavy_is_asked_about_once(fill, make_linen, pool, size):
    """Five of 588 g of fleece count as 5.88 kg of cotton at half the rating; rated are 5 kg."""
    linens = [make_linen(pool, size, state="soiled") for _ in range(5)]

    refused = fill(linens)
    taken = fill(linens, is_heavy="on")

    assert refused.status_code == 422
    assert "counts as 5.88\xa0kg of dry cotton" in refused.content.decode()
    assert taken.status_code == 302


def test_an_empty_load_is_told_beside_the_field(fill, soiled):
    answer = fill()

    assert answer.status_code == 422
    assert "Nothing is ticked" in answer.content.decode()


def test_a_typed_label_goes_in_with_the_others(fill, soiled):
    fill(soiled[:1], typed=f"{soiled[1]}, {str(soiled[2]).lower()}")

    assert Load.objects.get().linens().count() == 3


def test_a_label_typed_wrong_starts_no_load(fill, soiled):
    answer = fill(soiled, typed="2222-2")

    assert answer.status_code == 422
    assert not Load.objects.exists()


def test_a_linen_set_aside_that_is_typed_into_an_everyday_load_is_refused(
    fill, soiled, coordinator, day
):
    soiled[0].set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion="ringworm")

    answer = fill(soiled[1:], typed=str(soiled[0]))

    assert answer.status_code == 422
    assert "never with everyday linens" in answer.content.decode()
    assert not Load.objects.exists()


def test_set_aside_linens_say_what_the_programme_has_to_do(washing, pool, soiled, coordinator, day):
    soiled[0].set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion="ringworm")

    page = washing.get(reverse("new_load", args=[pool.code]) + "?apart=yes").content.decode()

    assert "2 washes, each at 60 °C or more for at least 14 min" in page
    assert "What a vet says comes first" in page


def test_a_cool_wash_of_set_aside_linens_says_what_is_still_missing(
    fill, step, soiled, coordinator, day
):
    apart = soiled[0]
    apart.set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion="ringworm")
    fill([apart], apart=True, short="on")
    load = Load.objects.get()
    for what in ("out", "dry"):
        step(load, what, [apart])

    answer = step(load, "back", [apart])

    page = answer.client.get(answer.url).content.decode()
    assert "Not released from ringworm: it still takes 2 washes" in page
    apart.refresh_from_db()
    assert apart.state == State.SET_ASIDE


def test_a_day_in_the_future_starts_no_load(fill, soiled):
    assert fill(soiled, on="2027-03-11").status_code == 422


def test_a_new_linen_is_measured_after_its_first_wash(washing, fill, step, make_linen, pool, size):
    """ISO 5077: (after − before) / before × 100; 1 474 to 1 400 mm is −5.0 %."""
    new = make_linen(pool, size, state="new", washed=False, cut=(737, 1474))
    fill([new])
    load = Load.objects.get()
    for what in ("out", "dry", "back"):
        step(load, what, [new])

    answer = washing.post(
        reverse("measure_linen", args=[new.label]),
        {
            "once": uuid.uuid4(),
            "on": "2027-03-10",
            "before_width_mm": "737 mm",
            "before_length_mm": "1474 mm",
            "after_width_mm": "700 mm",
            "after_length_mm": "1400 mm",
        },
    )

    new.refresh_from_db()
    assert new.state == State.CLEAN
    assert ShrinkTest.objects.get().after_length_mm == 1400
    assert "−5.0" in answer.client.get(answer.url).content.decode()


def test_before_and_after_exchanged_is_told_beside_the_field(washing, make_linen, pool, size):
    new = make_linen(pool, size)
    answer = washing.post(
        reverse("measure_linen", args=[new.label]),
        {
            "once": uuid.uuid4(),
            "on": "2027-03-10",
            "before_width_mm": "500 mm",
            "before_length_mm": "1400 mm",
            "after_width_mm": "700 mm",
            "after_length_mm": "1400 mm",
        },
    )

    assert answer.status_code == 422
    assert "check that before and after are not swapped" in answer.content.decode()


@pytest.mark.parametrize("pools", [3, 12])
def test_the_laundry_asks_the_same_few_questions_of_many_pools(
    pools, washing, make_home, make_pool, make_linen, size, django_assert_max_num_queries
):
    for number in range(pools):
        pool = make_pool(f"Cupboard {number}", home=make_home(f"Home {number}"))
        linen = make_linen(pool, size, state="soiled")
        Load.objects.start(pool, [linen], pool.programmes.first(), linen.since, by=linen.made_by)
    with django_assert_max_num_queries(24):
        assert washing.get(reverse("laundry")).status_code == 200
    with django_assert_max_num_queries(12):
        assert washing.get(reverse("laundry")).status_code == 200, "forecasts are kept"


def test_a_link_to_a_pool_opens_the_page_of_the_laundry_that_has_it(washing, make_home, make_pool):
    home = make_home()
    pools = [make_pool(f"Cupboard {number:02}", home=home) for number in range(POOLS_A_PAGE + 1)]

    def shown(**asked):
        return [one.pool for one in washing.get(reverse("laundry"), asked).context["pools"]]

    assert shown(pool=pools[-1].code) == pools[-1:]
    assert shown(pool="NOSUCH") == shown() == pools[:-1]


def test_where_pools_are_many_one_is_found_by_its_name(washing, make_home, make_pool):
    home = make_home()
    pools = [make_pool(f"Cupboard {number:02}", home=home) for number in range(POOLS_A_PAGE + 1)]

    def shown(words):
        return [
            one.pool for one in washing.get(reverse("laundry"), {"words": words}).context["pools"]
        ]

    assert shown("cupboard 03") == [pools[3]]
    assert shown("nowhere") == []
    none = washing.get(reverse("laundry"), {"words": "nowhere"}).content.decode()
    assert "No pool matches your search." in none
    assert 'value="nowhere"' in none


def test_of_many_loads_the_first_three_are_seen_and_the_others_opened(
    washing, pool, size, make_linen, coordinator, day
):
    for _number in range(5):
        linen = make_linen(pool, size, state=State.SOILED)
        Load.objects.start(pool, [linen], pool.programmes.first(), day(0), by=coordinator)

    page = washing.get(reverse("laundry")).content.decode()

    before, folded = page.split("<details><summary>")
    assert before.count('class="is-due"') == 3
    assert "2 more loads" in folded
    assert folded.count('class="is-due"') == 2


def test_what_was_just_soiled_is_planned_at_once(washing, pool, size, make_linen, coordinator, day):
    linen = make_linen(pool, size)
    before = washing.get(reverse("laundry")).context["pools"][0].planned

    linen.set_state(State.SOILED, day(0), by=coordinator)

    (planned,) = washing.get(reverse("laundry")).context["pools"][0].planned
    assert before == ()
    assert planned.linens == 1
