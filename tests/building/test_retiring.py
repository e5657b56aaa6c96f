"""Retiring an enclosure: counted into the store, linens out, and it stands nowhere any more."""

import uuid
from datetime import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.building.models.altering import plan_alteration
from builds.building.models.retiring import parts_back
from builds.making.pace import LEAST_STEPS, MOST_PERCENT
from builds.store.models.offcuts import Offcut
from builds.store.models.stock import Movement, Stock
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.linens.models.changes import change
from habitats.rescue.models.rescue import Rescue
from habitats.rotation.states import State as LinenState
from habitats.structure.lattice import Side
from tests.support.designs import make_design, ramp_from
from tests.support.sheets import make_kind, make_place
from tests.support.store import make_item

pytestmark = pytest.mark.django_db

# A 2 × 4 enclosure one panel high: by hand, 12 walls round it and no floor of panels.
WALLS = 12


@pytest.fixture
def home(make_home, make_pool):
    home = make_home()
    make_pool(home=home)
    return home


@pytest.fixture
def enclosure(make_enclosure, home):
    return make_enclosure(home=home, plan=("####", "####"))


@pytest.fixture
def panel():
    return make_item()


@pytest.fixture
def rack():
    return make_place()


@pytest.fixture
def address(enclosure):
    return reverse("builds:retire_enclosure", args=[enclosure.code])


@pytest.fixture
def send(coordinating, address, today):
    """`send(count_0=…)`: the form posted, and where it leads if it is taken."""

    def post(**fields):
        usual = {"once": uuid.uuid4(), "on": today.isoformat()}
        return coordinating.post(address, usual | fields)

    return post


def test_the_page_says_what_it_gives_back_and_how(coordinating, address, panel, text_of):
    page = text_of(coordinating.get(address))

    assert f"<b>{WALLS}</b> × plain panel" in page
    assert "Take the animals out" in page
    assert "<svg" in page


def test_all_that_came_off_is_offered_in_the_place_where_most_of_it_lies(
    coordinating, address, panel, rack, coordinator
):
    from builds.store.models import movements

    movements.take_in(panel, make_place("Shed"), 3, by=coordinator)
    movements.take_in(panel, rack, 8, by=coordinator)

    form = coordinating.get(address).context["form"]

    assert form["count_0"].value() == WALLS
    assert form["place_0"].value() == rack.pk


def test_what_was_counted_lies_in_the_store(send, panel, rack, enclosure):
    answer = send(count_0=WALLS, place_0=rack.pk)

    assert answer.status_code == 302
    assert Stock.objects.get(item=panel, place=rack).on_hand == WALLS
    assert enclosure.code in Movement.objects.get().note


def test_fewer_may_be_counted(send, panel, rack):
    send(count_0=WALLS - 5, place_0=rack.pk)
    assert Stock.objects.get(item=panel).on_hand == WALLS - 5


def test_more_than_it_has_is_refused_beside_the_number(send, panel, rack, enclosure, text_of):
    answer = send(count_0=WALLS + 1, place_0=rack.pk)

    assert answer.status_code == 422
    assert f"{WALLS + 1} given. Give a whole number from 0 to {WALLS}." in text_of(answer)
    assert not Movement.objects.exists()
    assert enclosure.state_now() == EnclosureState.STANDING


@pytest.mark.parametrize("fields", [{"count_0": WALLS}, {"count_0": "0", "place_0": "rack"}])
def test_what_lies_nowhere_or_is_none_is_not_counted(send, panel, rack, fields, enclosure):
    send(**{key: rack.pk if value == "rack" else value for key, value in fields.items()})

    assert not Movement.objects.exists()
    assert enclosure.state_now() == EnclosureState.RETIRED


def test_it_stands_nowhere_any_more(send, enclosure):
    send()

    assert enclosure.state_now() == EnclosureState.RETIRED
    assert not enclosure.standings.open().exists()


