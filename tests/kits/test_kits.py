"""A kit: packed line by line and weighed; the list of all; what its receipt tells."""

import uuid

import pytest

from builds.kits.models.kits import Kit, KitTick, KitWeighing, Packing, pack
from builds.kits.models.receipts import KitReceipt
from habitats.linens.models.linens import LinenKind
from tests.support.builds import make_build
from tests.support.kits import hand_over, make_kit, pack_all
from tests.support.pseudo import OPEN, spoken

pytestmark = pytest.mark.django_db


def packs(client, kit, what, count, **more):
    sent = {"what": what, "count": count, "once": uuid.uuid4(), **more}
    return client.post(f"/builds/{kit.code}/kit/pack/", sent)


# --- Packing ---


def test_a_line_is_checked_off_with_one_tap(building, builder, kit, line, text_of):
    packs(building, kit, line.what, line.to_pack)

    tick = KitTick.objects.get()
    assert (tick.what, tick.count, tick.made_by) == (line.what, line.to_pack, builder)
    page = text_of(building.get(f"/builds/{kit.code}/kit/"))
    assert f"1 of {len(Packing(kit).lines)} lines" in page
    assert "in the box</span>, Bertil Moss" in page


def test_what_is_missing_is_said(building, kit, text_of):
    lines = Packing(kit).lines
    pack_all(kit, but=[lines[0].what])

    page = text_of(building.get(f"/builds/{kit.code}/kit/"))

    assert f"Missing:</span> {lines[0].to_pack} × {lines[0].name}</p>" in page


def test_a_kit_that_is_whole_says_so(building, kit, text_of):
    pack_all(kit)

    assert "the box is complete" in text_of(building.get(f"/builds/{kit.code}/kit/"))


def test_the_last_word_on_a_line_counts(building, kit, line):
    packs(building, kit, line.what, line.to_pack)
    packs(building, kit, line.what, 0)

    assert KitTick.objects.count() == 2
    assert Packing(kit).packed[line.what] == 0


def test_a_double_tap_packs_once(building, kit, line):
    once = uuid.uuid4()
    for _ in range(2):
        packs(building, kit, line.what, line.to_pack, once=once)

    assert KitTick.objects.count() == 1


@pytest.mark.parametrize(
    ("count", "says"),
    [
        ("-1", "Give 0 or more"),
        ("9999", "Count again"),
        ("", "No count given"),
        ("many", "not a whole number"),
    ],
)
def test_a_count_that_cannot_be_is_a_sentence(building, kit, line, text_of, count, says):
    response = packs(building, kit, line.what, count)

    assert response.status_code == 422
    assert says in text_of(response)
    assert not KitTick.objects.exists()


def test_what_is_on_no_line_is_not_packed(building, kit, text_of):
    response = packs(building, kit, "brass bell", 1)

    assert response.status_code == 422
    assert "“brass bell” is not in this kit" in text_of(response)


@pytest.mark.parametrize("state", ["handed over", "stopped"])
def test_nothing_is_packed_for_a_kit_that_has_gone_or_is_stopped(building, text_of, state):
    kit = make_kit(state=state)
    line = Packing(kit).lines[0]

    response = packs(building, kit, line.what, 1)

    assert response.status_code == 422
    assert f"is {state}, so you cannot pack it any more" in text_of(response)


def test_a_build_for_no_adopter_is_no_kit(building):
    build = make_build("Nook")

    assert building.get(f"/builds/{build.code}/kit/").status_code == 404


