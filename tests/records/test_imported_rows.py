"""What the rows of an import become, and which of them are refused in a sentence."""

import uuid
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.animals.models.animals import Animal
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.parts import Component
from habitats.homes.models.homes import Home, HomeContact
from tests.records.conftest import ANIMALS

pytestmark = pytest.mark.django_db


def test_a_home_is_taken_in_with_how_to_reach_it(take_in, files):
    take_in("homes", files["homes"])

    home = Home.objects.get(own_id="H1")
    assert (home.name, home.area, home.most_enclosures) == ("Wren", "Larkrise", 1)
    assert home.contact.phone == "01632 960001"
    assert not HomeContact.objects.filter(home__name="Tern").exists()


@pytest.mark.parametrize(
    ("head", "row", "places"),
    [
        ("has_isolation_room", "yes", 1),
        ("has_isolation_room", "no", 0),
        ("isolation_places", "3", 3),
        ("isolation_places", "", 0),
        ("has_isolation_room,isolation_places", "yes,2", 2),
    ],
)
def test_isolation_places_are_read_from_files_of_both_ages(take_in, head, row, places):
    take_in("homes", f"name,{head}\nWren,{row}\n")

    assert Home.objects.get().isolation_places == places


def test_limits_of_a_home_are_taken_in(take_in):
    rows = 'Wren,6,"rabbit; guinea pig","Cat, dog",old\n'
    take_in("homes", f"name,most_animals,known_species,pet_kinds,other_pets\n{rows}")

    home = Home.objects.get()
    assert (home.most_animals, home.other_pets) == (6, "old")
    assert (home.known_species, home.pet_kinds) == ("guinea_pig,rabbit", "dog,cat")


def test_a_pet_that_is_not_in_the_list_is_refused_with_the_list(dry_run):
    (fault,) = dry_run("homes", "name,pet_kinds\nWren,cat and dragon\n").context["plan"].faults

    assert "Allowed: dog, cat, ferret, bird, other." in fault.sentence


def test_contacts_come_in_apart_from_their_homes(take_in, files, make_home):
    page = take_in("contacts", files["contacts"])

    assert page.context["file"].made == 2
    assert HomeContact.objects.get(home__own_id="H8").full_name == "Teal Nobody"


def test_a_contact_that_is_kept_stays_as_it_is(take_in, make_home):
    home = make_home("Wren", own_id="H1")
    HomeContact.objects.create(home=home, phone="01632 960001")

    page = take_in("contacts", "home,phone\nH1,01632 960009\n")

    assert (page.context["file"].made, page.context["file"].known) == (0, 1)
    assert HomeContact.objects.get().phone == "01632 960001"


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ("H7,01632 960001\n", "No home here has this code or number."),
        ("H1,\n", "The row gives no way to reach the home."),
        ("H1,01632 960001\n{code},01632 960002\n", "Line 2 is about the same home."),
    ],
)
def test_a_contact_that_cannot_be_is_refused_in_a_sentence(rows, sentence, dry_run, make_home):
    home = make_home("Wren", own_id="H1")

    (fault,) = (
        dry_run("contacts", "home,phone\n" + rows.format(code=home.code)).context["plan"].faults
    )

    assert fault.sentence.startswith(sentence)


def test_an_enclosure_is_taken_in_with_its_state_place_and_components(
    take_in, files, a_design, day
):
    take_in("enclosures", files["enclosures"])

    made = Enclosure.objects.get(own_id="E1")
    standing = made.standings.get()
    assert made.state_now() == EnclosureState.STANDING
    assert (standing.home.own_id, standing.since.isoformat()) == ("H9", "2027-02-01")
    # The same parts as one that was set up by hand from the same design.
    parts = [
        list(Component.objects.filter(enclosure=one).order_by("kind").values_list("kind", "count"))
        for one in (made, Enclosure.objects.get(label="Old"))
    ]
    assert parts[0] == parts[1] != []


