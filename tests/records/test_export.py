"""Everything out: an archive that another program reads, and that can be imported again."""

import csv
import json
from io import BytesIO, StringIO
from zipfile import ZipFile

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from habitats.animals.models.animals import Animal, Weighing, WeighingStrike
from habitats.csv_cells import BYTE_ORDER_MARK
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent, EnclosureState
from habitats.enclosures.models.parts import Component
from habitats.enclosures.models.standing import Standing
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.homes.models.homes import Home, HomeContact
from habitats.imports import KINDS, read
from habitats.people.models.people import Person
from habitats.records.models.exports import TABLES
from habitats.structure.read import design_from

pytestmark = pytest.mark.django_db

NOUNS = {
    "homes",
    "contacts",
    "home-people",
    "absences",
    "animals",
    "weights",
    "struck-weights",
    "births",
    "quarantines",
    "climbing-bans",
    "bonding-attempts",
    "groups",
    "memberships",
    "stays",
    "enclosures",
    "standings",
    "states",
    "components",
    "component-checks",
    "faults",
    "looks",
    "overrides",
    "health",
    "treatments",
    "doses",
    "adopters",
    "adoptions",
    "adopted-animals",
    "adopter-deaths",
    "adoption-events",
    "adoption-homes",
    "adoption-follow-ups",
    "adoption-overrides",
    "wishes",
    "wish-events",
    "people",
    "linen-kinds",
    "shrink-tests",
    "pools",
    "programmes",
    "places",
    "change-plans",
    "linens",
    "linen-events",
    "linen-changes",
    "linen-remarks",
    "spot-cleans",
    "loads",
}


# The archive has linens one by one, and nothing of the store.
AGAIN = [kind for kind in KINDS if kind not in ("linens", "items")]


@pytest.fixture
def a_rescue(make_home, make_animal, make_enclosure, make_group, foster, day, coordinator):
    """Something of each noun, with what is hard to write in CSV."""
    home = make_home(
        '=Wren, "the tall"', area="Ash; Lane", people=[foster], own_id="H1", notes="one\ntwo"
    )
    HomeContact.objects.create(home=home, full_name="Wren Nobody", phone="+44 1632 960001")
    limits = {"most_animals": 6, "isolation_places": 2, "known_species": "guinea_pig,rabbit"}
    make_home("Closed", closed_on=day(-9), pet_kinds="dog,bird", other_pets="two", **limits)
    mother = make_animal("Ma", own_id="A1", born=day(-600), notes="'=1", is_castrated=True)
    pup = make_animal("-Pup", born=day(-40), born_margin_days=14, mother=mother, came_on=day(-40))
    make_animal(
        "Gone",
        species="rabbit",
        sex="",
        sex_guess="F",
        chip="276098100021417",
        colour="grey",
        marks="=white foot",
        origin="given up",
        came_from="a flat",
        found_by="Hedda Brook",
        condition="thin",
        left_on=day(-2),
        left_why="passed on",
    )
    mother.weigh(900, day(-3), by=coordinator, note="@noon")
    slip = mother.weigh(90, day(-2), by=coordinator)
    WeighingStrike.objects.create(weighing=slip, made_by=coordinator, why="slip")
    enclosure = make_enclosure("North wall", home)
    make_group(mother, pup, enclosure=enclosure)
    make_enclosure("Old", state=EnclosureState.RETIRED)
    design = enclosure.revision.design
    design.change(design.shape(), by=coordinator)


@pytest.fixture
def archive(client_of, coordinator, this_day):
    def take():
        response = client_of(coordinator).get(reverse("export_zip"))
        return ZipFile(BytesIO(b"".join(response.streaming_content)))

    return take


def table(archive, name):
    text = archive.read(f"{name}.csv").decode().removeprefix(BYTE_ORDER_MARK)
    return list(csv.DictReader(StringIO(text, newline="")))


def test_the_archive_is_whole_and_has_a_table_for_each_noun(a_rescue, archive):
    taken = archive()

    assert taken.testzip() is None
    assert {name.removesuffix(".csv") for name in taken.namelist() if name.endswith(".csv")} == (
        NOUNS
    )
    assert {table.name for table in TABLES} == NOUNS
    assert all(taken.read(f"{name}.csv").startswith(b"\xef\xbb\xbf") for name in NOUNS)


def test_no_password_leaves_the_house(a_rescue, archive, coordinator):
    taken = archive()

    people = taken.read("people.csv").decode()
    assert "cora" in people
    for name in taken.namelist():
        assert coordinator.password not in taken.read(name).decode()


def test_how_to_reach_a_home_stands_in_one_file_only(a_rescue, archive):
    taken = archive()

    with_it = [name for name in taken.namelist() if b"960001" in taken.read(name)]
    assert with_it == ["contacts.csv"]


