"""What goes into the machine: what waits, and for those set aside a wash that releases them.

Ringworm: two washes of 14 min or more, each at 60 °C or more (J Feline Med Surg 2016;18:457 and
J Fungi 2022;8:546). Another infection: 65 °C for 10 min, or 71 °C for 3 (HTM 01-04).
"""

import uuid

import pytest
from django.urls import reverse

from habitats.linens.models.loads import Load
from habitats.linens.models.spots import LinenSize
from habitats.rotation.states import State

pytestmark = pytest.mark.django_db


@pytest.fixture
def pool(make_home, make_pool):
    """Washed on Mondays and Thursdays; today is a Wednesday. The machine takes 5 kg of cotton."""
    pool = make_pool(home=make_home(), cotton_g=5000)
    pool.programmes.create(name="Boil", temperature_c=90, minutes=30)
    return pool


@pytest.fixture
def size():
    return LinenSize.of("liner", 700, 1400)


@pytest.fixture
def soiled(make_linen, pool, size):
    """`soiled(3)`: liners of two layers of fleece, 588 g each, which count as 1176 g of cotton."""
    return lambda number: [make_linen(pool, size, state="soiled") for _ in range(number)]


@pytest.fixture
def apart(soiled, day, coordinator):
    """`apart("ringworm", 2)`: so many set aside for it."""

    def make(suspicion, number):
        linens = soiled(number)
        for linen in linens:
            linen.set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion=suspicion)
        return linens

    return make


@pytest.fixture
def machine(washing, pool):
    """The page on which the machine is filled, for everyday linens or those set aside."""

    def get(apart=""):
        address = reverse("new_load", args=[pool.code]) + (f"?apart={apart}" if apart else "")
        return washing.get(address)

    return get


@pytest.fixture
def fill(washing, pool):
    def post(linens, name, washes=1, apart="yes", **given):
        programme = pool.programmes.get(name=name).pk
        sent = {
            "once": uuid.uuid4(),
            "on": "2027-03-10",
            "linens": [one.label for one in linens],
            "programme": programme if washes == 1 else f"{programme}-{washes}",
            **given,
        }
        return washing.post(reverse("new_load", args=[pool.code]) + f"?apart={apart}", sent)

    return post


@pytest.fixture
def step(washing):
    def post(load, what, linens, **given):
        sent = {"once": uuid.uuid4(), "step": what, "on": "2027-03-10", **given}
        labels = [one.label for one in linens]
        return washing.post(reverse("load", args=[load.code]), {**sent, "linens": labels})

    return post


def ticked(page):
    return set(page.context["form"]["linens"].value())


# --- Filled with what waits ---


def test_the_machine_is_filled_with_what_waits_up_to_its_rating(machine, soiled):
    """Five of 1176 g are 5.88 kg of the 5 kg that it takes: four go in."""
    linens = soiled(5)

    assert ticked(machine()) == {one.label for one in linens[:4]}


def test_it_is_filled_where_no_wash_is_planned_at_all(machine, soiled, pool):
    pool.weekdays = 0
    pool.save()
    linens = soiled(2)

    assert ticked(machine()) == {one.label for one in linens}


def test_what_the_plan_washes_first_goes_in_first(
    machine, soiled, pool, size, make_enclosure, make_group, make_animal, make_linen, today
):
    """Four liners of a size nobody needs wait longest; the one that an enclosure needs is planned.

    It weighs less, so the machine takes it and three or four of the others.
    """
    soiled(5)
    enclosure = make_enclosure(home=pool.home)
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure)
    wanted = make_linen(pool, enclosure.spots.first().size, state="soiled", on=today)

    assert wanted.label in ticked(machine())


def test_what_may_not_be_washed_together_is_never_ticked_together(machine, apart, soiled):
    everyday, ringworm, other = soiled(1), apart("ringworm", 1), apart("other", 1)

    assert ticked(machine()) == {everyday[0].label}
    assert ticked(machine("ringworm")) == {ringworm[0].label}
    assert ticked(machine("other")) == {other[0].label}


def test_those_set_aside_for_something_else_are_a_link(machine, apart):
    apart("ringworm", 2)
    apart("other", 1)

    page = machine("yes").content.decode()

    assert page.count('type="checkbox"') == 2
    assert "Set aside for an infection other than ringworm (1)" in page


def test_a_soiled_linen_that_is_still_suspected_waits_with_those_set_aside(
    machine, apart, day, coordinator
):
    (linen,) = apart("ringworm", 1)
    linen.set_state(State.SOILED, day(0), by=coordinator)

    assert ticked(machine("ringworm")) == {linen.label}


# --- A wash that releases what is set aside ---


def test_washes_that_release_what_is_set_aside_come_first_and_are_marked(machine, apart):
    apart("ringworm", 1)

    offers = machine("yes").context["form"].offers

    assert [(str(one.programme.name), one.washes, one.releases) for one in offers] == [
        ("Hot", 2, True),
        ("Boil", 2, True),
        ("Hot", 1, False),
        ("Boil", 1, False),
        ("Everyday", 1, False),
    ]
    words = machine("yes").content.decode()
    assert words.index("two washes in a row") < words.index("Everyday")
    assert words.count("Releases them") == 2


