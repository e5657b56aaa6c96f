"""The page of a placing in a hallway: what is proposed first, wishes typed, the rest folded."""

import re

import pytest

from builds.placing.pages import folding

PAGE = "/placing/"
SMALL, LARGE = ("##", "##"), ("####", "####")


@pytest.fixture
def many(lives, make_animal, make_group, make_home, make_enclosure, answer_to, this_day):
    """Sixteen pairs wait, and as many homes have a free enclosure for one of them."""
    answer_to("ch-tschv")
    groups = [
        make_group(make_animal(f"Ida {number}", grams=900), make_animal(f"Una {number}", grams=900))
        for number in range(1, 17)
    ]
    homes = [make_home(f"Wren {number}", most_enclosures=1) for number in range(1, 17)]
    for number, home in enumerate(homes, 1):
        make_enclosure(f"Snug {number}", home, plan=LARGE)
    return groups, homes


def test_a_home_is_found_by_a_part_of_its_name_and_takes_nobody(many, coordinating, text_of):
    page = coordinating.get(PAGE, {"takes_nobody": "wren 16"})

    assert "Wren 16 takes nobody" in text_of(page)
    assert len(page.context["page"].rows) == 15
    code = page.context["page"].kept[0][1]
    assert f'href="/homes/{code}/absences/new/"' in page.text


def test_what_could_be_several_homes_is_asked_about_and_nothing_typed_is_lost(many, coordinating):
    page = coordinating.get(PAGE, {"takes_nobody": "wren"})

    assert "could be: Wren 1; Wren 2; Wren 3; Wren 4; and others. Type more of it." in page.text
    assert 'value="wren"' in page.text
    assert page.context["page"].kept == []


def test_a_name_that_nobody_has_is_told_beside_its_field(many, coordinating, text_of):
    groups, _homes = many
    given = {"group": groups[0].code, "how": "in", "place": "Fernhill"}

    page = coordinating.get(PAGE, given)

    assert "“Fernhill” is not in this list." in text_of(page)
    # The group came by its code; its name stands in the field.
    assert 'value="Ida 1 and Una 1"' in page.text


def test_a_pair_has_to_be_in_a_place_typed_beside_its_move(many, coordinating):
    groups, homes = many
    for place in ("anywhere in wren 9", "snug 9"):
        page = coordinating.get(PAGE, {"group": groups[0].code, "how": "in", "place": place})

        (row,) = [one for one in page.context["page"].rows if one.group == groups[0].code]
        assert row.to == f"Snug 9, {homes[8]}"


def test_a_second_place_for_a_group_takes_the_place_of_the_first(many, coordinating):
    groups, _homes = many
    first = coordinating.get(PAGE, {"group": groups[0].code, "how": "in", "place": "snug 9"})
    kept = dict(first.context["page"].kept)

    page = coordinating.get(PAGE, {**kept, "group": groups[0].code, "how": "in", "place": "snug 8"})

    assert [one.words for one in page.context["page"].wishes.rows()] == [
        "Ida 1 and Una 1: in Snug 8, Wren 8"
    ]


def test_enclosures_with_one_name_are_told_apart_by_their_code(
    many, make_enclosure, coordinating, this_day
):
    _groups, homes = many
    twin = make_enclosure("Snug 1", homes[0], plan=SMALL)

    names = [name for _code, name in coordinating.get(PAGE).context["wishes"].places]

    assert f"Snug 1, Wren 1 ({twin.code})" in names
    assert len(set(names)) == len(names)


def test_the_first_moves_stand_open_and_the_rest_is_one_line(many, coordinating, text_of):
    page = coordinating.get(PAGE)
    rows = page.context["page"].folded_rows

    assert (len(rows.first), len(rows.more)) == (12, 4)
    assert "And 4 more moves" in text_of(page)
    # A list that goes on has the numbers that come next.
    assert '<ol class="placing-moves" start="13">' in page.text
    assert page.text.count("Check and move") == 16


def test_the_fold_is_open_where_the_second_best_place_was_asked_for(many, coordinating):
    last = coordinating.get(PAGE).context["page"].rows[-1].group

    page = coordinating.get(PAGE, {"next": last})

    assert page.context["page"].is_next_folded
    assert '<details class="placing-more" open>' in page.text


def test_one_row_more_is_not_folded():
    assert folding.folded(range(13)) == (range(13), range(0))
    assert [len(one) for one in folding.folded(range(14))] == [12, 2]


def test_homes_without_a_change_are_counted_not_listed(many, make_home, coordinating, text_of):
    make_home("Elm")

    assert "And 1 home without a change." in text_of(coordinating.get(PAGE))


def test_after_one_move_the_next_one_is_at_hand(many, coordinating):
    _groups, homes = many
    row = coordinating.get(PAGE, {"away": homes[0].code}).context["page"].rows[0]
    form = coordinating.get(row.address)

    sent = {name: form.context["form"][name].value() for name in ("once", "since")}
    basis = {key: one for key, one in _hidden(form).items() if key not in sent}
    done = coordinating.post(row.address.split("?")[0], {**basis, **sent})

    assert (done.status_code, done.url) == (302, f"{PAGE}?away={homes[0].code}")


def test_a_move_goes_on_to_no_page_that_is_not_ours(many, coordinating):
    row = coordinating.get(PAGE).context["page"].rows[0]
    address = row.address.split("&then=")[0]

    form = coordinating.get(f"{address}&then=https://elsewhere.example/")

    assert "elsewhere.example" not in form.text


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_hundred_homes_are_no_hundred_rows_on_a_phone(many, phone, coordinator, language):
    coordinator.language = language
    coordinator.save()
    phone.goto(PAGE)

    assert phone.evaluate("document.documentElement.scrollHeight") < 3_600
    assert phone.evaluate("document.documentElement.scrollWidth") == 360
    folds = phone.locator("main details[open]")
    assert folds.count() == 0


def _hidden(page):
    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', page.text)
    return {name: value for name, value in found if name != "csrfmiddlewaretoken"}
