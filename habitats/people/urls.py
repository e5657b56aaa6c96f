"""Addresses of people, accounts and log-in."""

from django.urls import path

from habitats.people.views import (
    accounts,
    devices,
    erasing,
    from_phones,
    password_links,
    people,
    second_factor,
    words,
)

urlpatterns = [
    path("log-in/", accounts.LogIn.as_view(), name="login"),
    path("log-in/code/", second_factor.log_in_code, name="log_in_code"),
    path("log-in/forgotten/", password_links.forgotten, name="forgotten"),
    path(
        "log-in/choose/<uidb64>/<token>/",
        password_links.ChoosePassword.as_view(),
        name="choose_password",
    ),
    path("log-out/", accounts.LogOut.as_view(), name="logout"),
    path("who/", from_phones.who, name="who"),
    path("my-settings/", accounts.own_settings, name="own_settings"),
    path("my-settings/password/", accounts.own_password, name="own_password"),
    path("my-settings/devices/", devices.own_devices, name="own_devices"),
    path("my-settings/devices/end/", devices.end_other_devices, name="end_other_devices"),
    path("my-settings/devices/<int:pk>/end/", devices.end_device, name="end_device"),
    path("my-settings/second-factor/", second_factor.own_second_factor, name="own_second_factor"),
    path(
        "my-settings/second-factor/codes/",
        second_factor.new_recovery_codes,
        name="new_recovery_codes",
    ),
    path(
        "my-settings/second-factor/remove/",
        second_factor.drop_second_factor,
        name="drop_second_factor",
    ),
    path("my-settings/data/", erasing.own_data, name="own_data"),
    path("words/<slug:language>.js", words.words, name="words"),
    path("people/", people.people, name="people"),
    path("people/first-passwords/", people.first_passwords, name="first_passwords"),
    path("people/new/", people.new_person, name="new_person"),
    path("people/access-log/", devices.access_log, name="access_log"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/data/", erasing.person_data, name="person_data"),
    path("people/<int:pk>/erase/", erasing.erase_person, name="erase_person"),
    path("people/<int:pk>/merge/", people.merge_person, name="merge_person"),
    path("people/<int:pk>/unlock/", people.unlock_person, name="unlock_person"),
    path("people/<int:pk>/link/", password_links.password_link, name="password_link"),
    path("people/<int:pk>/devices/end/", devices.end_all_devices, name="end_all_devices"),
    path(
        "people/<int:pk>/second-factor/remove/",
        second_factor.lift_second_factor,
        name="lift_second_factor",
    ),
    path("people/<int:pk>/password/", people.new_password, name="new_password"),
]
