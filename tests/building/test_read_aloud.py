"""A step read aloud: by a voice that is on the phone, in the language of the page.

The browser's voices are made up, as the Web Speech API (W3C) describes them: `localService` is on
the phone.
"""

import json

import pytest

from tests.conftest import SCREENS
from tests.support.builds import make_build, steps_of
from tests.support.kits import make_link
from tests.support.walk import Walk

pytestmark = pytest.mark.django_db

OURS = {"name": "Ours", "lang": "en-GB", "localService": True}
OURS_IN_GERMAN = {"name": "Unsere", "lang": "de_DE", "localService": True}
FAR = {"name": "Far", "lang": "en-GB", "localService": False}
STUB = """
  self.heard = [];
  self.SpeechSynthesisUtterance = class extends EventTarget {
    constructor(text) { super(); this.text = text; }
  };
  Object.defineProperty(self, "speechSynthesis", { value: {
    getVoices: () => VOICES,
    speak: (one) => heard.push([one.voice.name, one.text]),
    cancel: () => heard.splice(0),
  } });
"""


@pytest.fixture
def phone_with(chromium):
    """`phone_with(voice, …)`: a phone that has these voices."""
    contexts = []

    def open_phone(*voices) -> Walk:
        context = chromium.new_context(service_workers="block", **SCREENS["phone"])
        contexts.append(context)
        context.add_init_script(STUB.replace("VOICES", json.dumps(voices)))
        return Walk(context.new_page())

    yield open_phone
    for context in contexts:
        context.close()


@pytest.fixture
def step(builder):
    """One with parts and a caution, that waits for another; and where its page is."""
    build = make_build(state="building", people=[builder])
    told = ((one, one.card_in("metric")) for one in steps_of(build))
    found = next(one for one, card in told if card["adds"] and card["cautions"])
    return found, f"/builds/{build.code}/steps/{found.key}/"


def plain(words):
    return str(words).replace("\xa0", " ")


def test_a_step_is_read_aloud_in_order_and_stops_when_it_is_asked_to(phone_with, building, step):
    found, address = step
    card = found.card_in("metric")
    phone = phone_with(FAR, OURS_IN_GERMAN, OURS)
    phone.open(building, address)

    phone.page.get_by_role("button", name="Read aloud").tap()

    caution = f"Caution: {' '.join(map(plain, card['cautions']))}"
    title, waits, parts, *rest = phone.page.evaluate("heard")
    assert title == ["Ours", plain(card["title"])]
    assert waits[1].startswith("Waits for: step ")
    assert parts[1].startswith(f"Take: {card['adds'][0]['count']} × ")
    assert rest == [["Ours", one] for one in (caution, *map(plain, card["instructions"]))]
    phone.page.get_by_role("button", name="Stop reading").tap()
    assert phone.page.evaluate("heard") == []
    phone.page.get_by_role("button", name="Read aloud").wait_for()


def test_a_reader_of_german_hears_a_german_voice(phone_with, building, builder, step):
    builder.language = "de"
    builder.save()
    phone = phone_with(OURS, OURS_IN_GERMAN)
    phone.open(building, step[1])

    phone.page.locator("[data-read-aloud]").tap()

    assert {name for name, _words in phone.page.evaluate("heard")} == {"Unsere"}


def test_what_a_step_no_longer_waits_for_is_not_heard(phone_with, building, step):
    phone = phone_with(OURS)
    phone.open(building, step[1])

    phone.page.evaluate("document.querySelector('[data-waits]').hidden = true")
    phone.page.get_by_role("button", name="Read aloud").tap()

    heard = [words for _name, words in phone.page.evaluate("heard")]
    assert heard[1].startswith("Take: ")
    assert not any("Waits for" in words for words in heard)


@pytest.mark.parametrize("voices", [[], [FAR, OURS_IN_GERMAN]], ids=["none", "none that fits"])
def test_without_a_voice_on_the_phone_there_is_no_button(phone_with, building, step, voices):
    phone = phone_with(*voices)
    phone.open(building, step[1])

    assert phone.page.locator("[data-read-aloud]").is_hidden()


def test_an_adopter_has_a_step_read_aloud_too(phone_with, client_of, this_day):
    link = make_link()
    phone = phone_with(OURS)
    phone.open(client_of(None), f"/k/{link.token}/steps/{steps_of(link.build)[0].key}/")

    phone.page.get_by_role("button", name="Read aloud").tap()

    title = plain(steps_of(link.build)[0].card_in("metric")["title"])
    assert phone.page.evaluate("heard[0]") == ["Ours", title]
