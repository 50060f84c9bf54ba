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


def names_of(code: str) -> tuple[str, ...]:
    """What the language of a code is called in English and by those who speak it; nothing where the code is no language's.

    Source: the names of the Unicode CLDR, as Babel has them.

    >>> names_of("es")
    ('Spanish', 'español')
    """
    from babel import Locale, UnknownLocaleError

    try:
        locale = Locale.parse(code)
        found = (locale.get_display_name("en"), locale.get_display_name(code))
    except (UnknownLocaleError, ValueError):
        return ()
    return tuple(name for name in found if name)
