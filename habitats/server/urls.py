"""Addresses of the server's own state."""

from django.urls import path

from habitats.server import views

urlpatterns = [
    path("server/", views.state_of_the_server, name="server"),
    path("server/health/", views.health_check, name="health_check"),
]
