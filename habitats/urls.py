"""Every address of the project.

`builds` is included by name, as a string: `habitats` never imports from `builds`.
"""

from django.urls import include, path

from habitats.views import accounts, enclosures, front_cards, home, homes, people, rescue

urlpatterns = [
    path("", home.home, name="home"),
    path("log-in/", accounts.LogIn.as_view(), name="login"),
    path("log-out/", accounts.LogOut.as_view(), name="logout"),
    path("my-settings/", accounts.own_settings, name="own_settings"),
    path("my-settings/password/", accounts.own_password, name="own_password"),
    path("people/", people.people, name="people"),
    path("people/new/", people.new_person, name="new_person"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/password/", people.new_password, name="new_password"),
    path("homes/", homes.homes, name="homes"),
    path("homes/new/", homes.new_home, name="new_home"),
    path("homes/<slug:code>/", homes.home_page, name="home_page"),
    path("homes/<slug:code>/edit/", homes.edit_home, name="edit_home"),
    path("homes/<slug:code>/contact/", homes.home_contact, name="home_contact"),
    path("homes/<slug:code>/people/", homes.home_people, name="home_people"),
    path("homes/<slug:code>/people/<int:pk>/leave/", homes.leave_home, name="leave_home"),
    path("homes/<slug:code>/close/", homes.close_home, name="close_home"),
    path("homes/<slug:code>/reopen/", homes.reopen_home, name="reopen_home"),
    path("homes/<slug:code>/cards.pdf", front_cards.home_cards_pdf, name="home_cards_pdf"),
    path("enclosures/", enclosures.enclosures, name="enclosures"),
    path("enclosures/new/", enclosures.new_enclosure, name="new_enclosure"),
    path("enclosures/<slug:code>/", enclosures.enclosure, name="enclosure"),
    path("enclosures/<slug:code>/edit/", enclosures.edit_enclosure, name="edit_enclosure"),
    path("enclosures/<slug:code>/state/", enclosures.say_state, name="enclosure_state"),
    path("enclosures/<slug:code>/check/", enclosures.check_enclosure, name="check_enclosure"),
    path("enclosures/<slug:code>/move/", enclosures.move_enclosure, name="move_enclosure"),
    path(
        "enclosures/<slug:code>/card.pdf",
        front_cards.enclosure_card_pdf,
        name="enclosure_card_pdf",
    ),
    path("e/<slug:code>/", enclosures.short_link, name="enclosure_link"),
    path("rescue/", rescue.rescue, name="rescue"),
    path("rescue/own/<slug:species>/", rescue.own_figures, name="own_figures"),
    path("rescue/own/<slug:species>/drop/", rescue.drop_own_figures, name="drop_own_figures"),
    path("rescue/rule-sets/", rescue.rule_sets, name="rule_sets"),
    path("", include("builds.urls")),
]
