"""Addresses of the rescue's settings."""

from django.urls import path

from habitats.rescue import views

urlpatterns = [
    path("rescue/", views.rescue, name="rescue"),
    path("rescue/access/", views.access_rules, name="access_rules"),
    path("rescue/panel/", views.panel_size, name="panel_size"),
    path("rescue/own/<slug:species>/", views.own_figures, name="own_figures"),
    path("rescue/own/<slug:species>/drop/", views.drop_own_figures, name="drop_own_figures"),
    path("rescue/rule-sets/", views.rule_sets, name="rule_sets"),
]
