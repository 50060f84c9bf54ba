"""The course structure of a package for cmi5: ``cmi5.xml``, a unit a lesson."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from typing import Any
from xml.etree import ElementTree as ET

from generator.exchange.scorm import Unit, written

STRUCTURE = "cmi5.xml"
NAMESPACE = "https://w3id.org/xapi/profiles/cmi5/v1/CourseStructure.xsd"
_OURS = uuid.uuid5(uuid.NAMESPACE_OID, "seatwork handbook")


def iri(site: str, *parts: str) -> str:
    """A lesson's or a package's own name in the world, the same for every edition."""
    return uuid.uuid5(_OURS, "/".join((site, *parts))).urn


def structure(site: str, role: str, title: str, about: str, units: Sequence[Unit]) -> bytes:
    """``cmi5.xml``. A unit is done once it is passed, by its own marking: there is no mastery score."""
    root = ET.Element(_named("courseStructure"))
    course = ET.SubElement(root, _named("course"), {"id": iri(site, "package", role)})
    _text(course, "title", title)
    _text(course, "description", about)
    for unit in units:
        made = ET.SubElement(root, _named("au"), {"id": iri(site, "lesson", unit.id), "moveOn": "Passed", "launchMethod": "AnyWindow"})
        _text(made, "title", unit.title)
        _text(made, "description", unit.summary)
        ET.SubElement(made, _named("url")).text = unit.page
    return written(root, {"": NAMESPACE})


def _named(tag: str) -> str:
    return f"{{{NAMESPACE}}}{tag}"


def _text(into: Any, tag: str, words: str) -> None:
    ET.SubElement(ET.SubElement(into, _named(tag)), _named("langstring"), {"lang": "en"}).text = words