def test_mothers_are_found_in_the_file_and_among_those_kept(take_in, make_animal):
    make_animal("Grandmother", own_id="G1")

    take_in(
        "animals",
        f"{ANIMALS}P1,Pup,guinea pig,F,2027-02-01,2027-02-01,M1\n"
        "M1,Mother,guinea pig,F,2026-01-01,2026-02-01,g1\n"
        "M2,Aunt,guinea pig,F,2026-01-01,2026-02-01,G1\n",
        how="skip",
    )

    # Own numbers are read to the letter: nobody is called g1.
    assert not Animal.objects.filter(own_id__in=["P1", "M1"]).exists()
    assert Animal.objects.get(own_id="M2").mother.own_id == "G1"


def test_young_come_with_their_mother(take_in):
    take_in(
        "animals",
        f"{ANIMALS}P1,Pup,guinea pig,F,2027-02-01,2027-02-01,M1\n"
        "M1,Mother,guinea pig,F,2026-01-01,2026-02-01,\n",
    )

    assert Animal.objects.get(own_id="P1").mother == Animal.objects.get(own_id="M1")


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("P,Pup,guinea pig,F,2027-02-01,2027-02-01,X\n", "or in this file has this code"),
        ("P,Pup,guinea pig,F,2027-02-01,2027-02-01,P\n", "its own mother"),
        (
            "P,Pup,guinea pig,F,,2027-02-01,M\nM,Ma,guinea pig,F,,2026-02-01,P\n",
            "its own descendant",
        ),
        (
            "P,Pup,guinea pig,F,,2027-02-01,M\nM,Ma,guinea pig,M,,2026-02-01,\n",
            "Ma cannot be its mother. Name a female",
        ),
        (
            "P,Pup,guinea pig,F,,2027-02-01,M\nM,Ma,rabbit,F,,2026-02-01,\n",
            "Ma cannot be its mother",
        ),
        (
            "P,Pup,guinea pig,F,2025-01-01,2027-02-01,M\nM,Ma,guinea pig,F,2026-01-01,2026-02-01,",
            "not before its young",
        ),
        (
            "P,Pup,guinea pig,F,2027-02-01,2027-02-01,M\nM,Ma,hamster,F,,2026-02-01,\n",
            "Its mother is in line 3, which has a fault",
        ),
        (
            "P,Pup,guinea pig,F,,2027-02-01,M\nM,Ma,guinea pig,F,,2026-02-01,X\n",
            "Its mother is in line 3, which has a fault",
        ),
    ],
)
def test_a_mother_that_cannot_be_is_refused_in_a_sentence(rows, words, dry_run):
    page = dry_run("animals", ANIMALS + rows)

    assert any(words in fault.sentence for fault in page.context["plan"].faults)


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("nobody,2027-01-05,800", "animal", "No animal here has this code"),
        ("K1,2027-01-05,0", "grams", "0 g cannot be the weight of a guinea pig"),
        ("K1,2027-01-05,40000", "grams", "40 000 g cannot be the weight of a guinea pig"),
        ("K1,2025-12-31,800", "day", "before its birth on 1 January 2026"),
        ("K1,2027-03-11,800", "day", "11 March 2027 is in the future"),
        ("K1,2027-01-05,800 g", "grams", "This is not a whole number"),
        ("K1,2027-01-05,=800", "grams", "begins like a formula"),
    ],
)
def test_a_weight_that_cannot_be_is_refused_in_a_sentence(
    row, column, words, dry_run, make_animal, day
):
    make_animal("Kept", own_id="K1", born=date(2026, 1, 1))

    (fault,) = dry_run("weights", f"animal,day,grams\n{row}\n").context["plan"].faults

    assert (fault.line, fault.column) == (2, column)
    assert words in fault.sentence.replace("\N{NO-BREAK SPACE}", " ")


