"""Addresses of homes, enclosures and groups looked at, and of moves."""

from django.urls import path

from habitats.residence.views import (
    enclosures,
    front_cards,
    groups,
    handing_on,
    homes,
    intake,
    moving,
)

urlpatterns = [
    path("homes/", homes.homes, name="homes"),
    path("homes/<slug:code>/", homes.home_page, name="home_page"),
    path("homes/<slug:code>/hand-on/", handing_on.hand_on, name="hand_on"),
    path("homes/<slug:code>/close/", homes.close_home, name="close_home"),
    path("homes/<slug:code>/cards.pdf", front_cards.home_cards_pdf, name="home_cards_pdf"),
    path("enclosures/<slug:code>/", enclosures.enclosure, name="enclosure"),
    path("enclosures/<slug:code>/state/", enclosures.set_enclosure_state, name="enclosure_state"),
    path("enclosures/<slug:code>/move/", enclosures.move_enclosure, name="move_enclosure"),
    path(
        "enclosures/<slug:code>/card.pdf",
        front_cards.enclosure_card_pdf,
        name="enclosure_card_pdf",
    ),
    path("intake/", intake.new_intake, name="new_intake"),
    path("intake/taken-in/", intake.taken_in, name="taken_in"),
    path("intake/enclosure-cards.pdf", front_cards.intake_cards_pdf, name="intake_cards_pdf"),
    path("intake/carrier-cards.pdf", front_cards.carrier_cards_pdf, name="carrier_cards_pdf"),
    path("groups/", groups.groups, name="groups"),
    path("groups/<slug:code>/move/", moving.move_group, name="move_group"),
]
