"""CSV as it comes: read into values, or refused in a sentence with its place."""

import csv
from contextlib import suppress
from datetime import date
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.csv_cells import cell, plain
from habitats.imports import (
    KINDS,
    MOST_BYTES,
    Unreadable,
    read,
    shared_columns,
    template,
)
from habitats.imports import animals as animal_columns
from habitats.imports import homes as home_columns
from habitats.imports.contacts import CONTACT

TODAY = date(2027, 3, 10)
HOMES, ANIMALS, WEIGHTS, ENCLOSURES = (
    KINDS[name] for name in ("homes", "animals", "weights", "enclosures")
)


def read_text(text, kind=HOMES):
    return read(text.encode(), kind, TODAY)


def only_row(text, kind=HOMES):
    sheet = read_text(text, kind)
    assert sheet.faults == ()
    (row,) = sheet.rows
    return row.values


def only_fault(text, kind=ANIMALS):
    sheet = read_text(text, kind)
    (fault,) = sheet.faults
    assert sheet.rows == ()
    return fault


def animal(**cells):
    """A file of one animal."""
    cells = {"name": "Pip", "species": "guinea pig", "came_on": "2027-01-05", **cells}
    return f"{','.join(cells)}\n{','.join(cells.values())}\n"


# --- The file as a whole ---


def test_cells_in_quotes_hold_separators_line_breaks_and_quotes():
    # RFC 4180, section 2, rules 5 to 7.
    text = 'name,area,notes\r\n"Wren, the tall","Ash ""Old"" Lane","one\r\ntwo"\r\n'

    values = only_row(text)

    assert values["name"] == "Wren, the tall"
    assert values["area"] == 'Ash "Old" Lane'
    assert values["notes"] == "one\ntwo"


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_separators_and_line_ends_are_told_apart(separator, end):
    text = end.join(separator.join(line) for line in (["name", "area"], ["Wren", "Larkrise"]))

    assert only_row(text)["area"] == "Larkrise"


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_utf_8_is_read_with_its_byte_order_mark_and_without(mark):
    sheet = read(mark + "name\nZoë".encode(), HOMES, TODAY)

    assert sheet.rows[0].values["name"] == "Zoë"


def test_columns_may_stand_in_any_order_and_be_padded():
    values = only_row("  Area ;NAME;;\nLarkrise;Wren;;\n;;;\n")

    assert (values["name"], values["area"]) == ("Wren", "Larkrise")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"\xef\xbb\xbf", "These columns are missing from the first line: name."),
        ("name\nWren\nZoë".encode("latin-1"), "Line 3 is not UTF-8: the byte EB is not allowed"),
        ("name\r\nWren\r\nZoë".encode("cp1252"), "Line 3 is not UTF-8"),
        ("name\nZoë".encode("utf-16"), "The file is in UTF-16"),
        (b"PK\x03\x04 and so on", "This is a workbook or an archive"),
        (b"name\nWren\nA\0sh", "Line 3 has a NUL byte"),
        (b'name\nWren\n"Ash\nTern', "From line 3 on, quotation marks are not closed"),
        (b'name\nWren\n"Ash"x\n', "From line 3 on, quotation marks"),
        (b"name\n" + b"x" * 200_000, "From line 2 on,"),
        (b"name\n\n", "There is no row below the first line"),
        (b"name,nmae\nWren,x", "unknown columns: “nmae”. Known columns are code, own_id"),
        (b"name,area,name\nWren,x,y", "more than once: name."),
        (b"area\nLarkrise", "missing from the first line: name."),
        (b"x" * (MOST_BYTES + 1), "larger than 16 MB, which is the limit. Split it"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused_in_a_sentence(content, sentence):
    with pytest.raises(Unreadable) as refused:
        read(content, HOMES, TODAY)

    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    ("kind", "head", "row", "most"),
    [
        (WEIGHTS, "animal,day,grams\n", "A1,2027-03-01,800\n", 50_000),
        (HOMES, "name\n", "Wren\n", 5_000),
    ],
)
def test_as_many_rows_as_are_allowed_are_read_and_one_more_is_refused(kind, head, row, most):
    assert len(read_text(head + row * most, kind).rows) == most
    with pytest.raises(Unreadable, match=f"more than {most} rows"):
        read_text(head + row * (most + 1), kind)


HEADS = [b"", *(b",".join(name.encode() for name in kind.names) + b"\n" for kind in KINDS.values())]


@given(st.sampled_from(HEADS), st.binary(max_size=300))
def test_whatever_the_bytes_they_are_read_or_refused(head, content):
    for kind in KINDS.values():
        with suppress(Unreadable):
            sheet = read(head + content, kind, TODAY)
            assert len(sheet.rows) + len({fault.line for fault in sheet.faults}) == sheet.lines


