"""Addresses of homes, written down and changed."""

from django.urls import path

from habitats.homes import views

urlpatterns = [
    path("homes/new/", views.new_home, name="new_home"),
    path("homes/<slug:code>/edit/", views.edit_home, name="edit_home"),
    path("homes/<slug:code>/merge/", views.merge_home, name="merge_home"),
    path("homes/<slug:code>/contact/", views.home_contact, name="home_contact"),
    path("homes/<slug:code>/people/", views.home_people, name="home_people"),
    path("homes/<slug:code>/people/<int:pk>/leave/", views.leave_home, name="leave_home"),
    path("homes/<slug:code>/absences/new/", views.new_absence, name="new_absence"),
    path("homes/<slug:code>/absences/<int:pk>/end/", views.end_absence, name="end_absence"),
    path("homes/<slug:code>/reopen/", views.reopen_home, name="reopen_home"),
]
