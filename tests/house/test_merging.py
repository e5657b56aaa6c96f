"""Doubles are merged with all that hangs on them, whichever table it is in."""

from itertools import pairwise

import pytest
from django.apps import apps

from habitats.adoptions.models import merging as adopters
from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import Adoption
from habitats.animals.models import merging as animals
from habitats.animals.models.animals import Animal
from habitats.animals.models.births import Birth
from habitats.animals.models.groups import Membership
from habitats.common.merging import CannotMerge, move_relations
from habitats.common.relations import relations_to, rows_about
from habitats.homes.models import merging as homes
from habitats.homes.models.homes import Home, HomeContact
from habitats.people.models import merging as people
from habitats.people.models.people import Person

pytestmark = pytest.mark.django_db

SENT = {"is_same": "on"}


def pointing_at(row):
    """Tables with a row that points at it still, but for pointers of other doubles."""
    return {rows.model._meta.label for rows in rows_about(row) if rows.exists()}


# --- Every relation ---


@pytest.mark.parametrize("noun", [Adopter, Animal, Home, Person])
def test_the_walk_finds_every_foreign_key_of_every_table(noun):
    """Against Django's own list of tables, with those it makes for many-to-many."""
    there = {
        (model._meta.label, field.name)
        for model in apps.get_models(include_auto_created=True)
        for field in model._meta.concrete_fields
        if field.is_relation and field.related_model is noun
    }

    walked = {(one.related_model._meta.label, one.field.name) for one in relations_to(noun)}

    assert walked == there


@pytest.mark.parametrize(("noun", "without"), [(Animal, animals.WITHOUT), (Home, ()), (Person, ())])
def test_nothing_is_left_out_but_what_is_named(noun, without):
    """What is named is worked out anew, or laid together by itself."""
    known = {one.related_model._meta.model_name for one in relations_to(noun)}

    assert set(without) <= known
    assert not {name for name in without if name not in ("membership", "unhoused", "duerow")}


def test_rows_of_many_tables_move_and_none_is_left(lives, make_animal, coordinator, make_home, day):
    _group, (kept,), _nook = lives("Ida")
    double = make_animal("Ida", grams=800, sex="F")
    Birth.objects.create(mother=double, on=day(-3), young=2, made_by=coordinator)
    young = make_animal("Nut", mother=double)

    animals.merge(kept, double, {}, by=coordinator)

    young.refresh_from_db()
    assert pointing_at(double) == set()
    assert (kept.weighings.count(), kept.births.count(), young.mother) == (1, 1, kept)


def test_what_both_have_is_there_once(make_home, foster):
    kept, double = make_home("Wren", people=[foster]), make_home("Wren", people=[foster])

    move_relations(kept, double)

    assert list(kept.people.all()) == [foster]
    assert pointing_at(double) == set()


# --- Animals ---


def test_a_double_leads_to_the_one_that_is_kept(coordinating, make_animal, coordinator):
    kept, double = make_animal("Ida"), make_animal("Ida B", notes="shy")

    animals.merge(kept, double, {"name": "kept"}, by=coordinator)

    answer = coordinating.get(f"/animals/{double.code}/")
    assert answer.headers["Location"] == f"/animals/{kept.code}/"
    assert "shy" in kept.notes
    assert f"Merged with {double.code} (Ida B)" in kept.notes
    assert [one.code for one in Animal.objects.here()] == [kept.code]
    assert not Animal.objects.gone().exists()


def test_what_only_one_tells_is_taken_and_what_both_tell_is_chosen(make_animal, coordinator, day):
    kept = make_animal("Ida", sex="F", own_id="7")
    double = make_animal("Ida", sex="M", born=day(-500), chip="276098100000001")

    asked = [one.key for one in animals.contrary(kept, double)]
    animals.merge(kept, double, {"sex": "double"}, by=coordinator)

    kept.refresh_from_db()
    assert asked == ["sex"]
    assert (kept.sex, kept.born, kept.own_id) == ("M", day(-500), "7")
    assert kept.chip == "276098100000001"


def test_without_a_choice_nothing_is_merged(make_animal, coordinator):
    kept, double = make_animal("Ida", sex="F"), make_animal("Ida", sex="M")

    with pytest.raises(CannotMerge, match="Choose one of the two"):
        animals.merge(kept, double, {}, by=coordinator)

    assert Animal.objects.filter(same_as=None).count() == 2