WORDS = st.text(
    st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\u2028\u2029\x85"),
    min_size=1,
    max_size=40,
).filter(lambda text: text == text.strip())


@given(st.lists(st.tuples(WORDS, WORDS), min_size=1, max_size=5), st.sampled_from(",;\t"))
def test_what_another_writer_wrote_is_read_as_it_was(rows, separator):
    out = StringIO()
    csv.writer(out, delimiter=separator).writerows(
        [("name", "area"), *((cell(name), cell(area)) for name, area in rows)]
    )

    sheet = read(out.getvalue().encode(), HOMES, TODAY)

    assert [(row.values["name"], row.values["area"]) for row in sheet.rows] == rows


@given(st.text())
def test_a_cell_comes_back_as_it_was_and_never_is_a_formula(text):
    # OWASP, "CSV Injection": the marks with which a spreadsheet takes a cell for a formula.
    assert plain(cell(text)) == text
    assert not cell(text).startswith(("=", "+", "-", "@", "\t", "\r"))


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_the_template_names_every_column_and_nothing_to_take_in_by_mistake(kind):
    content = "".join(template(kind)).encode()

    with pytest.raises(Unreadable, match="no row below the first line"):
        read(content, kind, TODAY)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_the_examples_of_the_columns_can_be_read(kind):
    cells = {column.name: column.example for column in kind.columns}

    sheet = read_text(f"{','.join(cells)}\n{','.join(cells.values())}\n", kind)

    assert sheet.faults == ()


# --- Rows and cells ---


def test_a_fault_says_its_line_column_and_what_was_given():
    text = 'name,notes,most_enclosures\nWren,"two\nlines",2\nAsh,,many\n'

    (fault,) = read_text(text).faults

    assert fault[:3] == (4, "most_enclosures", "many")
    assert fault.sentence == "This is not a whole number. Write digits only, such as 0."


def test_a_row_without_fault_is_read_beside_one_with():
    sheet = read_text("name,kind\nWren,foster\nAsh,castle\n")

    assert [row.values["name"] for row in sheet.rows] == ["Wren"]
    assert (sheet.lines, len(sheet.faults)) == (2, 1)


@pytest.mark.parametrize("row", ["Wren", "Wren,Larkrise,more"])
def test_a_row_with_too_few_or_too_many_cells_is_refused(row):
    (fault,) = read_text(f"name,area\n{row}\n").faults

    assert "the first line 2" in fault.sentence


@pytest.mark.parametrize("formula", ["=1+1", "+44", "-x", "@SUM(A1)"])
@pytest.mark.parametrize("mark", ["", "'"])
def test_a_formula_is_read_as_text(formula, mark):
    assert only_row(f"name\n{mark}{formula}\n")["name"] == formula


@pytest.mark.parametrize("column", ["born", "adult_grams", "born_margin_days"])
@pytest.mark.parametrize("formula", ["=1+1", "+1", "-1", "@SUM(A1)", "'=1+1"])
def test_a_formula_is_refused_where_a_number_or_a_day_is_asked_for(column, formula):
    fault = only_fault(animal(**{column: formula}))

    assert fault.column == column
    assert "begins like a formula" in fault.sentence
    assert "paste the value itself" in fault.sentence


@pytest.mark.parametrize(
    "day",
    ["3.4.2026", "04/03/2026", "20260403", "2026-4-3", "2026-02-30", "2026-W14-5", "٢٠٢٦-٠٤-٠٣"],
)
def test_days_are_read_as_iso_8601_has_them_and_in_no_other_way(day):
    # ISO 8601-1:2019, 5.2.2.1, extended format.
    fault = only_fault(animal(born=day))

    assert fault.sentence.startswith("This is not a valid day. Write year-month-day")


