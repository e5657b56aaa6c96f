"""Addresses of what shows all at once."""

from django.urls import path

from habitats.board.views import animal_room, calendar, home, set_up, space, today

urlpatterns = [
    path("", home.home, name="home"),
    path("animals/<slug:code>/room/", animal_room.animal_room, name="animal_room"),
    path("calendar/", calendar.calendar, name="calendar"),
    path("calendar/renew/", calendar.renew_calendar, name="renew_calendar"),
    path("calendar/revoke/", calendar.revoke_calendar, name="revoke_calendar"),
    path("calendar/<str:secret>.ics", calendar.calendar_feed, name="calendar_feed"),
    path("space/", space.space, name="space"),
    path("board/", space.former_address, name="space_before"),
    path("set-up/", set_up.set_up, name="set_up"),
    path("set-up/close/", set_up.close_set_up, name="close_set_up"),
    path("set-up/reopen/", set_up.reopen_set_up, name="reopen_set_up"),
    path("today/", today.today, name="today"),
    path("today/<slug:kind>/", today.today_kind, name="today_kind"),
]
