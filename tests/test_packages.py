"""What is installed for a build is pinned to its bytes, and under licences that ask nothing of a handbook."""

from __future__ import annotations

import re
from importlib import metadata

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.conftest import ROOT
from tests.packages import closure, licence_of, needed

NEEDED = closure(needed())
TEXT = (ROOT / "requirements.txt").read_text("utf-8")
LISTED = dict(re.findall(r"^\| ([a-z0-9-]+) \| (.+) \|$", (ROOT / "LICENCES.md").read_text("utf-8"), re.MULTILINE))
LISTED.pop("package")

# permissive ones, and two that bind only who changes the package's own files
FREE = re.compile(r"MIT|BSD|Apache|Python Software Foundation|PSF|MPL|Mozilla|ISC")
BOUND = re.compile(r"GPL|GNU|Affero|SSPL|BUSL|Proprietary|Commons Clause", re.IGNORECASE)


def pinned() -> dict[str, list[tuple[Requirement, list[str]]]]:
    """Each package of requirements.txt with its pins (several for several Pythons) and their hashes."""
    found: dict[str, list[tuple[Requirement, list[str]]]] = {}
    for line in TEXT.replace("\\\n", " ").splitlines():
        if not line or line.startswith("#"):
            continue
        asked, *hashes = line.split(" --hash=")
        pin = Requirement(asked.strip())
        found.setdefault(canonicalize_name(pin.name), []).append((pin, [h.strip() for h in hashes]))
    return found


def test_every_package_is_pinned_and_no_other() -> None:
    assert len(NEEDED) > 35  # the closure was walked
    assert pinned().keys() == NEEDED.keys(), "make requirements.txt anew: see DEVELOPERS.md"


def test_every_pin_has_its_hashes() -> None:
    for name, pins in pinned().items():
        for pin, hashes in pins:
            assert re.fullmatch(r"==[\w.]+", str(pin.specifier)), f"{name}: {pin.specifier}"
            assert hashes, f"{name} has no hash"
            assert [h for h in hashes if not re.fullmatch(r"sha256:[0-9a-f]{64}", h)] == [], name


def test_no_host_is_named() -> None:
    assert re.search(r"://|--(?:extra-)?index-url|--find-links|@", TEXT) is None


def test_every_pin_is_one_that_all_who_ask_for_it_take() -> None:
    for name, pins in pinned().items():
        # those who ask are installed here, in the version of this Python
        here = [pin for pin, _ in pins if pin.marker is None or pin.marker.evaluate()]
        assert len(here) == 1, f"{name}: {here}"
        version = str(here[0].specifier).removeprefix("==")
        for asks in NEEDED[name]:
            if asks.marker is None or asks.marker.evaluate({"extra": ""}):
                assert asks.specifier.contains(version, prereleases=True), f"{name}: {asks} does not take {version}"


def test_the_packages_of_the_tests_stand_apart() -> None:
    """Pip takes no line without a hash beside lines that have one."""
    lines = (ROOT / "requirements-test.txt").read_text("utf-8").splitlines()
    assert [line for line in lines if line.startswith("-")] == []
    assert {canonicalize_name(Requirement(line).name) for line in lines if line and not line.startswith("#")}.isdisjoint(NEEDED)


@pytest.mark.parametrize("name", sorted(NEEDED))
def test_the_licence_is_listed_and_free(name: str) -> None:
    try:
        licence = licence_of(name)
    except metadata.PackageNotFoundError:  # one that only another system needs
        assert name in LISTED
        licence = LISTED[name]
    assert LISTED.get(name) == licence, "make the table of LICENCES.md anew: python -m tests.packages"
    assert FREE.search(licence), f"{name}: {licence}"
    assert not BOUND.search(licence), f"{name}: {licence}"


def test_no_package_is_listed_that_is_not_needed() -> None:
    assert LISTED.keys() == NEEDED.keys()
