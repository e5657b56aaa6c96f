"""The drawing board as a response shows it."""

from django.urls import reverse

from habitats.structure.lattice import Side
from tests.support.designs import ramp_from

BALCONY = {"upper": ["..##", "...."], "ramps": (ramp_from(0, 2, Side.W),)}


def board_of(client, design, **query):
    return client.get(reverse("builds:board", args=[design.code], query=query or None))


def text_of(response):
    return response.content.decode()