def test_a_weight_that_was_struck_out_does_not_come_back(dry_run, make_animal, coordinator, day):
    from habitats.animals.models.animals import WeighingStrike

    animal = make_animal("Kept", own_id="K1")
    slip = animal.weigh(80, day(-3), by=coordinator)
    WeighingStrike.objects.create(weighing=slip, made_by=coordinator)

    page = dry_run("weights", f"animal,day,grams\nK1,{day(-3)},80\n")

    assert page.context["plan"].known == 1


@pytest.mark.parametrize(
    ("cells", "column", "words"),
    [
        ("{code},standing,2027-02-01,nowhere", "home", "No home here has this code"),
        ("{code},standing,2027-02-01,H8", "home", "Tern is closed. Reopen it first"),
        ("BBBBBB,standing,2027-02-01,", "design", "No design has this code"),
        ("{draft},standing,2027-02-01,", "design", "is a draft and cannot be made yet"),
        ("{code},occupied,2027-02-01,", "state", "Allowed: planned, building"),
    ],
)
def test_an_enclosure_that_cannot_be_is_refused_in_a_sentence(
    cells, column, words, dry_run, a_design, make_home, coordinator, day
):
    from habitats.structure.lattice import Side
    from tests.support.designs import make_design, ramp_from

    make_home("Tern", own_id="H8", closed_on=day(-3))
    ramp = ramp_from(0, 0, Side.W, panels=3)  # into the wall
    draft = make_design(upper=["#...", "...."], ramps=(ramp,))
    drawn = Design.objects.draw(draft, by=coordinator)
    row = cells.format(code=a_design.code, draft=drawn.code)

    (fault,) = (
        dry_run("enclosures", f"label,design,state,since,home\nA,{row}\n").context["plan"].faults
    )

    assert fault.column == column
    assert words in fault.sentence


def test_what_is_no_code_of_a_design_is_told_where_codes_are(dry_run):
    page = dry_run("enclosures", "label,design,state,since\nA,A-1,standing,2027-01-01\n")

    (fault,) = page.context["plan"].faults
    assert fault.sentence.endswith("Copy the code from the sheet of the design.")


def test_an_enclosure_too_large_for_its_home_is_told_and_taken_in(
    dry_run, take_in, make_home, a_design
):
    """The usual design is 2 × 4 panels of 355 mm: 710 × 1 420 mm."""
    small = make_home("Wren", largest_width_mm=700, largest_depth_mm=1500)
    large = make_home("Ash", largest_width_mm=1420, largest_depth_mm=710)
    rows = "label,design,state,since,home\n" + "".join(
        f"{home.name},{a_design.code},standing,2027-01-01,{home.code}\n" for home in (small, large)
    )

    page = dry_run("enclosures", rows)
    (doubt,) = page.context["plan"].doubts
    assert doubt.line == 2
    assert doubt.sentence.replace("\xa0", " ").startswith(
        "Its footprint is 1 420 mm × 710 mm; the largest that fits into Wren is 700 mm × 1 500 mm."
    )
    assert "Rows to check" in page.text

    take_in("enclosures", rows)
    assert Enclosure.objects.filter(label__in=["Wren", "Ash"]).count() == 2


def test_a_likely_slip_of_a_digit_is_a_doubt_of_the_dry_run_and_is_taken_in(
    dry_run, take_in, make_animal, coordinator, day
):
    ida = make_animal("Ida", own_id="A1", born=day(-900))
    ida.weigh(1150, day(-60), by=coordinator)
    make_animal("Bo", own_id="A2", born=day(-900))
    # The first is compared with the one kept here; what follows a doubtful one with that before it.
    rows = "animal,day,grams\n" + "\n".join(
        [
            f"A1,{day(-30)},115",
            f"A1,{day(-20)},1160",
            f"A2,{day(-30)},900",
            f"A2,{day(-20)},910",
            f"A2,{day(-10)},90",
            f"A2,{day(-5)},905",
        ]
    )

    page = dry_run("weights", rows)
    doubts = page.context["plan"].doubts
    assert [doubt.line for doubt in doubts] == [2, 6]
    assert "115 g now, 1 150 g on" in doubts[0].sentence.replace("\xa0", " ")
    assert page.context["plan"].faults == ()

    take_in("weights", rows)
    assert ida.weighings.filter(grams=115).count() == 1