def test_a_wash_that_releases_is_chosen_already(machine, apart, pool):
    apart("other", 1)

    form = machine("yes").context["form"]

    assert form["programme"].value() == str(pool.programmes.get(name="Boil").pk)


def test_after_a_first_wash_one_more_releases(machine, fill, step, apart, pool):
    linens = apart("ringworm", 1)
    fill(linens, "Hot", short="on")
    load = Load.objects.get()
    for what in ("out", "dry", "back"):
        step(load, what, linens)

    offers = machine("yes").context["form"].offers

    assert [(one.programme.name, one.washes) for one in offers if one.releases] == [
        ("Hot", 1),
        ("Boil", 1),
    ]


def test_any_other_wash_is_asked_about_first(fill, apart):
    linens = apart("ringworm", 2)

    asked = fill(linens, "Everyday")

    assert asked.status_code == 422
    assert "This wash does not release these linens." in asked.content.decode()
    assert "Ask a vet when unsure" in asked.content.decode()
    assert not Load.objects.exists()
    assert fill(linens, "Everyday", short="on").status_code == 302


def test_a_wash_that_releases_some_says_how_many_it_does_not(fill, step, apart):
    first, _second = linens = apart("ringworm", 2)
    fill([first], "Hot", short="on")
    load = Load.objects.get()
    for what in ("out", "dry", "back"):
        step(load, what, [first])

    asked = fill(linens, "Hot")

    assert asked.status_code == 422
    assert "does not release 1 of the 2 linens" in asked.content.decode()


def test_those_set_aside_that_are_typed_by_themselves_are_asked_about_too(fill, apart):
    (linen,) = apart("ringworm", 1)

    asked = fill([], "Everyday", apart="", typed=str(linen))

    assert asked.status_code == 422
    assert "Start this wash anyway" in asked.content.decode()


def test_two_washes_in_a_row_are_not_asked_about_and_release(fill, step, apart):
    linens = apart("ringworm", 2)

    assert fill(linens, "Hot", washes=2).status_code == 302
    load = Load.objects.get()
    step(load, "out", linens, washes="2")
    step(load, "dry", linens)
    told = step(load, "back", linens)

    assert {one.state for one in load.linens()} == {State.CLEAN}
    assert {one.washes for one in load.linens()} == {2}
    assert "2 linens are released" in told.client.get(told.url).content.decode()


def test_one_wash_of_two_that_were_meant_releases_nothing(fill, step, apart):
    linens = apart("ringworm", 1)
    fill(linens, "Hot", washes=2)
    load = Load.objects.get()

    step(load, "out", linens, washes="1")
    for what in ("dry", "back"):
        step(load, what, linens)

    assert {one.state for one in load.linens()} == {State.SET_ASIDE}
    assert {one.washes for one in load.linens()} == {1}


def test_what_was_meant_is_the_first_button_and_the_other_is_there(washing, fill, apart):
    fill(apart("ringworm", 1), "Hot", washes=2)

    page = washing.get(reverse("load", args=[Load.objects.get().code])).content.decode()

    assert page.index("Take out after 2 washes") < page.index("Take out after 1 wash")
    assert "What a vet says comes first" in page


def test_a_pool_without_a_programme_that_releases_says_so(machine, apart, pool):
    apart("ringworm", 1)
    pool.programmes.filter(temperature_c__gte=60).delete()

    page = machine("yes").content.decode()

    assert "No programme of this pool releases them" in page


def test_a_pool_without_any_programme_says_whom_to_ask(machine, apart, pool):
    apart("ringworm", 1)
    pool.programmes.all().delete()

    for which in ("", "yes"):
        assert "Ask a coordinator to add one." in machine(which).content.decode()


def test_a_programme_that_is_none_is_told_beside_the_field(washing, apart, pool):
    (linen,) = apart("ringworm", 1)
    for given in ("9" * 30, "9-9", "x-2", ""):
        answer = washing.post(
            reverse("new_load", args=[pool.code]) + "?apart=yes",
            {"once": uuid.uuid4(), "on": "2027-03-10", "programme": given, "linens": linen.label},
        )
        assert answer.status_code == 422
        assert "Choose the programme that the machine runs" in answer.content.decode()


def test_two_washes_in_a_row_are_two_to_a_trace(fill, step, apart, day, today):
    from habitats.traces.models.tracing import _washings

    linens = apart("ringworm", 1)
    fill(linens, "Hot", washes=2)
    load = Load.objects.get()
    step(load, "out", linens, washes="2")

    assert [(one.load, one.linens) for one in _washings(day(-1), today)] == [
        (load.code, (linens[0].label,))
    ] * 2


@pytest.mark.parametrize("linens", [3, 12])
def test_it_asks_the_same_few_questions_of_many_linens(
    linens, machine, apart, django_assert_max_num_queries
):
    apart("ringworm", linens)
    machine("yes")  # the forecast is kept
    with django_assert_max_num_queries(30):
        machine("yes")
