"""The rules of QTI 3.0 that items and their manifest are held to, written out here as no package of npm or PyPI carries its schemas.

Elements, their children in order and their attributes are those of the Assessment, Section and Item information model, version 3.0,
and of the content packaging profile that goes with it: only those that are written. The order of an item's parts, ``qti-content-body``
in feedback and the manifest's namespaces were read in published items and packages; the rest is from memory of the model, which
numbers them as version 2.2 does.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

ITEM = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
PACKAGE = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
METADATA = "http://www.imsglobal.org/xsd/imsqti_metadata_v3p0"
LOM = "http://ltsc.ieee.org/xsd/LOM"
XSI = "{http://www.w3.org/2001/XMLSchema-instance}schemaLocation"
_IDENTIFIER = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")
_FLOAT = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")


@dataclass(frozen=True)
class Rule:
    """What an element may hold: its children as a pattern of their names, its attributes, whether text stands in it."""

    children: str = ""
    must: str = ""
    may: str = ""
    text: bool = False


_LOGIC = "(qti-and|qti-or|qti-match|qti-gte|qti-lte)"
_VALUE = "(qti-variable|qti-correct|qti-base-value|qti-index)"
_RULES = "(qti-response-condition|qti-set-outcome-value)"
_BLOCK = "(p|qti-choice-interaction|qti-order-interaction)"
ITEM_RULES: Mapping[str, Rule] = {
    "qti-assessment-item": Rule(
        "qti-response-declaration* qti-outcome-declaration* qti-item-body? qti-response-processing? qti-modal-feedback*",
        "identifier title time-dependent", f"adaptive label tool-name tool-version {{http://www.w3.org/XML/1998/namespace}}lang {XSI}",
    ),
    "qti-response-declaration": Rule("qti-correct-response? qti-mapping?", "identifier cardinality", "base-type"),
    "qti-correct-response": Rule("qti-value+"),
    "qti-outcome-declaration": Rule("qti-default-value?", "identifier cardinality", "base-type normal-maximum"),
    "qti-default-value": Rule("qti-value+"),
    "qti-value": Rule(text=True),
    "qti-item-body": Rule(f"{_BLOCK}+"),
    "p": Rule("(img|qti-text-entry-interaction)*", text=True),
    "img": Rule(must="src alt", may="width height"),
    "qti-text-entry-interaction": Rule(must="response-identifier", may="expected-length pattern-mask"),
    "qti-choice-interaction": Rule("qti-prompt? qti-simple-choice+", "response-identifier", "max-choices min-choices shuffle"),
    "qti-order-interaction": Rule("qti-prompt? qti-simple-choice+", "response-identifier", "shuffle orientation"),
    "qti-prompt": Rule(text=True),
    "qti-simple-choice": Rule("p*", "identifier", "fixed", text=True),
    "qti-response-processing": Rule(f"{_RULES}+"),
    "qti-response-condition": Rule("qti-response-if qti-response-else-if* qti-response-else?"),
    "qti-response-if": Rule(f"{_LOGIC} {_RULES}*"),
    "qti-response-else-if": Rule(f"{_LOGIC} {_RULES}*"),
    "qti-response-else": Rule(f"{_RULES}*"),
    "qti-and": Rule(f"{_LOGIC}+"),
    "qti-or": Rule(f"{_LOGIC}+"),
    "qti-match": Rule(f"{_VALUE} {_VALUE}"),
    "qti-gte": Rule(f"{_VALUE} {_VALUE}"),
    "qti-lte": Rule(f"{_VALUE} {_VALUE}"),
    "qti-index": Rule("qti-variable", "n"),
    "qti-variable": Rule(must="identifier"),
    "qti-correct": Rule(must="identifier"),
    "qti-base-value": Rule(must="base-type", text=True),
    "qti-set-outcome-value": Rule("(qti-base-value|qti-variable)", "identifier"),
    "qti-modal-feedback": Rule("qti-content-body", "outcome-identifier identifier show-hide", "title"),
    "qti-content-body": Rule("p+"),
}  # fmt: skip
MANIFEST_RULES: Mapping[str, Rule] = {
    "manifest": Rule("metadata organizations resources", "identifier", XSI),
    "metadata": Rule("(schema schemaversion lom|lom qtiMetadata)"),
    "schema": Rule(text=True),
    "schemaversion": Rule(text=True),
    "organizations": Rule(),
    "resources": Rule("resource+"),
    "resource": Rule("metadata? file+ dependency*", "identifier type href"),
    "file": Rule(must="href"),
    "dependency": Rule(must="identifierref"),
    "lom": Rule("general lifeCycle relation*"),
    "general": Rule("title language description keyword*"),
    "title": Rule("string"),
    "description": Rule("string"),
    "keyword": Rule("string"),
    "version": Rule("string"),
    "string": Rule(must="language", text=True),
    "language": Rule(text=True),
    "lifeCycle": Rule("version"),
    "relation": Rule("kind resource"),
    "kind": Rule("source value"),
    "source": Rule(text=True),
    "value": Rule(text=True),
    "qtiMetadata": Rule("timeDependent composite interactionType+ feedbackType solutionAvailable scoringMode+ toolName toolVersion"),
    **dict.fromkeys(("timeDependent", "composite", "interactionType", "feedbackType", "solutionAvailable", "scoringMode", "toolName",
                     "toolVersion"), Rule(text=True)),
}  # fmt: skip
_LOM_RESOURCE = Rule("description")


def item_broken(data: bytes) -> list[str]:
    """The rules that an item breaks."""
    root = ET.fromstring(data)
    return [*_shape(root, ITEM_RULES, {ITEM}), *_item(root)]


def package_broken(package: zipfile.ZipFile) -> list[str]:
    """The rules that a content package breaks, its items left aside."""
    names = set(package.namelist())
    root = ET.fromstring(package.read("imsmanifest.xml"))
    out = list(_shape(root, MANIFEST_RULES, {PACKAGE, METADATA, LOM}))
    ids = [e.get("identifier") for e in root.iter() if e.get("identifier")]
    out += [f"{i} stands twice" for i in {i for i in ids if ids.count(i) > 1}]
    told = {e.get("href") for e in root.iter(f"{{{PACKAGE}}}file")}
    out += [f"{n} is in the manifest or in the package alone" for n in told ^ (names - {"imsmanifest.xml"})]
    out += [f"nothing is {e.get('identifierref')}" for e in root.iter(f"{{{PACKAGE}}}dependency") if e.get("identifierref") not in ids]
    for resource in root.iter(f"{{{PACKAGE}}}resource"):
        if resource.get("type") not in {"imsqti_item_xmlv3p0", "webcontent"} or not _IDENTIFIER.fullmatch(resource.get("identifier", "")):
            out.append(f"{resource.get('identifier')} is no resource of such a package")
    return out


def _name(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def _space(element: ET.Element) -> str:
    return element.tag.rpartition("}")[0][1:]


def _shape(root: ET.Element, rules: Mapping[str, Rule], spaces: set[str]) -> Iterator[str]:
    for e in root.iter():
        name = _name(e)
        where = f"{name} {e.get('identifier', '')}".strip()
        rule = rules.get(name)
        if name == "resource" and _space(e) == LOM:
            rule = _LOM_RESOURCE
        if rule is None or _space(e) not in spaces:
            yield f"{where} is no element here"
            continue
        pattern = re.sub(r"[A-Za-z][A-Za-z-]*", lambda m: f"(?:{m[0]} )", rule.children).replace(" (", "(").replace(") ", ")")
        if not re.fullmatch(re.sub(r"(?<=[)*+?]) +", "", pattern), "".join(f"{_name(c)} " for c in e)):
            yield f"{where} holds {', '.join(map(_name, e)) or 'nothing'}"
        missing, odd = set(rule.must.split()) - set(e.attrib), set(e.attrib) - set(rule.must.split()) - set(rule.may.split())
        if missing or odd:
            yield f"{where} lacks {sorted(missing)} or has {sorted(odd)}"
        if not rule.text and ((e.text or "").strip() or any((c.tail or "").strip() for c in e)):
            yield f"{where} has text"


def _all(root: ET.Element, *tags: str) -> list[ET.Element]:
    return [e for tag in tags for e in root.iter(f"{{{ITEM}}}{tag}")]


def _item(root: ET.Element) -> Iterator[str]:
    """What the shape does not say: that names are declared, that kinds of values fit, that each answer has its words."""
    for e in root.iter():
        for key in ("identifier", "response-identifier", "outcome-identifier"):
            if e.get(key) is not None and not _IDENTIFIER.fullmatch(e.get(key, "")):
                yield f"{e.get(key)} is no identifier"
    asked = _all(root, "qti-text-entry-interaction", "qti-choice-interaction", "qti-order-interaction")
    if len(asked) != 1:
        yield "it asks not one thing"
    for e in asked:
        yield from _asked(root, e)
    yield from _marked(root)
    yield from (f"{e.get('src')} shows nothing to who cannot see it" for e in _all(root, "img") if not e.get("alt"))


def _asked(root: ET.Element, e: ET.Element) -> Iterator[str]:
    declared = next((r for r in _all(root, "qti-response-declaration") if r.get("identifier") == e.get("response-identifier")), None)
    if declared is None:
        yield f"{_name(e)} has no response"
        return
    choices = [c.get("identifier", "") for c in e if _name(c) == "qti-simple-choice"]
    fits = "ordered" if "order" in _name(e) else "multiple" if e.get("max-choices", "1") != "1" else "single"
    right = [v.text or "" for v in _all(declared, "qti-value")]
    if declared.get("cardinality") != fits or (fits == "single" and len(right) != 1):
        yield f"{_name(e)} has no {fits} response"
    if len(set(choices)) < len(choices) or (choices and not set(right) <= set(choices)):
        yield f"what is right is none of the choices {choices}"
    if fits == "ordered" and sorted(right) != sorted(choices):
        yield "an order is of all choices"


def _marked(root: ET.Element) -> Iterator[str]:
    declared = _all(root, "qti-response-declaration", "qti-outcome-declaration")
    bases = {e.get("identifier"): e.get("base-type") for e in declared}
    for e in _all(root, "qti-variable", "qti-correct", "qti-set-outcome-value"):
        if e.get("identifier") not in bases:
            yield f"nothing declares {e.get('identifier')}"
    for e in _all(root, "qti-set-outcome-value"):
        if len(e) and e[0].get("base-type", bases.get(e[0].get("identifier"))) != bases.get(e.get("identifier")):
            yield f"{e.get('identifier')} is set to another kind of value"
    for e in _all(root, "qti-base-value"):
        if e.get("base-type") == "float" and not _FLOAT.fullmatch(e.text or ""):
            yield f"{e.text} is no float"
    said = {e.get("identifier") for e in _all(root, "qti-modal-feedback")}
    told = {e[0].text for e in _all(root, "qti-set-outcome-value") if e.get("identifier") == "FEEDBACK" and len(e)}
    if said != told:
        yield f"feedback {sorted(map(str, said ^ told))} is set or said alone"
