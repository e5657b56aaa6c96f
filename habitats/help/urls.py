"""Address of the help page."""

from django.urls import path

from habitats.help import views

urlpatterns = [path("help/", views.help_page, name="help")]
