"""A kit is handed over with a signed receipt; what is missing or unsafe is not passed over."""

import uuid
from datetime import date

import pytest

from builds.kits.models.follow_ups import FollowUp
from builds.kits.models.receipts import KitReceipt
from builds.plans.models.builds import BuildState, CannotBuild
from habitats.enclosures.models.enclosures import Enclosure
from tests.support.builds import NOON, make_repair, planner, steps_of, tick_all
from tests.support.kits import hand_over, home_steps, make_kit, pack_all

pytestmark = pytest.mark.django_db


def hands_over(client, kit, **more):
    sent = {
        "once": uuid.uuid4(),
        "received_by": "Ada Quill",
        "handed_by": "Cora Lind",
        "day": "2027-03-10",
        "signing": "typed",
        "signed": "Ada Quill",
        "ask_1": "2027-03-12",
        "ask_2": "2027-03-24",
        "ask_3": "2027-05-10",
        **more,
    }
    return client.post(f"/builds/{kit.code}/kit/hand-over/", sent)


def test_a_packed_kit_is_handed_over_signed_and_its_follow_ups_planned(coordinating, kit):
    pack_all(kit)

    response = hands_over(coordinating, kit)

    receipt = KitReceipt.objects.get()
    assert response.status_code == 302
    assert kit.state_now() == BuildState.HANDED_OVER
    assert (receipt.received_by, receipt.handed_by) == ("Ada Quill", "Cora Lind")
    assert (receipt.signed, receipt.is_on_paper, receipt.missing) == ("Ada Quill", False, [])
    assert [one.on for one in FollowUp.objects.order_by("number")] == [
        date(2027, 3, 12),
        date(2027, 3, 24),
        date(2027, 5, 10),
    ]


def test_a_kit_leaves_with_its_adopter_and_stands_in_no_home(coordinating, kit):
    pack_all(kit)

    hands_over(coordinating, kit)

    kit.refresh_from_db()
    assert (kit.home, kit.enclosure) == (None, None)
    assert not Enclosure.objects.exists()


def test_what_is_missing_is_asked_about_once_and_stands_on_the_receipt(
    coordinating, kit, line, text_of
):
    pack_all(kit, but=[line.what])

    first = hands_over(coordinating, kit)
    second = hands_over(coordinating, kit, anyway="on")

    assert first.status_code == 422
    assert f"Not in the box: {line.to_pack} × {line.name}" in text_of(first)
    assert second.status_code == 302
    assert KitReceipt.objects.get().to_send == [f"{line.to_pack} × {line.name}"]


def test_a_box_does_not_leave_before_its_pieces_are_cut(coordinating, text_of):
    kit = make_kit(state="building")
    pack_all(kit)

    response = hands_over(coordinating, kit)

    assert response.status_code == 422
    assert "Not ticked yet: Measure one panel, Cut the blank" in text_of(response)
    page = text_of(coordinating.get(f"/builds/{kit.code}/kit/"))
    assert "Hand over" not in page
    assert "Not ticked yet: Measure one panel, Cut the blank" in page
    assert not KitReceipt.objects.exists()
    assert not FollowUp.objects.exists()


def test_a_box_does_not_leave_with_a_point_that_failed_and_is_not_mended(
    coordinating, coordinator, this_day, text_of
):
    kit = make_kit(state="building")
    pack_all(kit)
    tick_all(kit)
    failed = make_repair(kit)

    before = hands_over(coordinating, kit)
    failed.mend(this_day, by=coordinator)
    after = hands_over(coordinating, kit)

    assert before.status_code == 422
    assert "To mend: a tie tail stands out." in text_of(before)
    assert after.status_code == 302


def test_a_box_of_cut_pieces_leaves_to_be_put_up_and_inspected_at_home(coordinating, text_of):
    kit = make_kit(state="building")
    pack_all(kit)
    home = {step.key for step in home_steps(kit)}
    for step in steps_of(kit):
        if step.key not in home:
            kit.ticks.create(step_key=step.key, at=NOON, made_by=planner())

    page = text_of(coordinating.get(f"/builds/{kit.code}/kit/hand-over/"))
    response = hands_over(coordinating, kit)

    assert "puts it up and inspects it at home" in page
    assert response.status_code == 302
    assert kit.state_now() == BuildState.HANDED_OVER
    after = text_of(coordinating.get(f"/builds/{kit.code}/kit/"))
    assert f"The adopter has ticked 0 of {len(home)} steps" in after
    assert "Not inspected at home yet" in after


def test_a_receipt_is_signed_by_name_or_on_paper(coordinating, kit, text_of):
    pack_all(kit)

    unsigned = hands_over(coordinating, kit, signed="")
    on_paper = hands_over(coordinating, kit, signing="paper", signed="")

    assert "Not signed. Let the adopter type their name" in text_of(unsigned)
    assert on_paper.status_code == 302
    assert KitReceipt.objects.get().is_on_paper


def test_a_hand_over_sent_twice_happens_once(coordinating, kit):
    pack_all(kit)
    once = uuid.uuid4()
    for _ in range(2):
        assert hands_over(coordinating, kit, once=once).status_code == 302
    hand_over(kit, once=once)

    assert KitReceipt.objects.count() == 1
    assert FollowUp.objects.count() == 3


def test_a_kit_that_has_gone_is_not_handed_over_again(kit):
    hand_over(kit)

    with pytest.raises(CannotBuild, match="is handed over, so it cannot be handed over"):
        hand_over(kit)


def test_the_builds_own_hand_over_leads_to_the_kits(coordinating, kit):
    response = coordinating.get(f"/builds/{kit.code}/hand-over/")

    assert response.url == f"/builds/{kit.code}/kit/hand-over/"


@pytest.mark.parametrize(
    ("field", "given"),
    [("received_by", ""), ("handed_by", ""), ("day", "2027-03-11"), ("signing", "smoke")],
)
def test_a_receipt_that_says_too_little_is_refused(coordinating, kit, field, given):
    pack_all(kit)

    response = hands_over(coordinating, kit, **{field: given})

    assert response.status_code == 422
    assert response.context["form"].errors[field]
