"""What the program wrote into a row for one reader is told to the next one in their language.

Each row is written while its writer reads one language, and read again from the database in both.
"""

import uuid

import pytest
from django.urls import reverse
from django.utils import translation

from builds.building.models.handing_over import hand_over_to_home
from builds.building.models.inspecting import inspect
from builds.building.models.inspections import Answered, Repair
from builds.building.models.intake import take as take_act
from builds.building.models.repair_builds import plan_repair
from builds.plans.models.build_acts import StrayAct
from builds.plans.models.builds import Build, BuildEvent
from builds.pulls.models.ending import close
from builds.pulls.models.pulling import bring_back, report_short, take_as_listed
from builds.pulls.models.pulls import ShortPick
from builds.store.models.holders import Holder, reserved_by_build
from builds.store.models.stock import Movement
from habitats.csv_cells import cell
from habitats.faults.models.faults import FaultMended, report
from habitats.faults.models.safety_checks import Answer, SafetyCheck, record_safety_check
from habitats.linens.models.changes import LinenRemark, stays_elsewhere
from habitats.linens.models.linens import LinenEvent
from habitats.linens.models.loads import Load
from habitats.stored_wording import from_json
from habitats.traces.models.traces import Trace
from habitats.traces.models.tracing import set_aside
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.points import points_for
from tests.support.builds import DAY, NOON, make_build, planner, tick_all
from tests.support.kits import hand_over, make_kit
from tests.support.pulls import begun, stock_up
from tests.support.sheets import make_kind, make_place

pytestmark = pytest.mark.django_db

ENGLISH, GERMAN = "en-gb", "de"


@pytest.fixture(params=[ENGLISH, GERMAN])
def written(request):
    """The language of the person whose act writes a row."""
    with translation.override(request.param):
        yield


def told(language, read):
    with translation.override(language):
        return str(read())


def assert_told(read, english, german):
    assert (told(ENGLISH, read), told(GERMAN, read)) == (english, german)


def says():
    return {"by": planner(), "idempotency_key": uuid.uuid4()}


# --- The store and pulls ---


def test_what_was_taken_instead_of_something(written):
    items, pull = stock_up(), begun()
    tie, panel, rack = items["tie"], items["panel"], make_place("Rack")
    report_short([pull], panel, 1, "instead", instead=tie, place=rack, **says())

    assert_told(
        lambda: Movement.objects.get(why="out", item=tie).note,
        f"instead of {panel.name}",
        f"anstelle von {panel.name}",
    )


def test_why_a_stopped_build_keeps_no_sheets_any_more(written):
    stock_up()
    pull = begun()
    take_as_listed([pull], **says())
    close([pull], **says())
    pull.build.set_state("stopped", DAY, by=planner())

    assert_told(
        lambda: Movement.objects.filter(build=pull.build, why="release").latest("pk").note,
        "the build is stopped",
        "der Bau ist gestoppt",
    )


def test_what_was_left_over(written):
    items, pull = stock_up(), begun()
    take_as_listed([pull], **says())
    close([pull], **says())
    bring_back([pull], items["panel"], make_place("Rack"), 1, **says())

    assert_told(lambda: ShortPick.objects.get(why="unneeded").note, "left over", "übrig")


def test_what_was_damaged_on_the_build(written, builder, client_of):
    panel, pull = stock_up()["panel"], begun()
    take_as_listed([pull], **says())
    act = {"kind": "shortage", "what": "plain-panel", "count": 1, "is_damaged": True}
    take_act(builder, pull.build, {"once": uuid.uuid4(), **act}, NOON)

    gone = Movement.objects.get(why="write_off", item=panel)
    assert_told(
        lambda: gone.note, "damaged, reported on the build", "beschädigt, beim Bau gemeldet"
    )


def test_what_somebody_typed_is_told_as_they_typed_it(written):
    items, pull = stock_up(), begun()
    report_short([pull], items["panel"], 1, "missing", note="{the box} was empty", **says())

    note = "{the box} was empty"
    assert_told(lambda: ShortPick.objects.get().note, note, note)


def test_a_sheet_is_named_without_a_word_of_ours(written):
    assert make_kind(name="White").item.name == "White, 1220 × 2440 × 4 mm"


# --- Builds ---


@pytest.fixture
def loft(make_enclosure, make_home, make_pool):
    home = make_home()
    make_pool(home=home)
    return make_enclosure("Loft", home=home, plan=("####", "####"))


@pytest.fixture
def mending(loft, coordinator, today):
    """A build that repairs the loft."""
    fault = report(loft, FaultKind.PANEL, "soon", on=today, by=coordinator)
    return plan_repair(loft, [fault], by=coordinator, on=today)


def test_a_repair_that_nobody_named(written, mending):
    name = "Repair of Loft", "Reparatur von Loft"
    assert_told(lambda: Build.objects.get(), *name)
    assert_told(lambda: Build.objects.named_like("loft").get(), *name)

    stock_up()
    item = begun(mending).lines.first().item
    holder = lambda: reserved_by_build([item.pk])[item.pk][0].build  # noqa: E731
    assert isinstance(holder(), Holder)
    assert_told(holder, *name)