def test_sets_of_linens_are_settled(building, kit):
    liner = LinenKind.objects.create(name="Fleece", sort="liner", grams_per_m2=250, layers=2)
    before = {one.what: one.to_pack for one in Packing(kit).linens}

    building.post(
        f"/builds/{kit.code}/kit/linens/",
        {"linen_sets": 3, "liner_kind": liner.pk, "towel_kind": ""},
    )

    packing = Packing(kit)
    assert Kit.objects.get().linen_sets == 3
    assert [one.to_pack for one in packing.linens] == [n // 2 * 3 for n in before.values()]
    assert all(one.each_g for one in packing.linens if not one.is_towel)


@pytest.mark.parametrize("sets", ["0", "7", "", "two"])
def test_sets_that_make_no_sense_are_refused_beside_the_field(building, kit, sets):
    response = building.post(f"/builds/{kit.code}/kit/linens/", {"linen_sets": sets})

    assert response.status_code == 422
    assert response.context["form"].errors["linen_sets"]


# --- Weighing ---


def weighs(client, kit, grams, **more):
    return client.post(
        f"/builds/{kit.code}/kit/weigh/", {"grams": grams, "once": uuid.uuid4(), **more}
    )


def test_a_box_is_weighed_against_the_last_kit_of_the_same_design(building, kit, text_of):
    pack_all(kit)
    weighs(building, kit, 15_000)
    design = kit.plans.get().revision.design
    other = make_kit("Kit for Bo", adopter="Bo", design=design)
    pack_all(other)

    weighs(building, other, 12_000)

    page = text_of(building.get(f"/builds/{other.code}/kit/"))
    assert "3 000 g less than the last kit of this plan" in page


def test_a_kit_that_was_not_whole_is_no_measure_for_others(building, kit):
    weighs(building, kit, 9_000)
    other = make_kit("Kit for Bo", adopter="Bo", design=kit.plans.get().revision.design)
    weighs(building, other, 15_000)

    assert not KitWeighing.objects.filter(is_whole=True).exists()
    assert Packing(other).mass_sentence == ""


def test_a_double_tap_weighs_once(building, kit):
    once = uuid.uuid4()
    for _ in range(2):
        weighs(building, kit, 15_000, once=once)

    assert KitWeighing.objects.count() == 1


@pytest.mark.parametrize("grams", ["0", "-5", "200001", "heavy", ""])
def test_a_mass_that_cannot_be_is_refused(building, kit, grams):
    assert weighs(building, kit, grams).status_code == 422
    assert not KitWeighing.objects.exists()


# --- The list, and how much the pages ask ---


def test_an_empty_list_says_what_to_do_first(coordinating, text_of):
    assert "A kit is a build for an adopter" in text_of(coordinating.get("/kits/"))


def test_only_kits_are_on_the_list(coordinating, kit, text_of):
    make_build("Nook for a home")

    page = text_of(coordinating.get("/kits/"))

    assert "Kit for Ada" in page
    assert "Nook for a home" not in page


def test_the_list_asks_as_much_for_three_kits_as_for_twelve(coordinating, queries_for):
    design = make_kit("Kit 0", state="handed over").plans.get().revision.design
    for number in range(2):
        make_kit(f"Kit {number}", state="handed over", design=design)
    few = queries_for(coordinating, "/kits/")
    for number in range(9):
        make_kit(f"Kit {number}", state="handed over", design=design)

    assert queries_for(coordinating, "/kits/") == few


def test_today_asks_as_often_where_more_is_due_than_it_shows(coordinating, queries_for):
    design = make_kit("Kit 0", state="handed over").plans.get().revision.design
    for number in range(2):
        make_kit(f"Kit {number}", state="handed over", design=design)
    coordinating.get("/today/")  # the first of a day works out what the others only read
    few = queries_for(coordinating, "/today/")
    for number in range(27):
        make_kit(f"Kit {number}", state="handed over", design=design)

    assert queries_for(coordinating, "/today/") == few


def test_a_kits_page_asks_as_much_packed_as_empty(coordinating, kit, queries_for):
    address = f"/builds/{kit.code}/kit/"
    empty = queries_for(coordinating, address)
    pack_all(kit)

    assert queries_for(coordinating, address) <= empty


def test_two_who_pack_at_once_are_told_the_same(kit, line, builder, coordinator):
    for person in (builder, coordinator):
        pack(kit, line.what, line.to_pack, by=person, idempotency_key=uuid.uuid4())

    assert Packing(kit).packed[line.what] == line.to_pack


def test_a_receipt_tells_what_is_to_be_sent_in_the_language_of_its_reader(cast):
    kit = make_kit(state="inspected")
    hand_over(kit)
    receipt = KitReceipt.objects.get(build=kit)

    assert any(one.startswith("1 m of ") for one in receipt.to_send)
    with spoken():
        assert all(str(one).startswith(OPEN) for one in receipt.to_send)


def test_a_receipt_of_before_tells_what_it_says():
    assert KitReceipt(missing=["3 m of tape"]).to_send == ["3 m of tape"]
