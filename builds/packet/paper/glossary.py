"""The glossary of a packet: the terms that its other sections use, read off their text."""

import re
from dataclasses import replace
from html import unescape

from django.template.loader import render_to_string
from django.utils import translation

from builds.packet.paper.ink import inked
from builds.packet.paper.values import GlossaryEntry, Packet
from habitats.common.languages import ENGLISH
from habitats.common.page import PICTURE
from habitats.drawing.samples import sample
from habitats.glossary import Topic, terms_in

TAG = re.compile(r"<[^>]*>")
# What is made. Of other topics an instruction has only words that it means otherwise: "pull tight".
TOPICS = frozenset((Topic.ENCLOSURES, Topic.SHEET, Topic.LINENS))


def glossary_of(packet: Packet) -> tuple[GlossaryEntry, ...]:
    """In the reader's alphabetical order."""
    used = (one for one in terms_in(_english_text(packet)) if one.topic in TOPICS)
    terms = sorted(used, key=lambda one: str(one.term).lower())
    return tuple(
        GlossaryEntry(
            one.term, one.explanation, inked(sample(one.picture, one.term), packet.options)
        )
        for one in terms
    )


def _english_text(packet: Packet) -> str:
    """What the packet says in English, whatever it is printed in: terms and their forms are known
    there. Pictures name measures and rows, and are not read: the cover's would be drawn for that.
    """
    unseen = replace(packet, cover=replace(packet.cover, draw=str))
    context = {"packet": unseen, "on_paper": True, "units": packet.options.units}
    with translation.override(ENGLISH):
        html = render_to_string("packet/_sections.html", context)
    return " ".join(unescape(TAG.sub(" ", PICTURE.sub(" ", html))).split())
