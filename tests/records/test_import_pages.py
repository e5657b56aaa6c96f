"""Imports by their pages: looked at first, then all or nothing, or without the faulty rows."""

import uuid
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from habitats.animals.models.animals import Animal, Weighing
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure, State
from habitats.enclosures.models.parts import Component
from habitats.homes.models.homes import Home, HomeContact
from habitats.imports import KINDS
from habitats.readings.models.readings import Reading
from habitats.records.models.import_files import ImportFile

pytestmark = pytest.mark.django_db

ANIMALS = "own_id,name,species,sex,born,came_on,mother\n"
COUNTED = (Home, HomeContact, Animal, Weighing, Enclosure, ImportFile)


@pytest.fixture
def a_design(make_enclosure):
    """The design of an enclosure that stands already."""
    return make_enclosure("Old").revision.design


@pytest.fixture
def files(a_design, make_animal, make_home):
    """A sound file of each kind."""
    make_animal("Kept", own_id="K1", born=None)
    make_home("Ash", own_id="H9")
    make_home("Teal", own_id="H8")
    return {
        "homes": "own_id,name,area,phone\nH1,Wren,Larkrise,01632 960001\n,Tern,,\n",
        "contacts": "home,full_name,phone\nH8,Teal Nobody,01632 960002\nH9,,01632 960003\n",
        "enclosures": "own_id,label,design,state,since,home\n"
        f"E1,North wall,{a_design.code},standing,2027-02-01,H9\n"
        f",South wall,{a_design.code},planned,2027-02-01,\n",
        "animals": f"{ANIMALS}A1,Pip,guinea pig,F,2026-01-01,2026-02-01,\n"
        ",Moss,rabbit,,,2026-02-01,\n",
        "weights": "animal,day,grams\nK1,2027-01-05,800\nK1,2027-01-12,812\n",
    }


def remembered():
    return [model.objects.count() for model in COUNTED]


def page_of(response):
    return " ".join(response.content.decode().split())


@pytest.mark.parametrize("kind", KINDS)
def test_a_dry_run_counts_and_writes_nothing(kind, files, dry_run):
    before = remembered()

    page = dry_run(kind, files[kind])

    assert (len(page.context["plan"].new), page.context["plan"].known) == (2, 0)
    assert "Take in all 2" in page_of(page)
    assert remembered()[:-1] == before[:-1]


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_that_comes_again_changes_nothing(kind, files, take_in, dry_run):
    take_in(kind, files[kind])
    before = remembered()

    again = dry_run(kind, files[kind])

    assert (len(again.context["plan"].new), again.context["plan"].known) == (0, 2)
    assert "There is nothing to take in" in page_of(again)
    assert remembered()[:-1] == before[:-1]


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_confirmed_twice_happens_once(kind, files, hand_in):
    address = hand_in(kind, files[kind]).url
    hand_in.client.post(address, {"how": "whole"})
    before = remembered()

    again = hand_in.client.post(address, {"how": "whole"})

    assert "Taken in on" in page_of(again)
    assert remembered() == before


def test_a_home_is_taken_in_with_how_to_reach_it(take_in, files):
    take_in("homes", files["homes"])

    home = Home.objects.get(own_id="H1")
    assert (home.name, home.area, home.most_enclosures) == ("Wren", "Larkrise", 1)
    assert home.contact.phone == "01632 960001"
    assert not HomeContact.objects.filter(home__name="Tern").exists()


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
        ("H7,01632 960001\n", "No home here is called that."),
        ("H1,\n", "The row says of no way to reach them."),
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
    assert made.state_now() == State.STANDING
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
        ("P,Pup,guinea pig,F,2027-02-01,2027-02-01,X\n", "No animal is called that"),
        ("P,Pup,guinea pig,F,2027-02-01,2027-02-01,P\n", "its own mother"),
        (
            "P,Pup,guinea pig,F,,2027-02-01,M\nM,Ma,guinea pig,F,,2026-02-01,P\n",
            "descend from itself",
        ),
        (
            "P,Pup,guinea pig,F,,2027-02-01,M\nM,Ma,guinea pig,M,,2026-02-01,\n",
            "Ma cannot be its mother: name a female",
        ),
        (
            "P,Pup,guinea pig,F,,2027-02-01,M\nM,Ma,rabbit,F,,2026-02-01,\n",
            "Ma cannot be its mother",
        ),
        (
            "P,Pup,guinea pig,F,2025-01-01,2027-02-01,M\nM,Ma,guinea pig,F,2026-01-01,2026-02-01,",
            "not before it",
        ),
        (
            "P,Pup,guinea pig,F,2027-02-01,2027-02-01,M\nM,Ma,hamster,F,,2026-02-01,\n",
            "Its mother stands in line 3, which has a fault",
        ),
        (
            "P,Pup,guinea pig,F,,2027-02-01,M\nM,Ma,guinea pig,F,,2026-02-01,X\n",
            "Its mother stands in line 3, which has a fault",
        ),
    ],
)
def test_a_mother_that_cannot_be_is_refused_in_a_sentence(rows, words, dry_run):
    page = dry_run("animals", ANIMALS + rows)

    assert any(words in fault.sentence for fault in page.context["plan"].faults)


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("nobody,2027-01-05,800", "animal", "No animal here is called that"),
        ("K1,2027-01-05,0", "grams", "0 g cannot be the weight of a guinea pig"),
        ("K1,2027-01-05,40000", "grams", "40 000 g cannot be the weight of a guinea pig"),
        ("K1,2025-12-31,800", "day", "before its birth on 1 January 2026"),
        ("K1,2027-03-11,800", "day", "11 March 2027 is in the future"),
        ("K1,2027-01-05,800 g", "grams", "This is no whole number"),
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
        ("{code},standing,2027-02-01,nowhere", "home", "No home here is called that"),
        ("{code},standing,2027-02-01,H8", "home", "Tern is closed. Open it again first"),
        ("BBBBBB,standing,2027-02-01,", "design", "No design has this code"),
        ("{draft},standing,2027-02-01,", "design", "is a draft and cannot be made yet"),
        ("{code},occupied,2027-02-01,", "state", "Write planned, building"),
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
    assert "Look again" in page.text

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

    assert "says the same as line 2" in fault.sentence


