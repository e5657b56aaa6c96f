"""Whoever is erased is named in no column of any table but those that the page tells of before."""

import json

import pytest
from django.apps import apps
from django.db import models
from django.urls import reverse
from django.utils import timezone

from habitats.animals.models.climbing import ClimbingBan
from habitats.health.models.treatments import Dose, TreatmentStop
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import HomeContact
from habitats.people.models.devices import Device
from habitats.people.models.erasing import data_of, erase
from habitats.people.models.second_factor import new_key, set_up
from habitats.people.models.written_names import PersonNameField
from habitats.records.models.import_files import ImportFile
from tests.support.builds import make_build
from tests.support.columns import columns_with

pytestmark = pytest.mark.django_db

# What becomes of a name in a column of text, by the column's name.
DECIDED = {
    "made by the program": """
        accepts answer answers app_label asked card code codename cut_from document fact find_code
        floors loads wishes
        former_key key letter mark own_rules parts payload plan points pace sentence sentence_json
        session_data session_key step_key subject takes task_path animals whole work_pace residents
        built_for kind known_species language location model more number offer pet_kinds roles
        species template together times token what window uncounted unit args_kwargs worker_ids
        queue_name backend_name return_value exception_class_path traceback session_hash lent
        guinea_pig_rules rabbit_rules adoption_follow_ups how_often how amount drug""",
    "of the account, devices, log-ins and lists of people, and goes": """
        username first_name last_name email password address agent secret user_agent http_accept
        path_info get_data post_data skipped full_name phone""",
    "of a thing: those that may bear a name are listed before": """
        name label own_id area other_pets colour marks chip condition place adopter
        adoption_terms""",
    "a note, which the page says": """
        note notes why left_why words reason text brings missing came_from found_by""",
    "signed, or a vet, which the page says; on a kit, which has no account": """
        signed received_by handed_by vet who_for""",
}


def texts_of(model):
    kinds = (models.CharField, models.TextField, models.JSONField)
    fields = model._meta.local_concrete_fields
    return [one for one in fields if isinstance(one, kinds) and not one.choices]


def test_of_each_column_of_text_is_known_what_becomes_of_a_name_there():
    decided = {name for names in DECIDED.values() for name in names.split()}
    columns = [field for model in apps.get_models() for field in texts_of(model)]
    unknown = [
        f"{field.model._meta.db_table}.{field.name}"
        for field in columns
        if field.name not in decided and not isinstance(field, PersonNameField)
    ]

    assert unknown == []


@pytest.fixture
def known(foster, coordinator, lives, make_home, day, client_of):
    """Fay Odell left; every column that may name her does, but notes and signatures."""
    foster.email = "fay@example.org"
    foster.save()
    set_up(foster, new_key())
    client_of(foster).get(reverse("who"))
    Device.objects.filter(person=foster).update(agent="Fay's phone")
    home = make_home("Fay", people=[foster], other_pets="Fay's cat", notes="Ask Fay")
    HomeContact.objects.create(home=home, full_name="Fay Odell", phone="0100")
    home.close(timezone.localdate())
    _group, (pip,), _enclosure = lives("Pip", home=make_home("Wren"))
    said = {"made_by": coordinator}
    course = {"drug": "Amber drops", "amount": "0.2 ml", "how": "by mouth", "vet": "Dr Quail"}
    days = {"times": ["08:00"], "first_day": day(0), "last_day": day(6)}
    treatment = pip.treatments.create(how_often="once a day", **course, **days, **said)
    for given_by in ("Fay", "fay  odell", "Tobi"):
        Dose.objects.create(
            treatment=treatment,
            due_day=day(0),
            due_time=treatment.times[0],
            outcome="given",
            at=timezone.now(),
            given_by=given_by,
            **said,
        )
    TreatmentStop.objects.create(
        treatment=treatment, at=timezone.now(), decided_by="Fay Odell", why="done", **said
    )
    Absence.objects.record(
        make_home("Rook"), by=coordinator, idempotency_key=None, first_day=day(1), covered_by="Fay"
    )
    ClimbingBan.objects.create(animal=pip, since=day(0), said_by="Fay Odell", **said)
    ImportFile.objects.create(
        kind="people",
        name="team.csv",
        taken_at=timezone.now(),
        skipped=[[2, "email", "Fay@", ""]],
        **said,
    )
    ImportFile.objects.create(kind="contacts", name="old.csv", content=b"Fay Odell", **said)
    return pip


def test_after_it_no_column_names_the_person(known, foster, coordinator):
    assert len(columns_with("Fay", "Odell", "fay")) > 12

    erase(foster, by=coordinator)

    assert columns_with("Fay", "Odell", "fay") == {}
    assert list(Dose.objects.in_time().values_list("given_by", flat=True)) == [
        "former member",
        "former member",
        "Tobi",
    ]


def test_a_home_they_left_before_it_was_closed_is_known_by_its_contact(
    foster, coordinator, make_home
):
    closed, open_ = make_home("Fay"), make_home("Wren")
    for home in (closed, open_):
        HomeContact.objects.create(home=home, full_name="fay odell", phone="0100")
    closed.close(timezone.localdate())

    erase(foster, by=coordinator)

    closed.refresh_from_db()
    assert closed.name == closed.code
    assert not HomeContact.objects.exists()


def test_pages_say_former_member_where_the_name_was_typed(
    known, foster, coordinator, coordinating, text_of
):
    erase(foster, by=coordinator)
    rook = Absence.objects.get().home

    home = text_of(coordinating.get(reverse("home_page", args=[rook.code])))
    stopped = Dose.objects.first().treatment
    treatment = reverse("treatment", args=[known.code, stopped.pk])

    assert "former member covers" in home
    assert "given by former member" in text_of(coordinating.get(treatment))


def test_a_first_name_that_another_has_too_stays(known, foster, coordinator, make_person):
    make_person("fay2", first_name="Fay")

    erase(foster, by=coordinator)

    given_by = Dose.objects.in_time().values_list("given_by", flat=True)
    assert list(given_by) == ["Fay", "former member", "Tobi"]


def test_how_often_they_are_named_is_handed_out(known, foster):
    told = json.loads(json.dumps(data_of(foster), default=str))

    assert told["named"]["habitats_dose.given_by"] == 2
    assert told["homes"][0]["contact__phone"] == "0100"


def test_what_is_named_after_them_is_listed_before(
    coordinating, foster, make_home, make_pool, text_of
):
    make_pool("Fay's laundry", make_home("Wren"))
    make_home("Fayette")
    make_build("Hutch for Fay")

    page = text_of(coordinating.get(reverse("erase_person", args=[foster.pk])))

    assert ">Fay's laundry</a>" in page
    assert ">Hutch for Fay</a>" in page
    assert "Fayette" not in page
