"""The coordinator's pages of pools: the line, what is lacking, how it is washed, who draws."""

import uuid
from types import SimpleNamespace

import pytest
from django.urls import reverse

from habitats.linens.models.changes import change
from habitats.linens.models.linens import Linen, LinenKind
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import ChangePlan
from habitats.linens.pages.pool_tables import more_words
from habitats.readings.models.readings import Reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def home(make_home):
    return make_home("Wren")


@pytest.fixture
def pool(home, make_pool):
    return make_pool(home=home)


@pytest.fixture
def enclosure(home, make_enclosure, make_group, make_animal, day):
    enclosure = make_enclosure(home=home, plan=["##"])
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=day(-9))
    ChangePlan.objects.create(enclosure=enclosure, interval_days=2)
    return enclosure


@pytest.fixture
def spot(enclosure):
    return enclosure.spots.get()


@pytest.fixture
def page(coordinating, pool):
    return lambda: coordinating.get(reverse("pool_page", args=[pool.code])).content.decode()


SETUP = {
    "name": "The long cupboard",
    "wash_days": ["0", "5"],
    "loads_a_day": "3",
    "cotton_g": "7.5",
    "synthetic_percent": "50",
    "washing_days": "0",
    "drying_days": "1",
}


def test_where_nothing_is_yet_it_says_what_to_do_first(coordinating):
    text = coordinating.get(reverse("pools")).content.decode()

    assert text.index("Add a home") < text.index("what your linens are made of")
    assert text.index("what your linens are made of") < text.index("Add a pool")


def test_a_pool_without_linens_says_what_it_lacks(page):
    assert "each is given a label" in page()
    assert (
        "The homes of this pool have no enclosure with animals and places for linens yet." in page()
    )


def test_a_pool_without_homes_says_so(page, pool):
    pool.homes.update(pool=None)

    assert "No home takes its linens from this pool yet." in page()


def test_the_page_tells_the_day_it_runs_dry_and_who_waits(
    page, pool, spot, enclosure, make_linen, coordinator, day
):
    change(spot, make_linen(pool, spot.size), day(-1), by=coordinator)

    text = page()

    assert "Runs out on Thursday, 11 March." in text
    assert f"{enclosure.label}</a>, {spot.name}" in text