def test_a_home_that_is_known_by_its_code_stays_as_it_is(take_in, make_home):
    home = make_home("Wren", area="Larkrise")

    take_in("homes", f"code,name,area\n{home.code},Other,Elsewhere\n")

    home.refresh_from_db()
    assert (home.name, home.area) == ("Wren", "Larkrise")


# --- All or nothing, or without the faulty rows ---

HALF = "name,most_enclosures\nWren,2\nAsh,many\nTern,1\n"


def test_the_whole_file_or_nothing(take_in):
    page = take_in("homes", HALF)

    assert page.status_code == 422
    assert "It has faults, so nothing was taken in." in page_of(page)
    assert not Home.objects.exists()


def test_faulty_rows_are_left_out_and_listed(take_in, rows_of):
    page = take_in("homes", HALF, how="skip")

    file = ImportFile.objects.get()
    assert set(Home.objects.values_list("name", flat=True)) == {"Wren", "Tern"}
    assert (file.made, file.left_out, bytes(file.content)) == (2, 1, b"")
    assert "Rows that were left out" in page_of(page)
    (row,) = rows_of(take_in.client.get(reverse("import_faults", args=[file.once])))
    assert (row["line"], row["column"], row["given"]) == ("3", "most_enclosures", "many")


def test_each_fault_stands_in_the_table_with_its_line(dry_run):
    page = page_of(dry_run("homes", HALF))

    assert "<code>most_enclosures</code>" in page
    assert "This is no whole number." in page
    assert "Take in 2, leave out 1" in page


def test_all_faults_can_be_taken_as_a_file(dry_run, rows_of):
    long = "\n".join(f"{'x' * 61}{number}" for number in range(300))

    page = dry_run("homes", f"name\n{long}\n")

    assert "The first 200 of 300 faults" in page_of(page)
    file = ImportFile.objects.get()
    assert len(rows_of(dry_run.client.get(reverse("import_faults", args=[file.once])))) == 300


@pytest.mark.parametrize("how", ["", "halfway"])
def test_who_does_not_say_how_is_asked(take_in, how):
    page = take_in("homes", "name\nWren\n", how=how)

    assert page.status_code == 422
    assert "Nothing was taken in." in page_of(page)
    assert not Home.objects.exists()


def test_what_fails_half_way_leaves_nothing_behind(take_in, monkeypatch):
    from django.db import IntegrityError

    def fail(*_args, **_options):
        raise IntegrityError

    monkeypatch.setattr(HomeContact.objects, "bulk_create", fail)

    page = take_in("homes", "name,phone\nWren,01632 960001\n")

    assert page.status_code == 422
    assert "written down by somebody else" in page_of(page)
    assert not Home.objects.exists()
    assert not ImportFile.objects.get().is_taken


# --- The file between dry run and decision ---


def test_a_file_can_be_thrown_away(hand_in):
    address = hand_in("homes", "name\nWren\n").url

    hand_in.client.post(reverse("drop_import", args=[ImportFile.objects.get().once]))

    assert hand_in.client.get(address).status_code == 404
    assert not ImportFile.objects.exists()


def test_what_was_taken_in_is_not_thrown_away(take_in):
    take_in("homes", "name\nWren\n")

    take_in.client.post(reverse("drop_import", args=[ImportFile.objects.get().once]))

    assert ImportFile.objects.exists()


def test_a_file_on_which_nobody_decides_is_thrown_away_after_a_day(hand_in):
    hand_in("homes", "name\nWren\n")
    ImportFile.objects.update(made_at=timezone.now() - timedelta(hours=25))

    hand_in("homes", "name\nAsh\n")

    assert bytes(ImportFile.objects.get().content) == b"name\nAsh\n"