@pytest.mark.parametrize(
    ("cells", "column", "words"),
    [
        ({"born": "2027-03-11"}, "born", "is in the future: today is 10"),
        ({"born": "1889-01-01"}, "born", "is too long ago"),
        ({"name": ""}, "name", "This must not be empty. The name of the animal."),
        ({"name": "x" * 61}, "name", "It has 61 characters; 60 are allowed"),
        ({"name": "a\x07b"}, "name", "control character"),
        ({"species": "hamster"}, "species", "Allowed: guinea pig, rabbit."),
        ({"sex": "boar"}, "sex", "Write F or M"),
        ({"is_castrated": "maybe"}, "is_castrated", "Allowed: yes, no."),
        ({"adult_grams": "1.5"}, "adult_grams", "not a whole number"),
        ({"adult_grams": "١٢٠٠"}, "adult_grams", "not a whole number"),
        ({"adult_grams": "40000"}, "adult_grams", "cannot be the weight of a guinea pig"),
        ({"born": "2026-05-01", "castrated_on": "2026-04-01"}, "castrated_on", "before its birth"),
        ({"born": "2027-01-06"}, "came_on", "before it was born"),
        ({"left_on": "2027-01-04", "left_why": "died"}, "left_on", "before it came"),
        ({"left_on": "2027-02-04"}, "left_why", "go together"),
        ({"left_why": "died"}, "left_on", "go together"),
        ({"left_on": "2027-02-04", "left_why": "ran"}, "left_why", "adopted, passed on, returned"),
        ({"sex": "M", "may_be_pregnant": "yes"}, "sex", "A male cannot be pregnant"),
        ({"rhd_exposed_on": "2027-01-01"}, "rhd_exposed_on", "Only rabbits catch this disease"),
        ({"code": "AEIOU1"}, "code", "This is not a code"),
        (
            {"with_male_since": "2027-02-01", "with_male_last": "2027-01-20"},
            "with_male_since",
            "ends before it begins",
        ),
    ],
)
def test_an_animal_that_cannot_be_is_refused_in_a_sentence(cells, column, words):
    fault = only_fault(animal(**cells))

    assert fault.column == column
    assert words in fault.sentence


def test_an_estimated_birth_may_lie_after_a_castration_by_its_margin():
    text = animal(born="2026-05-01", born_margin_days="60", castrated_on="2026-04-01")

    assert only_row(text, ANIMALS)["castrated_on"] == date(2026, 4, 1)


@pytest.mark.parametrize("words", ["guinea pig", "Guinea_Pig", " GUINEA  PIG "])
def test_words_are_understood_in_any_case(words):
    assert only_row(animal(species=words), ANIMALS)["species"] == "guinea_pig"


@pytest.mark.parametrize("column", ["code", "own_id"])
def test_two_rows_with_one_code_or_number_are_refused(column):
    (fault,) = read_text(f"name,{column}\nWren,BCDF23\nAsh,BCDF23\n").faults

    assert (fault.line, fault.column) == (3, column)
    assert "Line 2 has the same" in fault.sentence


def test_one_side_of_a_footprint_says_nothing():
    (fault,) = read_text("name,largest_width_mm\nWren,900\n").faults

    assert fault.column == "largest_depth_mm"


def test_what_is_retired_stands_in_no_home():
    text = "label,design,state,since,home\nOld,BCDF23,retired,2027-01-01,H1\n"

    assert only_fault(text, ENCLOSURES).column == "home"


def test_an_enclosure_in_use_is_standing_till_somebody_moves_in():
    text = "label,design,state,since\nOld,BCDF23,in use,2027-01-01\n"

    assert only_row(text, ENCLOSURES)["state"] == "standing"


def test_bounds_are_those_of_what_is_remembered():
    from habitats.animals.models import animals
    from habitats.common import codes
    from habitats.common.codes import CODE_MARKS
    from habitats.homes.models import homes

    assert home_columns.MOST_ENCLOSURES == homes.MOST_ENCLOSURES
    assert home_columns.MOST_ANIMALS == homes.MOST_ANIMALS
    assert home_columns.MOST_ISOLATION_PLACES == homes.MOST_ISOLATION_PLACES
    assert (homes.LEAST_FOOTPRINT_MM, homes.LARGEST_FOOTPRINT_MM) == home_columns.FOOTPRINT_MM
    assert animal_columns.MOST_MARGIN_DAYS == animals.MOST_MARGIN_DAYS
    chosen = [value for value, _label in animals.Animal.Leaving.chosen()]
    assert chosen == list(animal_columns.LEAVINGS)
    assert shared_columns.LONGEST_OWN_ID == codes.LONGEST_OWN_ID
    assert only_row(f"name,code\nWren,{CODE_MARKS[:6]}\n")["code"] == CODE_MARKS[:6]


def test_each_column_is_at_most_as_long_as_it_is_remembered():
    from habitats.animals.models.animals import Animal
    from habitats.enclosures.models.enclosures import Enclosure
    from habitats.homes.models.homes import Home, HomeContact

    for kind, model in ((HOMES, Home), (ANIMALS, Animal), (ENCLOSURES, Enclosure)):
        for column in kind.columns:
            owner = HomeContact if column.name in CONTACT else model
            names = {field.name: field.max_length for field in owner._meta.fields}
            longest = names.get(column.name)
            if longest and column.name not in ("species", "sex", "kind", "left_why", "code"):
                with pytest.raises(ValueError):
                    column.read("x" * (longest + 1), TODAY)