def test_linens_in_its_spots_come_out_soiled(send, enclosure, home, make_linen, coordinator, day):
    spot = enclosure.spots.get()
    linen = make_linen(home.pool, spot.size)
    change(spot, linen, day(-10), by=coordinator)

    send()

    linen.refresh_from_db()
    assert (linen.state, linen.spot) == (LinenState.SOILED, None)


def test_offcuts_are_stored_with_labels_that_are_shown(send, coordinating, address, rack, text_of):
    kind = make_kind()

    send(keep=["0"], kind=kind.pk, flutes="long", offcut_place=rack.pk)

    kept = Offcut.objects.get()
    # The tray's floor of 2 × 4 cells is twice as long as wide; flutes run along the height.
    assert (kept.kind, kept.place, kept.height_mm) == (kind, rack, 2 * kept.width_mm)
    assert kept.label in text_of(coordinating.get(address))


def test_flutes_along_the_short_side_turn_the_offcut(send):
    send(keep=["0"], kind=make_kind().pk, flutes="short")

    kept = Offcut.objects.get()
    assert kept.width_mm == 2 * kept.height_mm


def test_an_offcut_of_no_known_sheet_is_refused_beside_the_sheet(send, text_of):
    make_kind()
    answer = send(keep=["0"])

    assert answer.status_code == 422
    assert "Choose the kind of sheet that the offcuts are from." in text_of(answer)


def test_a_store_without_sheets_says_so_and_keeps_no_offcut(coordinating, address, text_of):
    assert "the store has no sheet yet" in text_of(coordinating.get(address))


def test_the_same_key_again_changes_nothing(send, panel, rack):
    once, kind = uuid.uuid4(), make_kind()
    for _ in range(2):
        answer = send(once=once, count_0=WALLS, place_0=rack.pk, keep=["0"], kind=kind.pk)
        assert answer.status_code == 302

    assert Movement.objects.count() == Offcut.objects.count() == 1


def test_one_that_is_retired_is_not_retired_again(send, panel, rack, text_of):
    send(count_0=3, place_0=rack.pk)
    answer = send(count_0=3, place_0=rack.pk)

    assert answer.status_code == 422
    assert "North wall is retired already, since 10 March 2027." in text_of(answer)
    assert Movement.objects.count() == 1


def test_while_a_group_lives_there_it_leads_to_moving_it(
    send, enclosure, make_group, make_animal, text_of
):
    group = make_group(make_animal("Pip"), make_animal("Nut"), enclosure=enclosure)
    answer = send()

    assert answer.status_code == 422
    words = text_of(answer)
    assert (
        "Animals live in North wall: Nut and Pip. Move them out before you take it down." in words
    )
    assert "Move Nut and Pip" in words
    assert str(group) not in words
    assert reverse("move_group", args=[group.code]) in words
    assert enclosure.state_now() == EnclosureState.IN_USE


def test_while_a_build_is_at_work_on_it_nothing_is_taken_down(
    send, enclosure, coordinator, today, text_of
):
    target = Design.objects.draw(make_design(("####", "####", "####")), by=coordinator)
    build = plan_alteration(enclosure, target, by=coordinator, on=today)
    answer = send()

    assert answer.status_code == 422
    assert f"({build.code}) is in progress for North wall." in text_of(answer)
    assert enclosure.state_now() == EnclosureState.STANDING


def test_one_that_is_only_planned_has_nothing_to_take_down(coordinating, make_enclosure, text_of):
    planned = make_enclosure(state="planned", label="Loft")
    page = coordinating.get(reverse("builds:retire_enclosure", args=[planned.code]))

    assert "Loft is only planned, so there is nothing to take down." in text_of(page)


def test_a_day_before_it_stood_is_refused_beside_the_day(send, panel, rack, day, text_of):
    answer = send(on=day(-301).isoformat(), count_0=WALLS, place_0=rack.pk)

    assert answer.status_code == 422
    assert "Enter that day or a later one." in str(answer.context["form"].errors["on"])
    assert not Movement.objects.exists()


def test_worked_panels_are_not_counted_as_plain_ones(make_enclosure):
    make_item()
    back = _back_of(make_enclosure)

    assert back["plain-panel"].item is not None
    assert back["doorway-panel"].item is None
    assert back["panel-to-bend"].item is None


