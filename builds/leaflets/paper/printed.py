"""A leaflet as the HTML page that is turned into paper."""

from django.template.loader import render_to_string

from builds.common.paper import Print
from builds.leaflets.paper.values import Leaflet, Sketching
from builds.making.advice import PRACTICE
from habitats.common.addresses import address_of, picture_address
from habitats.common.page import PrintedPage, lift_pictures
from habitats.common.qr import qr_image
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import rules_of
from habitats.structure.design import Species
from habitats.welfare.rule_sets import rule_sets_for

STYLE_SHEETS = ("css/print.css", "css/leaflets-print.css")


def leaflet_page(leaflet: Leaflet, rescue: Rescue, how: Print, link: str) -> PrintedPage:
    """``link`` is the address of the help page; its code stands on the first page."""
    # Without a choice one that could be chosen, so that a picture has hatches to read.
    usual = next(one for one in rule_sets_for(Species.GUINEA_PIG) if one.choosable)
    rules = rules_of(rescue, Species.GUINEA_PIG) or usual
    sketching = Sketching(how.units, rules)
    qr = picture_address("qr.png")
    context = {
        "leaflet": leaflet,
        "opening": leaflet.opening(sketching),
        "reading": leaflet.reading(sketching),
        "rescue": rescue,
        "paper": how.paper.value,
        "link": link,
        "qr": qr,
        "no_source": PRACTICE,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    html, pictures = lift_pictures(render_to_string("leaflets/print.html", context))
    return PrintedPage(html, {qr: qr_image(link), **pictures})
