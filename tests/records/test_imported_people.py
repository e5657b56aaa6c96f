"""People from a file: known by log-in name, without a password, with the role that is written."""

import pytest

from habitats.imports import people as columns
from habitats.people.models.people import Person

pytestmark = pytest.mark.django_db

HEAD = "log_in,first_name,last_name,role,home\n"


def faults_of(page):
    return [(one.line, one.column, str(one.sentence)) for one in page.context["plan"].faults]


def test_a_person_comes_with_role_home_and_language(take_in, make_home):
    home = make_home("Ash", own_id="H1")

    rows = "wren,Wren,Foster,H1,de\ntern,Tern,builder,,EN\n"
    take_in("people", f"log_in,first_name,role,home,language\n{rows}")

    wren = Person.objects.get(username="wren")
    assert (str(wren), wren.roles, wren.language, wren.is_active) == ("Wren", "foster", "de", True)
    assert list(home.people.all()) == [wren]
    assert Person.objects.get(username="tern").language == "en-gb"


def test_a_person_may_have_several_roles(take_in):
    take_in("people", f'{HEAD}wren,Wren,,"foster, Builder",\n')

    assert Person.objects.get(username="wren").roles == "builder,foster"


def test_nobody_can_log_in_before_a_first_password_is_given(take_in, client):
    page = take_in("people", f"{HEAD}wren,Wren,,foster,\n")

    assert not Person.objects.get(username="wren").has_usable_password()
    assert "These people cannot log in yet." in page.content.decode()
    listed = take_in.client.get("/people/").content.decode()
    assert "1 person has no password and cannot log in." in listed
    assert "Give first password" in listed


def test_a_file_has_no_column_for_passwords(hand_in):
    page = hand_in("people", "log_in,role,password\nwren,foster,hay\n")

    assert page.status_code == 422
    assert "unknown columns: “password”" in page.content.decode()


def test_a_new_coordinator_is_pointed_out_once(dry_run):
    page = dry_run("people", f"{HEAD}wren,Wren,,coordinator,\ntern,Tern,,builder,\n")
    plan = page.context["plan"]

    (doubt,) = plan.doubts
    assert (doubt.line, doubt.column) == (2, "role")
    assert len(plan.new) == 2


def test_a_log_in_name_of_somebody_else_is_refused(dry_run, make_person):
    make_person("wren", first_name="Wren", last_name="Marl")

    page = dry_run("people", f"{HEAD}Wren,Wren,Teal,foster,\n")

    ((line, column, sentence),) = faults_of(page)
    assert (line, column) == (2, "log_in")
    assert sentence.startswith("This log-in name belongs to Wren Marl.")


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("wren marl,Wren,,foster,", "log_in", "and no spaces"),
        ("wren,Wren,,boss,", "role", "Allowed: coordinator, builder, foster, laundry."),
        ("wren,Wren,,foster,H9", "home", "No home here has this code or number."),
        ("wren,Wren,,,", "role", "This must not be empty."),
    ],
)
def test_each_fault_is_told_with_its_column(dry_run, row, column, words):
    page = dry_run("people", f"{HEAD}{row}\n")

    ((line, at, sentence),) = faults_of(page)
    assert (line, at) == (2, column)
    assert words in sentence


def test_a_language_that_the_screens_do_not_speak_is_refused(dry_run):
    ((_line, column, sentence),) = faults_of(
        dry_run("people", "log_in,role,language\nwren,foster,xx\n")
    )

    assert column == "language"
    assert "Allowed: en-gb, de." in sentence


def test_two_rows_that_differ_in_capitals_only_are_one_person(dry_run):
    ((line, column, sentence),) = faults_of(
        dry_run("people", f"{HEAD}wren,Wren,,foster,\nWREN,Wren,,foster,\n")
    )

    assert (line, column) == (3, "log_in")
    assert sentence.startswith("Line 2 has the same.")


def test_what_looks_like_a_formula_is_a_name_like_any_other(take_in):
    take_in("people", f"{HEAD}wren,=HYPERLINK(1),,foster,\n")

    assert Person.objects.get(username="wren").first_name == "=HYPERLINK(1)"


def test_words_and_bounds_are_those_of_the_table():
    assert set(columns.ROLES.values()) == set(Person.Role.values)
    assert set(columns.UNITS.values()) == set(Person.Units.values)
    assert set(columns.PAPERS.values()) == set(Person.Paper.values)
    lengths = [Person._meta.get_field(name).max_length for name in ("username", "first_name")]
    assert lengths == [columns.LONGEST_LOG_IN, columns.LONGEST_NAME]
