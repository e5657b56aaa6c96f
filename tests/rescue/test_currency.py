"""Money in the rescue's currency.

Outside source: the tables of Unicode CLDR and ISO 4217 that a browser carries (ECMA-402, Intl).
"""

from decimal import Decimal

import pytest
from django.utils.translation import override
from hypothesis import given
from hypothesis import strategies as st

from habitats.money import CURRENCIES, money
from habitats.rescue.models.rescue import Rescue

AMOUNTS = st.decimals(0, 10**6, places=2)


@pytest.mark.parametrize(
    ("amount", "code", "words"),
    [
        ("23.8", "EUR", "€23.80"),
        ("1250", "CHF", "CHF 1 250.00"),
        ("900", "JPY", "¥900"),
        ("900.5", "JPY", "¥900.50"),  # written down before the currency was chosen: not rounded
        ("4.5", "", "4.50"),
        ("-3", "GBP", "−£3.00"),
    ],
)
def test_money_has_the_sign_and_the_decimals_of_its_currency(amount, code, words):
    assert money(Decimal(amount), code).replace("\xa0", " ") == words


@pytest.mark.parametrize(
    ("amount", "code", "words"),
    [("1168.8", "EUR", "1 168,80 €"), ("1250", "CHF", "1 250,00 CHF"), ("-3", "GBP", "−3,00 £")],
)
def test_a_german_reader_finds_the_sign_behind_the_amount(amount, code, words):
    """CLDR, German: `#,##0.00 ¤`; thousands apart by a space as in all figures (ISO 80000-1)."""
    with override("de"):
        assert str(money(Decimal(amount), code)).replace("\xa0", " ") == words


@given(AMOUNTS, st.sampled_from(["", *CURRENCIES]))
def test_no_amount_is_rounded(amount, code):
    figure = "".join(one for one in money(amount, code) if one.isdigit() or one == ".")

    assert Decimal(figure.strip(".")) == amount


def test_signs_and_decimals_are_those_of_a_browser(chromium):
    asked = """codes => codes.map(currency => {
        const shown = new Intl.NumberFormat(
            "en", {style: "currency", currency, currencyDisplay: "narrowSymbol"});
        return [shown.formatToParts(1).find(one => one.type === "currency").value,
                shown.resolvedOptions().maximumFractionDigits];
    })"""

    shown = chromium.new_page().evaluate(asked, list(CURRENCIES))
    found = dict(zip(CURRENCIES, shown, strict=True))

    # ISO 4217 gives the forint two decimals (from memory); CLDR none, for it has no smaller coin.
    assert found.pop("HUF") == ["Ft", 0]
    ours = {code: [one.sign, one.decimals] for code, one in CURRENCIES.items() if code != "HUF"}
    assert found == ours


@pytest.mark.django_db
def test_nothing_is_in_a_currency_until_one_is_chosen():
    assert Rescue.our_currency() == ""
    Rescue.objects.create(pk=1, currency="SEK")
    assert Rescue.our_currency() == "SEK"
