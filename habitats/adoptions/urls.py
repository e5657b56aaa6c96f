"""Addresses of adopters and adoptions."""

from django.urls import path

from habitats.adoptions.views import (
    adopters,
    adoptions,
    deaths,
    erasing,
    papers,
    steps,
    wishes,
)

urlpatterns = [
    path("adopters/", adopters.adopters, name="adopters"),
    path("adopters/new/", adopters.new_adopter, name="new_adopter"),
    path("adopters/to-erase/", erasing.erasable_adopters, name="erasable_adopters"),
    path("adopters/<slug:code>/", adopters.adopter, name="adopter"),
    path("adopters/<slug:code>/edit/", adopters.edit_adopter, name="edit_adopter"),
    path("adopters/<slug:code>/data.json", erasing.adopter_data, name="adopter_data"),
    path("adopters/<slug:code>/erase/", erasing.erase_adopter, name="erase_adopter"),
    path("adopters/<slug:code>/merge/", adopters.merge_adopter, name="merge_adopter"),
    path("adoptions/", adoptions.adoptions, name="adoptions"),
    path("adoptions/new/", adoptions.new_adoption, name="new_adoption"),
    path("adoptions/<slug:code>/", adoptions.adoption, name="adoption"),
    path("adoptions/<slug:code>/edit/", adoptions.edit_adoption, name="edit_adoption"),
    path("adoptions/<slug:code>/visit/", steps.visit_home, name="adoption_visit"),
    path("adoptions/<slug:code>/home/", steps.check_home, name="adoption_home"),
    path("adoptions/<slug:code>/trial/", steps.trial, name="adoption_trial"),
    path("adoptions/<slug:code>/adopted/", steps.adopted, name="adoption_adopted"),
    path("adoptions/<slug:code>/end/", steps.end_adoption, name="adoption_end"),
    path("adoptions/<slug:code>/died/", deaths.died, name="adoption_died"),
    path(
        "adoptions/<slug:code>/deaths/<int:pk>/strike/",
        deaths.strike,
        name="strike_adopter_death",
    ),
    path("adoptions/<slug:code>/follow-ups/<int:pk>/", steps.answer, name="adoption_answer"),
    path("adoptions/<slug:code>/agreement.pdf", papers.agreement, name="adoption_agreement"),
    path("adoptions/<slug:code>/receipt.pdf", papers.receipt, name="adoption_receipt"),
    path("wishes/", wishes.wishes, name="wishes"),
    path("wishes/new/", wishes.new_wish, name="new_wish"),
    path("wishes/<int:pk>/", wishes.wish, name="wish"),
    path("wishes/<int:pk>/edit/", wishes.edit_wish, name="edit_wish"),
    path("wishes/<int:pk>/close/", wishes.close_wish, name="close_wish"),
]
