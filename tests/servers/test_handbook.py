"""The handbook as nginx and Apache give it out with the written files: packed as it lies there, behind one policy."""

from __future__ import annotations

import gzip
import http.client
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.publish.compressed import SHORTEST, brotli, gzipped, write_compressed
from generator.publish.edition_folder import folder_of, write_edition_folder
from generator.publish.headers import write_headers
from generator.publish.offline import write_offline
from tests.publish.test_edition_folder import small_tree
from tests.publish.test_published import _use_it
from tests.servers.running import KINDS, Server, server

TYPES = {".html": {"text/html"}, ".css": {"text/css"}, ".js": {"text/javascript", "application/javascript"}, ".json": {"application/json"}}


def _long(web: Path) -> Path:
    """A small handbook as a build leaves it, with a script, a style and data long enough to be packed."""
    small_tree(web)
    (web / "search").mkdir()
    for name, text in {
        "assets/long.js": "// a line of a script that says little\n" * 200,
        "assets/long.css": "/* a line of a style that says little, and umlauts: äöü */\n" * 200,
        "search/search_index.json": "[" + ", ".join(["12345"] * 2000) + "]",
        "assets/short.js": "1;" * ((SHORTEST - 1) // 2),
    }.items():
        (web / name).write_text(text, "utf-8")
    shutil.copy(web / "index.html", web / "404.html")
    write_edition_folder(web)
    write_offline(web)
    write_compressed(web)
    return web


@pytest.fixture(scope="module", params=KINDS)
def running(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Server, Path]]:
    place = tmp_path_factory.mktemp(f"{request.param}-web")
    web = _long(place / "web")
    write_headers(web, place / "headers")
    with server(request.param, web, place / "headers") as made:
        yield made, place


def get(to: Server, path: str, accepted: str) -> tuple[int, dict[str, str], bytes]:
    """Status, headers by small letters, and the body as it came over the line."""
    connection = http.client.HTTPConnection("127.0.0.1", to.port, timeout=10)
    try:
        connection.request("GET", f"/training/{path}", headers={"Accept-Encoding": accepted})
        answer = connection.getresponse()
        return answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
    finally:
        connection.close()


def test_each_file_is_sent_packed_as_it_lies_there(running: tuple[Server, Path]) -> None:
    to, place = running
    web = place / "web"
    policy = (place / "headers/policy.txt").read_text("utf-8").strip()
    names = sorted(p.relative_to(web).as_posix() for p in web.rglob("*") if p.suffix in TYPES)
    assert len(names) >= 10
    for name in names:
        plain = (web / name).read_bytes()
        packed = web / f"{name}.gz"
        for accepted in ("identity", "gzip", "gzip, deflate, br"):
            status, headers, body = get(to, name, accepted)
            assert status == 200 and headers["content-type"].partition(";")[0] in TYPES[Path(name).suffix], (name, headers)
            assert headers["content-security-policy"] == policy and headers["cache-control"] == "no-cache"
            assert headers["x-content-type-options"] == "nosniff" and headers["referrer-policy"] == "no-referrer"
            encoding = headers.get("content-encoding", "")
            if accepted == "identity" or not packed.is_file():
                assert (body, encoding) == (plain, ""), name
            elif encoding == "br":
                assert "br" in accepted and body == (web / f"{name}.br").read_bytes()
            else:
                assert encoding == "gzip" and body == packed.read_bytes(), name
            if packed.is_file():
                assert headers["vary"] == "Accept-Encoding"
    # a folder means its first page, and what is not there is the handbook's own page
    assert get(to, "", "gzip")[2] == (web / "index.html.gz").read_bytes()
    gone = get(to, "lessons/gone.html", "identity")
    assert gone[0] == 404 and gone[2] == (web / "404.html").read_bytes() and gone[1]["content-security-policy"] == policy
    assert get(to, f"{folder_of(web).name}/assets/gone.js", "gzip")[0] == 404


def test_what_lies_packed_is_the_file_and_the_same_every_time(tmp_path: Path) -> None:
    web, again = _long(tmp_path / "one"), _long(tmp_path / "two")
    packed = sorted(p.relative_to(web).as_posix() for p in web.rglob("*") if p.suffix in {".gz", ".br"})
    for name in packed:
        assert (web / name).read_bytes() == (again / name).read_bytes()
        if name.endswith(".gz"):
            assert gzip.decompress((web / name).read_bytes()) == (web / name[:-3]).read_bytes()
    folder = folder_of(web).name
    # each page has one, however short, so that none is left over from an edition in which it was longer
    pages = {p.relative_to(web).as_posix() for p in (*web.rglob("*.html"), web / "offline-worker.js")}
    assert pages <= {n[:-3] for n in packed if n.endswith(".gz")}
    assert f"{folder}/assets/short.js.gz" not in packed and f"{folder}/assets/long.js.gz" in packed
    assert not any(n.endswith(".br") and not n.startswith(f"{folder}/") for n in packed)
    assert (f"{folder}/assets/long.js.br" in packed) == (brotli() is not None)
    assert "e-" in (web / "offline-worker.js").read_text("utf-8") and ".gz" not in (web / "offline-worker.js").read_text("utf-8")


def test_gzip_itself_reads_what_was_packed(tmp_path: Path) -> None:
    for n, data in enumerate((b"", b"a", bytes(range(256)) * 700)):
        path = tmp_path / f"{n}.gz"
        path.write_bytes(gzipped(data))
        done = subprocess.run(["gzip", "-dc", str(path)], capture_output=True, check=True)
        assert done.stdout == data


def test_the_demo_behind_apache_breaks_nothing(demo: Path, browser: Any) -> None:
    context = browser.new_context(viewport={"width": 1200, "height": 900})
    context.set_default_timeout(15_000)
    said: list[str] = []
    context.on("console", lambda m: said.append(f"{m.type}: {m.text}") if m.type in {"error", "warning"} else None)
    context.on("weberror", lambda e: said.append(str(e.error)))
    with server("apache", demo / "out/web", demo / "out/headers") as to:
        _use_it(context.new_page(), f"{to.address}/training/")
    assert said == []
    context.close()