def test_a_form_sent_twice_keeps_one_file_and_a_corrected_one_is_another(hand_in):
    once = uuid.uuid4()
    first = hand_in("homes", "name\nWren\n", once=once)
    again = hand_in("homes", "name\nWren\n", once=once)
    corrected = hand_in("homes", "name\nAsh\n", once=once)

    assert first.url == again.url != corrected.url
    assert ImportFile.objects.count() == 2


@pytest.mark.parametrize(
    ("kind", "content", "field", "sentence"),
    [
        ("homes", b"", "file", "The file is empty."),
        ("homes", "name\nZoë".encode("latin-1"), "file", "Line 2 is not UTF-8"),
        ("homes", b"name\nWren\0", "file", "NUL byte"),
        ("cats", b"name\nWren", "kind", "cats"),
        ("", b"name\nWren", "kind", "Say what is in the file"),
        ("homes", None, "file", "No file came with it."),
    ],
)
def test_what_cannot_be_handed_in_is_refused_beside_the_field(
    kind, content, field, sentence, client_of, coordinator, hand_in
):
    if content is None:
        page = client_of(coordinator).post(reverse("import_csv"), {"kind": kind})
    else:
        page = hand_in(kind, content)

    assert page.status_code == 422
    assert sentence in str(page.context["form"].errors[field])
    assert not ImportFile.objects.exists()


# --- Many ---


def test_weights_written_in_bulk_are_seen_on_the_board(
    take_in, make_home, make_animal, make_enclosure, make_group, today
):
    animal = make_animal("Pip", own_id="A1")
    enclosure = make_enclosure("North wall", make_home())
    make_group(animal, enclosure=enclosure)
    before = Reading.objects.fresh(today).get(enclosure=enclosure).dues

    take_in("weights", "animal,day,grams\nA1,2027-03-09,800\n")

    after = Reading.objects.fresh(today).get(enclosure=enclosure).dues
    assert before != after


def test_queries_do_not_grow_with_rows(hand_in, make_animal, a_design):
    def queries(kind, rows):
        head = {
            "homes": "name,phone\n",
            "animals": "name,species,came_on\n",
            "enclosures": "label,design,state,since\n",
        }[kind]
        address = hand_in(kind, head + rows).url
        with CaptureQueriesContext(connection) as caught:
            hand_in.client.get(address)
            hand_in.client.post(address, {"how": "whole"})
        return len(caught)

    def rows(kind, count):
        ends = {
            "homes": "1",
            "animals": "rabbit,2027-01-01",
            "enclosures": f"{a_design.code},standing,2027-01-01",
        }
        return "".join(f"{kind} {count} {number},{ends[kind]}\n" for number in range(count))

    for kind in ("homes", "animals", "enclosures"):
        assert queries(kind, rows(kind, 3)) == queries(kind, rows(kind, 30)), kind


@pytest.mark.parametrize("kind", KINDS)
def test_a_template_names_the_columns_of_its_kind(kind, client_of, coordinator, rows_of):
    response = client_of(coordinator).get(reverse("import_template", args=[kind]))
    text = b"".join(response.streaming_content).decode("utf-8-sig")

    assert text.strip().split(",") == list(KINDS[kind].names)


def test_there_is_no_template_for_what_is_not_imported(client_of, coordinator):
    assert client_of(coordinator).get("/import/cats/template.csv").status_code == 404


# --- In a browser ---


@pytest.mark.parametrize("screen", ["phone", "desktop"])
@pytest.mark.django_db(transaction=True)
def test_a_file_is_handed_in_and_decided_on_without_script(screen, open_page, coordinator):
    page = open_page(coordinator, screen=screen, script=False)
    page.goto(reverse("import_csv"))
    page.get_by_label("Homes", exact=True).check()
    file = {"name": "homes.csv", "mimeType": "text/csv", "buffer": HALF.encode()}
    page.get_by_label("The file").set_input_files(file)
    page.get_by_role("button", name="Look what it would do").click()
    page.get_by_role("button", name="Take in 2, leave out 1").click()

    assert "Rows that were left out" in page.content()
    assert Home.objects.count() == 2


@pytest.mark.django_db(transaction=True)
def test_the_pages_have_no_accessibility_fault(desktop, axe):
    desktop.goto(reverse("import_csv"))
    axe(desktop)
    desktop.get_by_label("Homes", exact=True).check()
    file = {"name": "homes.csv", "mimeType": "text/csv", "buffer": HALF.encode()}
    desktop.get_by_label("The file").set_input_files(file)
    desktop.get_by_role("button", name="Look what it would do").click()
    axe(desktop)
    desktop.get_by_role("button", name="Take in 2, leave out 1").click()
    axe(desktop)
    desktop.goto(reverse("export"))
    axe(desktop)
