"""Enclosure cards, to be laminated and hung up, and carrier cards: A6, one a page."""

from collections.abc import Sequence
from typing import NamedTuple

from django.template.loader import render_to_string

from habitats.common.addresses import address_of, picture_address
from habitats.common.page import PrintedPage
from habitats.common.qr import qr_image

STYLE_SHEETS = ("css/print.css", "css/residence-print.css")
LONGEST_NOTE = 220  # letters that have room beside the code
MOST_NAMES = 8


class CardResident(NamedTuple):
    """``about`` in a few words: sex, age."""

    name: str
    about: str


class FrontCard(NamedTuple):
    """``apart`` is the sentence about a quarantine, empty if there is none."""

    label: str
    code: str
    home: str
    residents: tuple[CardResident, ...]
    apart: str
    notes: tuple[str, ...]
    link: str
    printed_on: str

    @property
    def shown(self) -> tuple[CardResident, ...]:
        return self.residents[:MOST_NAMES]

    @property
    def more(self) -> int:
        return len(self.residents) - len(self.shown)

    @property
    def lines(self) -> list[str]:
        """The notes that have room."""
        left, lines = LONGEST_NOTE, []
        for note in self.notes:
            words = " ".join(note.split())
            if len(words) > left:
                lines.append(f"{words[: max(left - 1, 0)].rstrip()}…")
                break
            lines.append(words)
            left -= len(words)
        return lines


class CarrierCard(NamedTuple):
    """One animal on its way. ``facts`` are short lines; ``apart`` is as on an enclosure card."""

    name: str
    code: str
    about: str
    facts: tuple[str, ...]
    apart: str
    condition: str
    link: str
    printed_on: str

    @property
    def seen(self) -> str:
        words = " ".join(self.condition.split())
        return words if len(words) <= LONGEST_NOTE else f"{words[: LONGEST_NOTE - 1].rstrip()}…"


def carrier_cards_page(cards: Sequence[CarrierCard], rescue: str) -> PrintedPage:
    links = [card.link for card in cards]
    return _cards_page("residence/carrier_cards.html", cards, links, rescue)


def front_cards_page(cards: Sequence[FrontCard], rescue: str) -> PrintedPage:
    links = [card.link for card in cards]
    return _cards_page("residence/front_cards.html", cards, links, rescue)


def _cards_page(
    template: str, cards: Sequence[NamedTuple], links: Sequence[str], rescue: str
) -> PrintedPage:
    """A page a card, each with the QR code of its own short link."""
    codes = [picture_address(f"{number}.png") for number in range(1, len(links) + 1)]
    context = {
        "cards": list(zip(cards, codes, strict=True)),
        "rescue": rescue,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    html = render_to_string(template, context)
    return PrintedPage(
        html, {code: qr_image(link) for code, link in zip(codes, links, strict=True)}
    )
