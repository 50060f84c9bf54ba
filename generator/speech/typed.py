"""What people type for a unit in another language than English, for the reader of the quiz.

That reader knows the keys of ``units/table.py`` and their English spellings, and results are marked again by them. So the page
puts a unit typed in words of its own language into its key before it reads the answer, and the key is what a result keeps.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping

from generator.language.words import current, tr
from generator.speech.units import PLAIN, RATIO, WORDS
from generator.units.table import UNITS

# a tonne to one reader and a short ton to the next: a lone one is the T that is asked about, and of
# those with a rate there is none to ask about, so that they are not known
_EITHER: Mapping[str, tuple[str, ...]] = {"es": ("tonelada", "toneladas")}
_ALSO: Mapping[str, Mapping[str, str]] = {
    "es": {
        "porciento": "%", "por cien": "%", "pulg": "in", "plg": "in", "mts": "m", "seg": "s", "segs": "s", "kilovoltio": "kV", "kilovoltios": "kV",
        "volt": "V", "litros": "L", "pasada": "passes", "pasadas": "passes", "camion": "trucks", "camiones": "trucks", "carga": "loads",
        "cargas": "loads", "cucharon": "buckets", "cucharones": "buckets", "viaje": "trips", "viajes": "trips", "vez": "times",
        "veces": "times",
    },
}  # fmt: skip


def folded(text: str) -> str:
    """Small letters without accents, raised figures as plain ones: what the page makes of what was typed."""
    bare = "".join(c for c in unicodedata.normalize("NFD", text.lower()) if not unicodedata.combining(c))
    return " ".join(bare.replace("²", "2").replace("³", "3").split())


def typed_words() -> dict[str, str]:
    """Words of units in the language of now, :func:`folded`, and what stands for each in an answer; none in English."""
    language = current()
    if language not in _ALSO:
        return {}
    either = _EITHER[language]
    out = dict.fromkeys(either, "T")
    for key, words in WORDS[language].items():
        if key in (PLAIN, RATIO) or words.thousand:
            continue
        unit = UNITS[key]
        printed = [tr(label) for label in (unit.label, unit.one) if label and unit.in_words(label)]
        for word in map(folded, (words.one, words.many, *printed)):
            if not key.startswith("t/") or word.split(" ")[0] not in either:
                out.setdefault(word, key)
    return out | dict(_ALSO[language])