def test_the_doubts_of_a_file_of_weights_ask_as_many_queries_for_thirty_rows_as_for_three(
    hand_in, make_animal, day
):
    def asked(rows):
        make = [make_animal(f"N{number}", own_id=f"N{number}-{rows}") for number in range(rows)]
        lines = [f"{one.own_id},{day(-3)},{700 + rows}" for one in make]
        sent = hand_in("weights", "animal,day,grams\n" + "\n".join(lines))
        with CaptureQueriesContext(connection) as queries:
            hand_in.client.get(sent.url)
        return len(queries)

    assert asked(3) == asked(30)


def test_a_code_and_the_number_of_another_are_refused(dry_run, make_home):
    code = make_home("Wren", own_id="H1").code
    make_home("Ash", own_id="H2")

    (fault,) = dry_run("homes", f"code,own_id,name\n{code},H2,Wren\n").context["plan"].faults

    assert "Correct one of the two" in fault.sentence


def test_two_rows_that_say_the_same_are_told(dry_run):
    (fault,) = dry_run("homes", "name\nWren\nWren\n").context["plan"].faults

    assert "is the same as line 2" in fault.sentence


def test_a_home_that_is_known_by_its_code_stays_as_it_is(take_in, make_home):
    home = make_home("Wren", area="Larkrise")

    take_in("homes", f"code,name,area\n{home.code},Other,Elsewhere\n")

    home.refresh_from_db()
    assert (home.name, home.area) == ("Wren", "Larkrise")


def test_a_chip_that_an_animal_here_has_is_refused(dry_run, make_animal):
    pip = make_animal("Pip", chip="276098100021417")

    page = dry_run(
        "animals", "name,species,came_on,chip\nMoss,rabbit,2027-01-01,276 0981 0002 1417\n"
    )

    (fault,) = page.context["plan"].faults
    assert f"{pip.code} has this chip number already" in str(fault.sentence)


def test_what_is_known_of_an_arrival_is_taken_in(take_in):
    take_in(
        "animals",
        "name,species,came_on,sex_guess,chip,colour,origin,found_by\n"
        "Moss,guinea pig,2027-01-01,F,276 0981 0002 1417,agouti,Given up,Hedda Brook\n",
    )

    moss = Animal.objects.get()
    assert (moss.sex, moss.sex_guess, moss.chip) == ("", "F", "276098100021417")
    assert (moss.colour, moss.origin, moss.found_by) == ("agouti", "given up", "Hedda Brook")


def test_a_row_without_numbers_is_known_again_though_there_are_more_columns(take_in):
    # As it was made before there were columns of an arrival: from all that stood in the row.
    told = ("", "", "Moss", "rabbit", "", "None", "0", "2027-01-01", "False", "None", "False")
    more = ("False", "None", "None", "None", "None", "", "None", "", "None", "")
    namespace = uuid.UUID("6b0f6d1c-9a5e-4a0f-8f5c-2f9f6f0c7d11")

    take_in("animals", "name,species,came_on\nMoss,rabbit,2027-01-01\n")

    key = uuid.uuid5(namespace, repr(("animals", told + more)))
    assert Animal.objects.get().idempotency_key == key


def test_postgresql_plans_for_the_rows_of_a_large_file_at_once(take_in):
    if connection.vendor != "postgresql":
        pytest.skip("SQLite plans without counting rows")

    take_in("homes", "name\n" + "".join(f"Wren {number}\n" for number in range(300)))

    with connection.cursor() as cursor:
        cursor.execute("SELECT reltuples FROM pg_class WHERE relname = 'habitats_home'")
        assert cursor.fetchone() == (300,)
