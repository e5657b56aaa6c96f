"""Address of the proposal of who lives where."""

from django.urls import path

from builds.placing import views

urlpatterns = [path("placing/", views.placing, name="placing")]
