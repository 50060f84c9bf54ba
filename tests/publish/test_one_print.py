"""A quiz is marked by the print of the main language, whatever language it was taken in."""

from __future__ import annotations

from generator.book.part import Tree
from generator.publish.languages import of_one_print


def tree(ask: str, figures: str) -> Tree:
    made = Tree()
    made.docs["lessons/one.md"] = f'# One\n{{"figures":"{figures}","ask":"{ask}"}} {figures}'
    made.docs["assets/one.png"] = b"\x89"
    made.marking["one"] = {"title": ask, "figures": figures, "questions": []}
    return made


def test_the_page_of_another_language_names_the_figures_that_are_kept() -> None:
    spoken = of_one_print({"one": "0164fd65"}, tree("¿Por qué?", "cd6da7ca"))
    assert spoken.docs["lessons/one.md"] == '# One\n{"figures":"0164fd65","ask":"¿Por qué?"} cd6da7ca'
    assert spoken.docs["assets/one.png"] == b"\x89"
