"""A small site, built and packaged once for all tests of packages, and what a learning system unpacks of it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import once
from tests.exchange.learning.playing import HERE, RUNTIMES, serving, small_site, unzipped

STANDARDS = ("scorm-1.2", "scorm-2004", "cmi5")


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small site, built, with its packages of every standard in ``out/packages``."""

    def make(folder: Path) -> None:
        from generator.exchange.package import STANDARDS as ALL
        from generator.exchange.package import write_packages
        from generator.publish.build import build, load

        build(small_site(folder), lambda _: None)
        content, site = load(folder)
        for standard in ALL:
            write_packages(content, site, standard, lambda _: None)

    return once(tmp_path_factory, "packaged", make)


@pytest.fixture(scope="session")
def unpacked(small: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The helper's package of each standard, unpacked, beside the runtimes."""
    web = tmp_path_factory.mktemp("system")
    for standard in STANDARDS:
        unzipped(small / f"out/packages/juniper-bench_2026-1_{standard}_helper.zip", web / standard)
    (web / "npm").mkdir()
    for name in ("scorm-again/dist", "vue/dist", "vue-scorm-player"):
        assert (RUNTIMES / name).is_dir(), "run sh tests/need_npm.sh"
        (web / "npm" / name).parent.mkdir(parents=True, exist_ok=True)
        (web / "npm" / name).symlink_to(RUNTIMES / name)
    shutil.copy(HERE / "system.html", web / "system.html")
    return web


@pytest.fixture(scope="session")
def system(unpacked: Path) -> Iterator[str]:
    """The address of a server of them."""
    with serving(unpacked) as address:
        yield address
