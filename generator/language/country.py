"""How the countries of the world write numbers, as the Common Locale Data Repository has it, by Babel.

A country is named by its two letters of ISO 3166-1. Its main locale is the likeliest one there: ``es_ES`` in Spain, ``es_PR``
in Puerto Rico, ``en_CA`` in Canada.
"""

from __future__ import annotations

from functools import lru_cache

HOME = "US"
_NO_COUNTRY = frozenset({"EU", "EZ", "QO", "UN", "XA", "XB", "ZZ"})  # codes of regions and of tests
_THIN = "\u202f"
# where work is measured in feet and pounds, or in these beside metres: the United States, its territories and Puerto Rico,
# Liberia and Myanmar; Canada and the United Kingdom in part (from memory; common practice)
FEET = frozenset({"US", "PR", "GU", "VI", "AS", "MP", "UM", "LR", "MM", "CA", "GB"})


@lru_cache(maxsize=1)
def countries() -> dict[str, str]:
    """The codes of all countries whose numbers are known, and their English names."""
    from babel import Locale

    names = Locale("en").territories
    return {code: name for code, name in names.items() if len(code) == 2 and code not in _NO_COUNTRY and _known(code)}


def _known(country: str) -> bool:
    from babel import Locale, UnknownLocaleError

    try:
        Locale.parse(f"und_{country}")
    except (UnknownLocaleError, ValueError):
        return False
    return True


@lru_cache(maxsize=64)
def signs(country: str) -> tuple[str, str]:
    """The decimal mark of a country, a point or a comma, and the sign it writes between thousands.

    That sign is a point, a comma or a thin space: blanks of other widths and the raised comma of Switzerland become one,
    which nobody takes for a decimal mark or for feet. The first four digits are parted as well, which some locales, such as
    that of Spain, leave to longer figures.

    >>> signs("US"), signs("ES")
    (('.', ','), (',', '.'))
    """
    if country == HOME:  # the usual case takes no time to read locales
        return ".", ","
    from babel import Locale
    from babel.numbers import get_decimal_symbol, get_group_symbol

    locale = Locale.parse(f"und_{country}")
    decimal = get_decimal_symbol(locale, numbering_system="latn")
    group = get_group_symbol(locale, numbering_system="latn")
    decimal = decimal if decimal in {".", ","} else "."
    return decimal, group if group in {".", ","} and group != decimal else _THIN