@pytest.mark.parametrize(("whose", "group"), [("kept", 0), ("double", 1)])
def test_of_two_stays_on_one_day_the_chosen_counts(
    whose, group, make_animal, make_group, coordinator, day
):
    kept, double = make_animal("Ida"), make_animal("Ida")
    groups = [
        make_group(kept, make_animal("Nut"), since=day(-50)),
        make_group(double, make_animal("Bo"), since=day(-70)),
    ]

    assert [one.key for one in animals.contrary(kept, double)] == ["stays"]
    animals.merge(kept, double, {"stays": whose}, by=coordinator)

    where = {number: group_on(kept, day(number)) for number in (-60, -40, 0)}
    assert where == {-60: groups[1], -40: groups[group], 0: groups[group]}
    assert no_day_twice(kept)


def group_on(animal, day):
    (span,) = animal.memberships.on(day)
    return span.group


def no_day_twice(animal):
    spans = [one for one in animal.memberships.all() if one.until != one.since]
    ordered = sorted(spans, key=lambda one: one.since)
    return all(one.until and one.until <= later.since for one, later in pairwise(ordered))


def test_days_that_give_way_are_kept_before_and_after_them(
    make_animal, make_group, coordinator, day
):
    kept, double = make_animal("Ida"), make_animal("Ida")
    long = make_group(double, make_animal("Bo"), since=day(-70))
    short = make_group(kept, make_animal("Nut"), since=day(-50))
    kept.memberships.get().end(day(-20), coordinator)

    animals.merge(kept, double, {"stays": "kept"}, by=coordinator)

    told = [group_on(kept, day(number)) for number in (-60, -50, -21, -20, 0)]
    assert told == [long, short, short, long, long]


