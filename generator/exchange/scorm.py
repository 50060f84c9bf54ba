"""The manifest of a package for SCORM 1.2 and SCORM 2004 (third edition, which the fourth's systems play too).

No pass mark is written into either: a runtime that has one overrules what the lesson reports, and a try
that missed a question that must be right would become a pass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal
from xml.etree import ElementTree as ET

Version = Literal["scorm-1.2", "scorm-2004"]
MANIFEST = "imsmanifest.xml"

CP = {"scorm-1.2": "http://www.imsproject.org/xsd/imscp_rootv1p1p2", "scorm-2004": "http://www.imsglobal.org/xsd/imscp_v1p1"}
ADL = {"scorm-1.2": "http://www.adlnet.org/xsd/adlcp_rootv1p2", "scorm-2004": "http://www.adlnet.org/xsd/adlcp_v1p3"}
SEQUENCING = "http://www.imsglobal.org/xsd/imsss"
_EDITION = {"scorm-1.2": "1.2", "scorm-2004": "2004 3rd Edition"}
_TYPE = {"scorm-1.2": "scormtype", "scorm-2004": "scormType"}  # the one attribute whose spelling changed


@dataclass(frozen=True)
class Unit:
    """A lesson in a package: its id, title and page, in words what it is about, and the files it needs besides the page."""

    id: str
    title: str
    summary: str
    page: str
    files: tuple[str, ...]


def manifest(version: Version, identifier: str, title: str, units: Sequence[Unit], shared: Sequence[str]) -> bytes:
    """``imsmanifest.xml``: a unit a lesson, in order; ``shared`` are files that any of them may need."""
    cp, adl = f"{{{CP[version]}}}", f"{{{ADL[version]}}}"
    root = ET.Element(f"{cp}manifest", {"identifier": f"M-{identifier}", "version": "1"})
    about = ET.SubElement(root, f"{cp}metadata")
    ET.SubElement(about, f"{cp}schema").text = "ADL SCORM"
    ET.SubElement(about, f"{cp}schemaversion").text = _EDITION[version]
    places = ET.SubElement(root, f"{cp}organizations", {"default": f"O-{identifier}"})
    place = ET.SubElement(places, f"{cp}organization", {"identifier": f"O-{identifier}"})
    ET.SubElement(place, f"{cp}title").text = title
    for unit in units:
        item = ET.SubElement(place, f"{cp}item", {"identifier": f"I-{unit.id}", "identifierref": f"R-{unit.id}"})
        ET.SubElement(item, f"{cp}title").text = unit.title
        if version == "scorm-2004":
            # the runtime marks nothing by itself where a unit says nothing
            ET.SubElement(
                ET.SubElement(item, f"{{{SEQUENCING}}}sequencing"), f"{{{SEQUENCING}}}deliveryControls",
                {"completionSetByContent": "true", "objectiveSetByContent": "true"},
            )  # fmt: skip
    if version == "scorm-2004":
        ways = ET.SubElement(ET.SubElement(place, f"{{{SEQUENCING}}}sequencing"), f"{{{SEQUENCING}}}controlMode")
        ways.attrib.update({"choice": "true", "flow": "true"})
    resources = ET.SubElement(root, f"{cp}resources")
    _resource(resources, cp, adl, version, "R-shared", "asset", "", shared)
    for unit in units:
        made = _resource(resources, cp, adl, version, f"R-{unit.id}", "sco", unit.page, (unit.page, *unit.files))
        ET.SubElement(made, f"{cp}dependency", {"identifierref": "R-shared"})
    return written(root, {"": CP[version], "adlcp": ADL[version], "imsss": SEQUENCING})


def _resource(into: Any, cp: str, adl: str, version: Version, identifier: str, kind: str, page: str, files: Sequence[str]) -> Any:
    head = {"identifier": identifier, "type": "webcontent", f"{adl}{_TYPE[version]}": kind} | ({"href": page} if page else {})
    made = ET.SubElement(into, f"{cp}resource", head)
    for name in files:
        ET.SubElement(made, f"{cp}file", {"href": name})
    return made


def written(root: Any, prefixes: dict[str, str]) -> bytes:
    """An XML document as bytes, with the prefixes people know."""
    for prefix, uri in prefixes.items():
        ET.register_namespace(prefix, uri)
    ET.indent(root)
    data: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return data + b"\n"
