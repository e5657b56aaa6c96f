"""Addresses of what shows all at once."""

from django.urls import path

from habitats.board.views import board, calendar, home, today

urlpatterns = [
    path("", home.home, name="home"),
    path("calendar/", calendar.calendar, name="calendar"),
    path("calendar/renew/", calendar.renew_calendar, name="renew_calendar"),
    path("calendar/revoke/", calendar.revoke_calendar, name="revoke_calendar"),
    path("calendar/<str:secret>.ics", calendar.calendar_feed, name="calendar_feed"),
    path("board/", board.board, name="board"),
    path("today/", today.today, name="today"),
]