def test_what_to_buy_has_its_cut_size_by_what_was_measured(
    page, pool, spot, coordinating, make_kind
):
    kind = make_kind(name="Soft fleece", shrink_length=0)
    measured = {
        "before_length_mm": "1000",
        "after_length_mm": "950",
        "before_width_mm": "1000",
        "after_width_mm": "1000",
        "on": "2027-03-01",
    }
    coordinating.post(reverse("new_shrink_test", args=[kind.pk]), measured)

    text = page()

    # Reference values: to finish 1 400 mm at 5 % shrinkage 1 474 mm are cut; here by the same rule.
    cut = -(-spot.size.length_mm * 1000 // 950)
    grouped = f"{cut:,}".replace(",", "\xa0")
    assert f"{grouped}\xa0mm" in text
    assert "Soft fleece" in text


def test_a_narrower_roll_takes_more_of_it(coordinating, pool, spot, make_kind):
    make_kind()
    address = reverse("pool_page", args=[pool.code])
    wide, narrow = (
        coordinating.get(address, {"cloth": cloth}).context["buys"][0].cloth.running_mm
        for cloth in ("3000", "800")
    )
    assert wide < narrow


def test_goods_that_nobody_wrote_down_are_missed(page, spot):
    assert "there is no kind to make them of" in page()


def test_a_pool_with_enough_says_so(page, pool, spot, make_linen):
    for _ in range(5):
        make_linen(pool, spot.size)

    assert "Enough of every size." in page()
    assert "Lasts the next 42 days." in page()


def test_a_linen_close_to_its_last_wash_is_named(page, pool, spot, make_linen):
    linen = make_linen(pool, spot.size)
    Linen.objects.filter(pk=linen.pk).update(washes=98)

    assert f"{linen}</a>" in page()
    assert "2 washes left" in page()


def test_lengths_are_told_in_the_readers_units(coordinating, pool, spot, coordinator, make_kind):
    make_kind()
    coordinator.units = "inches"
    coordinator.save()

    text = coordinating.get(reverse("pool_page", args=[pool.code])).content.decode()

    assert "\xa0mm" not in text
    assert "\xa0in" in text


def test_a_new_pool_is_drawn_from_by_its_home(coordinating, home):
    answer = coordinating.post(reverse("new_pool"), {**SETUP, "home": home.pk})

    made = Pool.objects.get()
    assert answer.url == reverse("pool_page", args=[made.code])
    home.refresh_from_db()
    assert (home.pool, made.cotton_g, made.wash_weekdays) == (made, 7500, {0, 5})


def test_a_pool_without_a_wash_day_is_refused_and_nothing_is_lost(coordinating, home):
    sent = {name: value for name, value in SETUP.items() if name != "wash_days"}

    answer = coordinating.post(reverse("new_pool"), {**sent, "home": home.pk})

    assert answer.status_code == 422
    text = answer.content.decode()
    assert "Tick at least one wash day" in text
    assert 'value="The long cupboard"' in text


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("cotton_g", "heavy", "is not a mass"),
        ("cotton_g", "900", "900\xa0kg is not allowed. Enter 0.5\xa0kg to 200\xa0kg."),
        ("loads_a_day", "101", "Enter 100 or less"),
        ("synthetic_percent", "5", "Enter 10 or more"),
        ("name", "", "required"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field(coordinating, home, field, value, sentence):
    answer = coordinating.post(reverse("new_pool"), {**SETUP, "home": home.pk, field: value})

    assert answer.status_code == 422
    assert sentence in str(answer.context["form"].errors[field])


def test_how_it_is_washed_can_be_changed(coordinating, pool, home):
    coordinating.post(reverse("edit_pool", args=[pool.code]), {**SETUP, "home": home.pk})

    pool.refresh_from_db()
    assert (pool.name, pool.loads_a_day, pool.wash_weekdays) == ("The long cupboard", 3, {0, 5})


def test_a_programme_is_added_and_put_away(coordinating, pool):
    sent = {"name": "Boil", "temperature_c": "90", "minutes": "20"}
    coordinating.post(reverse("new_programme", args=[pool.code]), sent)
    made = pool.programmes.get(name="Boil")

    coordinating.post(reverse("put_programme_away", args=[pool.code, made.pk]))

    made.refresh_from_db()
    assert made.put_away_on is not None


def test_a_second_programme_of_one_name_is_refused(coordinating, pool):
    sent = {"name": "Hot", "temperature_c": "70", "minutes": "20"}
    answer = coordinating.post(reverse("new_programme", args=[pool.code]), sent)

    assert answer.status_code == 422
    assert "There is a programme" in answer.content.decode()


def test_another_home_draws_from_it_and_stops(coordinating, pool, make_home):
    other = make_home("Sparrow")
    coordinating.post(reverse("pool_homes", args=[pool.code]), {"home": other.pk})
    other.refresh_from_db()
    assert other.pool == pool

    coordinating.post(reverse("stop_drawing", args=[pool.code, other.code]))
    other.refresh_from_db()
    assert other.pool is None


def test_a_pool_that_is_drawn_from_is_not_closed(coordinating, pool):
    answer = coordinating.post(reverse("close_pool", args=[pool.code]), {"day": "2027-03-10"})

    assert answer.status_code == 422
    assert "Wren still takes its linens from this pool" in answer.content.decode()


def test_a_pool_with_linens_is_not_closed(coordinating, pool, home, spot, make_linen):
    make_linen(pool, spot.size)
    home.pool = None
    home.save()

    answer = coordinating.post(reverse("close_pool", args=[pool.code]), {"day": "2027-03-10"})

    assert "1 linen still belongs to this pool" in answer.content.decode()


def test_a_pool_is_closed_and_opened_again(coordinating, pool, home, today):
    home.pool = None
    home.save()
    coordinating.post(reverse("close_pool", args=[pool.code]), {"day": "2027-03-10"})
    pool.refresh_from_db()
    assert pool.closed_on == today

    coordinating.post(reverse("reopen_pool", args=[pool.code]))
    pool.refresh_from_db()
    assert pool.closed_on is None


@pytest.fixture
def send_linens(coordinating, pool, spot, make_linen, make_home, make_pool):
    other = make_pool("Across the yard", home=make_home("Other"))
    for _ in range(3):
        make_linen(pool, spot.size)

    def post(number, once=None):
        sent = {
            "once": once or uuid.uuid4(),
            "to": other.pk,
            "on": "2027-03-10",
            f"size-{spot.size_id}": number,
        }
        return coordinating.post(reverse("transfer_linens", args=[pool.code]), sent)

    return post


def test_clean_linens_go_to_another_pool_in_number(send_linens):
    idempotency_key = uuid.uuid4()
    assert send_linens("2", idempotency_key).status_code == 302
    send_linens("2", idempotency_key)

    assert Linen.objects.filter(pool__name="Across the yard").count() == 2


@pytest.mark.parametrize(
    ("number", "sentence"),
    [("4", "3 are clean. Enter that number or fewer."), ("", "No number is entered.")],
)
def test_a_transfer_that_cannot_be_is_told(send_linens, number, sentence):
    answer = send_linens(number)

    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not Linen.objects.filter(pool__name="Across the yard").exists()


def test_a_laundry_volunteer_sees_the_pool_and_no_form(client_of, laundry, pool, this_day):
    text = client_of(laundry).get(reverse("pool_page", args=[pool.code])).content.decode()

    assert "Close the pool" not in text
    assert reverse("edit_pool", args=[pool.code]) not in text


@pytest.mark.parametrize("enclosures", [3, 12])
def test_the_page_asks_the_same_few_questions_of_many_enclosures(
    enclosures,
    coordinating,
    pool,
    home,
    make_enclosure,
    make_group,
    make_animal,
    make_linen,
    make_kind,
    django_assert_max_num_queries,
    today,
):
    make_kind()
    for number in range(enclosures):
        one = make_enclosure(f"Wall {number}", home=home, plan=["#" * (2 + number % 3)])
        make_group(make_animal(f"Pip {number}"), enclosure=one)
        make_linen(pool, one.spots.first().size)
    list(Reading.objects.fresh(today))

    with django_assert_max_num_queries(34):
        answer = coordinating.get(reverse("pool_page", args=[pool.code]))
    assert answer.status_code == 200


@pytest.mark.parametrize("pools", [3, 12])
def test_the_list_asks_the_same_few_questions_of_many_pools(
    pools, coordinating, make_home, make_pool, make_linen, django_assert_max_num_queries
):
    from habitats.linens.models.spots import LinenSize

    for number in range(pools):
        made = make_pool(f"Cupboard {number}", home=make_home(f"Home {number}"))
        make_linen(made, LinenSize.of("liner", 700, 1400))
    assert LinenKind.objects.exists()
    with django_assert_max_num_queries(25):
        coordinating.get(reverse("pools"))
    with django_assert_max_num_queries(14):
        answer = coordinating.get(reverse("pools"))
    assert len(answer.context["cards"]) == min(pools, 12)


def test_nobody_is_tempted_to_guess_the_rating_of_a_machine(coordinating, make_home, text_of):
    make_home("Ash")
    page = coordinating.get("/pools/new/")

    assert page.context["form"]["cotton_g"].value() is None
    assert "off its plate inside the door, or in the manual" in text_of(page)


def test_without_linens_no_wash_day_is_advised_that_helps_nobody():
    forecast = SimpleNamespace(
        inputs=SimpleNamespace(needs=[1], days=42),
        par={1: 3},
        ahead=SimpleNamespace(shortages=[1, 2]),
    )
    useless = SimpleNamespace(par={1: 2}, shortages=2, weekday=4)
    useful = SimpleNamespace(par={1: 2}, shortages=1, weekday=4)
    assert len(more_words(forecast, useless)) == 1
    assert "It would leave 1 of 2 changes" in more_words(forecast, useful)[1]
