"""Addresses of the proposal of who lives where."""

from django.urls import path

from builds.placing import views

urlpatterns = [
    path("placing/", views.placing, name="placing"),
    path("placing/build/", views.plan_build_proposed, name="plan_build_proposed"),
    path("placing/group/", views.unite_proposed, name="unite_proposed"),
    path("placing/runs/<int:number>/", views.placing_run, name="placing_run"),
    path("placing/runs/<int:number>/stop/", views.stop_placing_run, name="stop_placing_run"),
    path("placing/runs/<int:number>/again/", views.placing_run_again, name="placing_run_again"),
]
