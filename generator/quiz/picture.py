"""Pictures in a question, told so that none of them gives the answer away.

A drawing of a lesson says of itself whether it shows the right way or a wrong one, in its title, its
description and a mark the laws of scenes read. In a quiz that would be the answer.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

_SVG = "http://www.w3.org/2000/svg"
_SAYS = re.compile(r"\bwrong\b|\b(the|a) right way\b|^right:", re.IGNORECASE)
_MAY_SAY = re.compile("wrong|right", re.IGNORECASE)  # without either word it says nothing of the kind
_TAG = re.compile("<[^>]*>")
SAYS_SO = "says-so"  # the class of what a drawing writes about its way; a quiz leaves it out


def tells(svg: str) -> str:
    """What a picture writes on itself that would give an answer away; '' where it writes nothing of the kind."""
    if not _MAY_SAY.search(_TAG.sub("", svg)):
        return ""
    root = _parsed(svg)
    _drop(root)
    for text in root.iter(f"{{{_SVG}}}text"):
        words = " ".join("".join(text.itertext()).split())
        if _SAYS.search(words):
            return words
    return ""


def shows_a_wrong_way(svg: str) -> bool:
    """Whether a drawing, or a view in it, is marked as the wrong way."""
    return 'data-way="wrong"' in svg


def unmarked(svg: str) -> str:
    """The drawing without what says which way it shows; its title and description stay."""
    root = _parsed(svg)
    _drop(root)
    return _written(root)


def described(svg: str, title: str, describe: str) -> str:
    """The drawing unmarked, under a neutral title and description in place of its own."""
    root = _parsed(svg)
    _drop(root)
    found = {name: root.find(f"{{{_SVG}}}{name}") for name in ("title", "desc")}
    for name, words in (("title", title), ("desc", describe)):
        element = found[name]
        if element is not None:
            element.text = words
    return _written(root)


def silent(svg: str) -> str:
    """The drawing unmarked and with no words for a screen reader: those stand beside it."""
    root = _parsed(svg)
    _drop(root)
    for name in ("title", "desc"):
        element = root.find(f"{{{_SVG}}}{name}")
        if element is not None:
            root.remove(element)
    root.attrib.pop("aria-labelledby", None)
    root.attrib.pop("role", None)
    root.set("aria-hidden", "true")
    root.set("focusable", "false")
    return _written(root)


def _parsed(svg: str) -> ET.Element:
    ET.register_namespace("", _SVG)
    return ET.fromstring(svg)


def _drop(root: ET.Element) -> None:
    for element in root.iter():
        element.attrib.pop("data-way", None)
        for child in [c for c in element if SAYS_SO in c.get("class", "").split()]:
            element.remove(child)


def _written(root: ET.Element) -> str:
    return ET.tostring(root, encoding="unicode")