def test_no_cell_is_a_formula(a_rescue, archive):
    # OWASP, "CSV Injection".
    taken = archive()

    for name in NOUNS:
        for row in table(taken, name):
            assert not any(cell.startswith(("=", "+", "-", "@")) for cell in row.values())
    assert table(taken, "homes")[0]["name"] == '\'=Wren, "the tall"'


def test_designs_are_design_files_as_drawn_and_as_built(a_rescue, archive):
    taken = archive()

    design = Enclosure.objects.get(label="North wall").revision.design
    names = [name for name in taken.namelist() if name.startswith(f"designs/{design.code}")]
    assert names == [f"designs/{design.code}.json", f"designs/{design.code}-revision-1.json"]
    for name in names:
        document = json.loads(taken.read(name))
        assert document["format"] == "enclosure-design/1"
        assert design_from(document) == design.shape()


def test_struck_weights_stand_apart(a_rescue, archive):
    taken = archive()

    assert [row["grams"] for row in table(taken, "weights")] == ["900"]
    assert [row["why"] for row in table(taken, "struck-weights")] == ["slip"]


@pytest.mark.parametrize("kind", AGAIN)
def test_what_is_exported_is_known_when_it_is_imported(a_rescue, archive, dry_run, kind):
    content = archive().read(f"{kind}.csv")

    plan = dry_run(kind, content).context["plan"]

    assert plan.faults == ()
    assert plan.new == ()
    assert plan.known > 0


def test_what_is_exported_can_be_imported_into_an_empty_house(a_rescue, archive, take_in):
    before = {kind: told(kind) for kind in AGAIN}
    taken = archive()
    forget_everything()

    for kind in AGAIN:
        page = take_in(kind, taken.read(f"{kind}.csv"))
        assert page.context["file"].is_taken, page.context["plan"].faults

    # Nobody lives in it any more: groups are not imported.
    before["enclosures"][0]["state"] = EnclosureState.STANDING
    assert {kind: told(kind) for kind in AGAIN} == before


def test_an_export_is_read_as_an_import_of_its_kind(a_rescue, archive, today):
    taken = archive()

    for kind in AGAIN:
        sheet = read(taken.read(f"{kind}.csv"), KINDS[kind], today)
        assert len(sheet.rows) == sheet.lines == len(table(taken, kind))


def test_queries_do_not_grow_with_rows(make_animal, archive):
    def fill(count):
        for number in range(count):
            make_animal(f"Pip {number}", grams=800)

    def queries():
        with CaptureQueriesContext(connection) as caught:
            archive()
        return len(caught)

    archive()  # the first of all makes the row of the rescue itself
    fill(3)
    few = queries()
    fill(27)
    assert queries() == few


def told(kind):
    """What is remembered of a kind, by its codes."""
    if kind == "homes":
        skipped = {"id", "idempotency_key", "made_at", "made_by_id"}
        return [
            {name: value for name, value in vars(one).items() if name not in skipped | {"_state"}}
            for one in Home.objects.order_by("code")
        ]
    if kind == "contacts":
        contacts = HomeContact.objects.order_by("home__code")
        return list(contacts.values("home__code", "full_name", "phone", "email", "address"))
    if kind == "people":
        facts = ("username", "first_name", "last_name", "email", "roles", "is_active", "units")
        return list(Person.objects.order_by("username").values(*facts, "paper"))
    if kind == "animals":
        skipped = {"id", "idempotency_key", "made_at", "made_by_id", "mother_id", "_state"}
        return [
            {name: value for name, value in vars(one).items() if name not in skipped}
            | {"mother": one.mother and one.mother.code}
            for one in Animal.objects.select_related("mother").order_by("code")
        ]
    if kind == "weights":
        rows = Weighing.objects.standing().order_by("animal__code", "on", "grams")
        return list(rows.values("animal__code", "on", "grams", "note"))
    return list(
        Enclosure.objects.with_state()
        .order_by("label")
        .values(
            "code",
            "own_id",
            "label",
            "notes",
            "revision",
            "state",
            "standings__home__code",
            "standings__since",
        )
    )


def forget_everything():
    from habitats.animals.models.acts import Act
    from habitats.animals.models.groups import Group, Membership
    from habitats.animals.models.stays import Stay
    from habitats.linens.models.spots import Spot

    for model in (
        Act,
        Stay,
        Membership,
        Group,
        WeighingStrike,
        Weighing,
        Standing,
        EnclosureEvent,
        Component,
        Spot,
        SafetyCheck,
        Enclosure,
        HomeContact,
    ):
        model.objects.all().delete()
    Animal.objects.update(mother=None)
    Animal.objects.all().delete()
    Home.objects.all().delete()
    Person.objects.exclude(roles=Person.Role.COORDINATOR).delete()
