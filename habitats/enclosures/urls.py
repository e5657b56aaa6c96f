"""Addresses of enclosures, written down and changed."""

from django.urls import path

from habitats.enclosures import views

urlpatterns = [
    path("enclosures/", views.enclosures, name="enclosures"),
    path("enclosures/new/", views.new_enclosure, name="new_enclosure"),
    path("enclosures/<slug:code>/edit/", views.edit_enclosure, name="edit_enclosure"),
    path("e/<slug:code>/", views.short_link, name="enclosure_link"),
]