def test_worked_panels_are_counted_where_the_store_has_an_item_for_them(make_enclosure):
    made = make_item(kind="doorway", name="Cut by Marek")
    assert _back_of(make_enclosure)["doorway-panel"].item == made


def test_what_has_no_item_is_said_not_to_be_counted(coordinating, make_enclosure, text_of):
    make_item()
    ramped = _ramped(make_enclosure)
    page = text_of(coordinating.get(reverse("builds:retire_enclosure", args=[ramped.code])))

    assert "Doorway panel, 355 mm, 9 squares a side" in page
    assert "thrown away; pick up every end" in page


def test_the_times_of_the_work_are_kept_and_shown_beside_the_estimate(
    send, coordinating, address, enclosure, day, text_of
):
    answer = send(on=day(-1).isoformat(), begun="14:00", ended="15:10")

    assert answer.status_code == 302
    event = enclosure.events.latest("pk")
    assert (event.on, event.minutes_used) == (day(-1), 70)
    page = text_of(coordinating.get(address))
    assert "Taken down from 14:00 to 15:10, in 1 h 10 min." in page
    assert "The estimate is" in page
    history = text_of(coordinating.get(reverse("enclosure", args=[enclosure.code])))
    assert "Retired (work from 14:00 to 15:10)" in history


def test_the_time_at_which_it_was_finished_is_told_alone_too(
    send, coordinating, address, enclosure, day, text_of
):
    send(on=day(-1).isoformat(), ended="15:10")

    event = enclosure.events.latest("pk")
    assert (event.begun_at, event.table_minutes) == (None, None)
    assert "Finished at 15:10." in text_of(coordinating.get(address))
    history = text_of(coordinating.get(reverse("enclosure", args=[enclosure.code])))
    assert "Retired (at 15:10)" in history


@pytest.mark.parametrize(
    ("times", "fault"),
    [
        ({"begun": "14:00"}, "You gave when it started. Enter when it was finished, too."),
        ({"begun": "14:00", "ended": "14:00"}, "Enter a time after the start."),
        ({"ended": "noon"}, "Enter a valid time."),
    ],
)
def test_times_that_do_not_go_together_are_refused_beside_the_second(
    send, enclosure, day, times, fault
):
    answer = send(on=day(-1).isoformat(), **times)

    assert answer.status_code == 422
    assert answer.context["form"].errors["ended"] == [fault]
    assert enclosure.state_now() == EnclosureState.STANDING


def test_a_time_to_come_is_refused(send, enclosure, monkeypatch):
    noon = timezone.make_aware(datetime(2027, 3, 10, 12))
    monkeypatch.setattr("django.utils.timezone.localtime", lambda *_any: noon)

    answer = send(ended="12:30")

    assert answer.status_code == 422
    assert "in the future" in str(answer.context["form"].errors["ended"])


def test_the_rescues_estimates_follow_enclosures_that_were_timed(
    coordinating, make_enclosure, make_home, day
):
    for number in range(LEAST_STEPS):
        one = make_enclosure(home=make_home(), plan=("####", "####"), label=f"Timed {number}")
        fields = {"once": uuid.uuid4(), "on": day(-1).isoformat(), "begun": "9:00"}
        address = reverse("builds:retire_enclosure", args=[one.code])
        coordinating.post(address, {**fields, "ended": "17:00"})

    assert Rescue.ours().work_pace == {"taking": MOST_PERCENT}


def test_its_page_leads_here(coordinating, enclosure, address, text_of):
    assert address in text_of(coordinating.get(reverse("enclosure", args=[enclosure.code])))


def _ramped(make_enclosure):
    ramps = (ramp_from(0, 1, Side.E),)
    return make_enclosure(
        label="Ramped", plan=("####", "####"), upper=("##..", "##.."), ramps=ramps
    )


def _back_of(make_enclosure):
    from builds.making.altering.retire import retire

    structure = _ramped(make_enclosure).structure()
    return {one.what: one for one in parts_back(structure.design.panel, retire(structure))}