def test_a_repair_keeps_its_name_where_its_form_is_sent_without_another(
    written, mending, coordinating
):
    address = reverse("builds:edit_build", args=[mending.code])
    form = coordinating.get(address).context["form"]
    sent = {"name": form["name"].value(), "home": mending.home.code}
    coordinating.post(address, {**sent, "notes": "bring gloves"})

    mending.refresh_from_db()
    assert mending.notes == "bring gloves"
    assert_told(lambda: Build.objects.get(), "Repair of Loft", "Reparatur von Loft")


def test_a_repair_that_somebody_named_is_called_that(written, mending, coordinating):
    address = reverse("builds:edit_build", args=[mending.code])
    coordinating.post(address, {"name": "North side", "home": mending.home.code})

    assert_told(lambda: Build.objects.get(), "North side", "North side")


def test_by_which_repair_a_fault_was_mended(written, mending, loft, today):
    for state in ("building", "inspected"):
        mending.set_state(state, today, by=planner())
    hand_over_to_home(mending, mending.home, loft.label, on=today, **says())

    note = lambda: FaultMended.objects.values_list("note", flat=True).get()  # noqa: E731
    english, german = (
        f"Mended by the repair {mending.code}.",
        f"Behoben durch die Reparatur {mending.code}.",
    )
    assert_told(note, english, german)
    assert_told(lambda: cell(note()), english, german)


def test_what_failed_at_an_inspection_where_nobody_said_more(written, today):
    build = make_build(state="building")
    tick_all(build)
    points = [Answered(one["code"], one["question"], True, "") for one in questions(build)]
    points[0] = points[0]._replace(is_good=False)
    inspect(build, points, signed="Bertil", on=today, at=NOON, **says())

    assert_told(
        lambda: Repair.objects.get().what,
        "Is every cut wire end filed, and does none catch a glove?",
        told(GERMAN, lambda: points[0].question),
    )
    assert told(GERMAN, lambda: Repair.objects.get()) != told(ENGLISH, lambda: Repair.objects.get())


def questions(build):
    return build.plans.get().questions


def test_why_an_act_could_not_be_applied(written, builder):
    build = make_build(state="stopped", people=[builder])
    take_act(builder, build, {"once": uuid.uuid4(), "kind": "note", "text": "dry"}, NOON)

    stray = StrayAct.objects.get()
    assert_told(
        lambda: stray.why,
        "“Nook” is stopped, so you can add nothing more to it.",
        "„Nook“ ist gestoppt, daher können Sie nichts mehr hinzufügen.",
    )


def test_who_received_a_kit(written):
    build = make_kit()
    hand_over(build)

    assert_told(
        lambda: BuildEvent.objects.get(build=build, state="handed over").note,
        "Received by Ada Quill.",
        "Entgegengenommen von Ada Quill.",
    )


# --- Homes ---


def test_what_a_safety_check_asked(written, loft, foster, today):
    points = points_for(loft.structure())
    record_safety_check(loft, [Answer(one, None) for one in points], on=today, by=foster)

    (kept,) = [one for one in SafetyCheck.objects.latest("pk").answers if one["code"] == "tie"]
    (asked,) = [one.question for one in points if one.code == "tie"]
    question = lambda: from_json(kept["question"])  # noqa: E731
    assert_told(question, told(ENGLISH, lambda: asked), told(GERMAN, lambda: asked))
    assert told(ENGLISH, question) != told(GERMAN, question)


@pytest.fixture
def linen(loft, make_linen):
    spot = loft.spots.filter(size__sort="liner").first()
    return make_linen(loft.standings.get().home.pool, spot.size)


def test_where_a_linen_was_scanned_that_stays_elsewhere(written, linen, loft, foster, today):
    spot = loft.spots.filter(size=linen.size).first()
    stays_elsewhere(linen, spot, today, by=foster)

    place = told(GERMAN, lambda: spot)
    assert_told(
        lambda: LinenRemark.objects.get().note,
        f"Scanned at {told(ENGLISH, lambda: spot)}, but it stays where it was.",
        f"Gescannt bei: {place}. Die Textilie bleibt, wo sie war.",
    )
    assert place != told(ENGLISH, lambda: spot)


def test_why_a_linen_was_set_aside(written, linen, loft, coordinator, make_group, make_animal, day):
    group = make_group(make_animal(), enclosure=loft, since=day(-30))
    trace = Trace.objects.begin(group, day(-10), "ringworm", by=coordinator)
    set_aside(trace, [linen], day(0), by=coordinator, idempotency_key=uuid.uuid4())

    assert_told(
        lambda: LinenEvent.objects.latest("pk").note,
        f"Met in the trace {trace.code}.",
        f"Kontakt laut Kontaktverfolgung {trace.code}.",
    )


def test_that_a_linen_was_washed_again(written, linen, coordinator, day):
    linen.set_state("soiled", day(-2), by=coordinator)
    pool = linen.pool
    everyday = pool.programmes.get(name="Everyday")
    load = Load.objects.start(pool, [linen], everyday, day(-1), by=coordinator)
    key = uuid.uuid4()
    load.take_out(day(-1), by=coordinator, washes=2, idempotency_key=key)

    assert_told(
        lambda: LinenEvent.objects.filter(load=load).exclude(note="").get().note,
        "washed again, in a row",
        "gleich noch einmal gewaschen",
    )
