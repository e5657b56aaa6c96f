"""Addresses of the proposal of who lives where."""

from django.urls import path

from builds.placing import views

urlpatterns = [
    path("placing/", views.placing, name="placing"),
    path("placing/build/", views.plan_build_proposed, name="plan_build_proposed"),
    path("placing/group/", views.unite_proposed, name="unite_proposed"),
]
