"""Address of the page of sources."""

from django.urls import path

from builds.sources import views

urlpatterns = [path("sources/", views.sources, name="sources")]
