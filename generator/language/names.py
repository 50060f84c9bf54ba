"""What a language is called, in the language of the page."""

from __future__ import annotations

from generator.language.words import current, is_code


def language_name(code: str) -> str:
    """The name of a language by its code of two letters, in the language of now; the code itself where it has none.

    Source: the names of the Unicode CLDR, as Babel has them.

    >>> language_name("es")
    'Spanish'
    """
    from babel import Locale, UnknownLocaleError

    if not is_code(code):
        return code
    try:
        return Locale.parse(code).get_display_name(current()) or code
    except (UnknownLocaleError, ValueError):
        return code
