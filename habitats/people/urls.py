"""Addresses of people, accounts and log-in."""

from django.urls import path

from habitats.people.views import accounts, from_phones, people, words

urlpatterns = [
    path("log-in/", accounts.LogIn.as_view(), name="login"),
    path("log-out/", accounts.LogOut.as_view(), name="logout"),
    path("who/", from_phones.who, name="who"),
    path("my-settings/", accounts.own_settings, name="own_settings"),
    path("my-settings/password/", accounts.own_password, name="own_password"),
    path("words/<slug:language>.js", words.words, name="words"),
    path("people/", people.people, name="people"),
    path("people/first-passwords/", people.first_passwords, name="first_passwords"),
    path("people/new/", people.new_person, name="new_person"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/merge/", people.merge_person, name="merge_person"),
    path("people/<int:pk>/unlock/", people.unlock_person, name="unlock_person"),
    path("people/<int:pk>/password/", people.new_password, name="new_password"),
]
