"""A phone that was without signal while keys of steps changed: all it holds still counts."""

from uuid import uuid4

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from builds.plans.models.build_plans import BuildStep
from tests.support.builds import make_build, steps_of
from tests.support.waiting import until

pytestmark = pytest.mark.django_db(transaction=True)

STORED = "Stored on this phone: works offline."


def test_ticks_kept_by_former_keys_are_sent_once_and_shown_on_the_page_stored_before(
    open_page, builder
):
    build = make_build(state="building", people=[builder])
    overview = reverse("builds:build", args=[build.code])
    phone = open_page(builder, screen="phone")
    phone.goto(overview)
    expect(phone.locator("[data-stored]")).to_have_text(STORED)
    until(phone, "navigator.serviceWorker.controller !== null")
    former = [step.key for step in steps_of(build)]

    phone.context.set_offline(True)
    phone.goto(overview)
    phone.get_by_role("link", name="Start with step 1").tap()
    expect(phone.locator("[data-step-screen]")).to_be_visible()
    for number in (1, 2):
        at = phone.url
        phone.get_by_role("button", name=f"Step {number} is done").tap()
        phone.wait_for_url(lambda url, at=at: url != at)
    phone.goto(overview)
    for number, step in enumerate(steps_of(build)):
        BuildStep.objects.filter(pk=step.pk).update(key=f"now{number}", former_key=step.key)
    # A migration does so, and the server starts after it: of the plan nothing is at hand.
    build.plans.update(idempotency_key=uuid4())

    phone.context.set_offline(False)
    line = phone.locator(f'li[data-step="{former[1]}"]')
    expect(line).to_contain_text("Done: Bertil Moss")
    expect(phone.locator("[data-far]")).to_have_text(f"2 of {len(former)}")
    assert [one.step_key for one in build.ticks.order_by("pk")] == ["now0", "now1"]

    phone.goto(reverse("builds:build_step", args=[build.code, former[2]]))
    expect(phone.locator("[data-step-screen=now2]")).to_be_visible()