@pytest.mark.parametrize(
    ("facts", "chosen", "sentence"),
    [
        ({"species": "rabbit"}, {}, "of two species"),
        ({"left_on": -5, "left_why": "adopted"}, {"left_on": "double"}, "so it has not left"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(
    facts, chosen, sentence, lives, make_animal, coordinator, day
):
    _group, (kept,), _nook = lives("Ida")
    told = {name: day(one) if isinstance(one, int) else one for name, one in facts.items()}
    double = make_animal("Ida", **told)

    with pytest.raises(CannotMerge, match=sentence):
        animals.merge(kept, double, chosen, by=coordinator)

    assert not Animal.objects.exclude(same_as=None).exists()


def test_who_has_a_litter_is_no_male(make_animal, coordinator, day):
    kept, double = make_animal("Ida", sex="F"), make_animal("Ida", sex="M")
    Birth.objects.create(mother=kept, on=day(-3), young=2, made_by=coordinator)

    with pytest.raises(CannotMerge, match="Choose female"):
        animals.merge(kept, double, {"sex": "double"}, by=coordinator)


def test_a_group_that_only_the_double_was_in_frees_its_enclosure(lives, coordinator):
    _group, (kept,), _nook = lives("Ida")
    other, (double,), there = lives("Ida")

    animals.merge(kept, double, {"stays": "kept"}, by=coordinator)

    assert not other.stays.open().exists()
    assert there.state_now() == "standing"


# --- Homes and people ---


def test_a_home_takes_what_stands_at_its_double(
    coordinating, make_home, make_enclosure, coordinator
):
    kept, double = make_home("Wren", area="Larkrise"), make_home("Wren H.", area="")
    enclosure = make_enclosure("North", double)
    HomeContact.objects.create(home=double, phone="0123")

    homes.merge(kept, double, {"name": "kept"}, by=coordinator)

    assert [one.enclosure for one in kept.standings.open()] == [enclosure]
    assert HomeContact.objects.get(home=kept).phone == "0123"
    assert list(Home.objects.live()) == [kept]
    answer = coordinating.get(f"/homes/{double.code}/")
    assert answer.headers["Location"] == f"/homes/{kept.code}/"


def test_two_accounts_are_one_person_with_all_that_both_recorded(
    coordinating, coordinator, make_animal, make_home, day
):
    kept = Person.objects.create_user("ines", first_name="Ines", roles="foster")
    double = Person.objects.create_user("ines2", first_name="Ines", roles="foster", password="x")
    home = make_home(people=[kept, double])
    weighing = make_animal().weigh(700, day(0), by=double)

    people.merge(kept, double, {}, by=coordinator)

    weighing.refresh_from_db()
    double.refresh_from_db()
    assert (weighing.made_by, list(home.people.all())) == (kept, [kept])
    assert (double.is_active, pointing_at(double)) == (False, set())
    answer = coordinating.get(f"/people/{double.pk}/")
    assert answer.headers["Location"] == f"/people/{kept.pk}/"


def test_nobody_merges_away_the_account_that_they_use(coordinator):
    other = Person.objects.create_user("other")

    with pytest.raises(CannotMerge, match="your own account"):
        people.merge(other, coordinator, {}, by=coordinator)


def test_an_adopter_takes_the_adoptions_and_the_double_names_nobody(
    coordinating, make_animal, coordinator, day
):
    kept, double = (
        Adopter.objects.write_down(by=coordinator, name="Ada Quill", phone=phone, notes="kind")
        for phone in ("", "0123")
    )
    adoption = adopted_by(double, make_animal("Ida"), coordinator)

    adopters.merge(kept, double, {}, by=coordinator)

    adoption.refresh_from_db()
    double.refresh_from_db()
    assert (adoption.adopter, kept.phone) == (kept, "0123")
    assert (double.name, double.phone, double.notes) == ("Recorded twice", "", "")
    answer = coordinating.get(f"/adopters/{double.code}/")
    assert answer.headers["Location"] == f"/adopters/{kept.code}/"


def test_two_running_adoptions_of_one_animal_are_refused_and_none_is_lost(make_animal, coordinator):
    kept, double = make_animal("Ida"), make_animal("Ida")
    who = Adopter.objects.write_down(by=coordinator, name="Ada Quill")
    adoptions = [adopted_by(who, animal, coordinator) for animal in (kept, double)]

    with pytest.raises(CannotMerge, match="Both are reserved, on trial or adopted"):
        animals.merge(kept, double, {}, by=coordinator)

    assert [one.animals.count() for one in adoptions] == [1, 1]


def adopted_by(adopter, animal, by):
    adoption = Adoption.objects.create(
        adopter=adopter, species="guinea_pig", made_by=by, code=animal.code
    )
    adoption.animals.create(animal=animal)
    return adoption


# --- The page ---


def test_both_are_shown_side_by_side_and_one_is_chosen(coordinating, make_animal, text_of, day):
    kept = make_animal("Ida", sex="F", born=day(-500))
    double = make_animal("Ida", sex="M", born=day(-300))
    address = f"/animals/{kept.code}/merge/"

    assert f"?other={double.code}" in text_of(coordinating.get(address))
    page = coordinating.get(f"{address}?other={double.code}")
    shown = page.context["form"].initial["shown"]
    sent = {**SENT, "shown": shown, "sex": "kept", "born": "double"}
    unsure = coordinating.post(f"{address}?other={double.code}", {**sent, "is_same": ""})
    done = coordinating.post(f"{address}?other={double.code}", sent, follow=True)

    assert "Female" in text_of(page)
    assert unsure.status_code == 422
    kept.refresh_from_db()
    assert (kept.sex, kept.born) == ("F", day(-300))
    assert "Two records are one now: Ida." in text_of(done)


def test_a_choice_of_what_has_changed_since_is_refused(coordinating, make_animal, text_of):
    kept, double = make_animal("Ida", sex="F"), make_animal("Ida", sex="M")
    address = f"/animals/{kept.code}/merge/?other={double.code}"
    shown = coordinating.get(address).context["form"].initial["shown"]
    Animal.objects.filter(pk=double.pk).update(name="Ida B")

    answer = coordinating.post(address, {**SENT, "shown": shown, "sex": "kept", "name": "kept"})

    assert answer.status_code == 422
    assert Animal.objects.filter(same_as=None).count() == 2


def test_a_span_without_days_moves_too(make_animal, make_group, coordinator, day):
    kept, double = make_animal("Ida"), make_animal("Ida")
    make_group(double, since=day(-9))
    double.memberships.get().end(day(-9), coordinator)

    animals.merge(kept, double, {}, by=coordinator)

    assert Membership.objects.filter(animal=double).count() == 0


@pytest.mark.parametrize(
    ("of_kept", "of_double", "said"),
    [
        (True, False, "Merge them only if this person may log in."),
        (False, True, "nobody can log in with either account then"),
        (True, True, None),
        (False, False, None),
    ],
)
def test_a_deactivated_account_is_not_merged_with_an_open_one_unwarned(
    coordinating, text_of, of_kept, of_double, said
):
    kept = Person.objects.create_user("ines", roles="foster", is_active=of_kept)
    double = Person.objects.create_user("ines2", roles="foster", is_active=of_double)

    page = text_of(coordinating.get(f"/people/{kept.pk}/merge/", {"other": double.pk}))

    assert said is None or said in page
    assert ("deactivated" in page) == (said is not None)


def test_a_closed_home_is_not_merged_with_an_open_one_unwarned(
    coordinating, make_home, text_of, today
):
    kept, double = make_home("Wren"), make_home("Wren H.")
    address = f"/homes/{kept.code}/merge/"
    asked = {"other": double.code}
    assert "is closed" not in text_of(coordinating.get(address, asked))

    double.close(today)

    assert "The home that stays is open" in text_of(coordinating.get(address, asked))


def test_a_merge_without_the_other_record_says_so(coordinating, make_animal, text_of):
    page = coordinating.post(f"/animals/{make_animal('Pip').code}/merge/")

    assert page.status_code == 422
    assert "Choose the other record first." in text_of(page)
