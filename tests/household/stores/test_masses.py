"""Masses in words: the pound is 453.59237 g (NIST Handbook 44, appendix C)."""

import pytest

from household.stores.masses import stock_words


@pytest.mark.parametrize(
    ("mass_g", "metric", "us"),
    [
        (1, "1 g", "0.04 oz"),
        (10, "10 g", "0.35 oz"),
        (11, "11 g", "0.4 oz"),
        (454, "454 g", "16.0 oz"),
        (906, "906 g", "32.0 oz"),
        (907, "907 g", "2.00 lb"),
        (999, "999 g", "2.20 lb"),
        (1000, "1 kg", "2.20 lb"),
        (2150, "2.2 kg", "4.74 lb"),
        (2050, "2.1 kg", "4.52 lb"),
        (10_000, "10 kg", "22.05 lb"),
    ],
)
def test_a_mass_reads_as_on_the_phone(mass_g: int, metric: str, us: str) -> None:
    assert stock_words(mass_g, "metric") == metric
    assert stock_words(mass_g, "us") == us
