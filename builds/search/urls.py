"""Address of the search."""

from django.urls import path

from builds.search import views

urlpatterns = [path("search/", views.search, name="search")]
