"""Several sites of one contractor at once: each is built, one that cannot be stops no other, and one folder holds all to publish."""

from __future__ import annotations

import functools
import gzip
import http.server
import json
import re
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.cli.main import main
from generator.publish import sites
from generator.publish.build import Built
from generator.publish.hand_in import APACHE, DROP, NGINX, NGINX_HTTP
from generator.publish.manifest import hashes
from generator.publish.offline import hand_in_of, write_offline
from generator.publish.serve import serve
from generator.publish.sites import Handbook, index_page
from tests.book.places import small
from tests.player.playing import PICK

NAMES = ("Ines Holloway", "Hollis Brandvold", "Greta Solheim")  # of the crew and the mentors


def named(site: Path, key: str, name: str, shared: str = "") -> Path:
    """The site with a key and a name of its own."""
    settings = site / "settings.yml"
    text = settings.read_text("utf-8")
    text = re.sub(r"(?m)^  key: .*$", f"  key: {key}", text, count=1)
    text = re.sub(r"(?m)^  name: .*$", f"  name: {name}", text, count=1)
    settings.write_text((f"shared: {shared}\n" if shared else "") + text, "utf-8")
    return site


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two sites with one fleet, built and put together: the folder they and ``handbooks`` lie in."""
    base = tmp_path_factory.mktemp("contractor")
    fleet = base / "our-fleet"
    fleet.mkdir()
    for key, name in (("north-cut", "North Cut"), ("south-fill", "South Fill")):
        site = named(small(base / key, "stop-work"), key, name, "../our-fleet")
        (site / "settings.yml").write_text(f"hand_in: /{key}/results/\n{(site / 'settings.yml').read_text('utf-8')}", "utf-8")
        for table in ("machines", "trucks", "materials", "mentors", "lift_chart"):
            (site / f"{table}.csv").replace(fleet / f"{table}.csv")
    assert main(["build", str(base / "north-cut"), str(base / "south-fill"), "--index", str(base / "handbooks"), "--quiet"]) == 0
    return base


@pytest.fixture
def address(built: Path) -> Iterator[str]:
    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *args: Any) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(built / "handbooks" / "web")))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()


def test_each_handbook_is_the_one_its_site_publishes(built: Path) -> None:
    web = built / "handbooks" / "web"
    assert sorted(p.name for p in web.iterdir()) == ["index.html", "index.html.gz", "north-cut", "sites.css", "sites.css.gz", "south-fill"]
    for name in ("index.html", "sites.css"):
        assert gzip.decompress((web / f"{name}.gz").read_bytes()) == (web / name).read_bytes()
    for key in ("north-cut", "south-fill"):
        assert hashes(web / key) == hashes(built / key / "out" / "web")
    assert sorted(p.name for p in (built / "handbooks").iterdir()) == ["files.sha256", "headers", "sites.json", "web"]
    # each site takes results in by files of its own; how many at a time is said once for all
    taking_in = {f"{kind}-hand-in-{key}.conf" for kind in ("nginx", "apache") for key in ("north-cut", "south-fill")}
    assert {p.name for p in (built / "handbooks/headers").iterdir()} == {
        "nginx.conf",
        "apache.conf",
        "policy.txt",
        "nginx-hand-in-http.conf",
    } | taking_in
    assert not list((built / "handbooks").rglob("*mentor*/*"))  # no keys, no sign-off sheets
    # the policy for all of it lets in what each handbook's own does
    allowed = set((built / "handbooks" / "headers" / "policy.txt").read_text("utf-8").replace(";", "").split())
    for key in ("north-cut", "south-fill"):
        assert set((built / key / "out" / "headers" / "policy.txt").read_text("utf-8").replace(";", "").split()) <= allowed


def test_each_site_hands_in_at_its_own_path_into_its_own_folder(built: Path) -> None:
    headers = built / "handbooks" / "headers"
    own = {name.replace(".conf", f"-{key}.conf") for name in (NGINX, APACHE) for key in ("north-cut", "south-fill")}
    assert {p.name for p in headers.iterdir()} == {"nginx.conf", "apache.conf", "policy.txt", NGINX_HTTP, *own}
    for key, other in (("north-cut", "south-fill"), ("south-fill", "north-cut")):
        web = built / "handbooks" / "web" / key
        assert hand_in_of(web) == f"/{key}/results/"
        for name, head in ((NGINX, f"location ^~ /{key}/results/ {{"), (APACHE, f'<Location "/{key}/results/">')):
            mine = name.replace(".conf", f"-{key}.conf")
            text = (headers / mine).read_text("utf-8")
            assert head in text and other not in text and f"include /srv/handbook/headers/{mine}" in text.replace("Include", "include")
            # the very rules of the site's own file, but for the folder
            alone = (built / key / "out" / "headers" / name).read_text("utf-8")
            assert text == alone.replace(DROP, f"{DROP}-{key}").replace(name, mine)
        assert (headers / NGINX_HTTP).read_bytes() == (built / key / "out" / "headers" / NGINX_HTTP).read_bytes()
    listed = (built / "handbooks" / "files.sha256").read_text("utf-8")
    assert all(f"  headers/{name}\n" in listed for name in own)


def test_two_sites_that_hand_in_at_one_path_are_not_put_together(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The one's results would be refused as foreign by the other."""
    a, b, c = (handbook(tmp_path / key, key) for key in "abc")
    for folder, path in ((a, "/drop/"), (b, None), (c, "/drop/")):
        write_offline(folder / "out/web", folder.name, path)
    assert [hand_in_of(f / "out/web") for f in (a, b, c)] == ["/drop/", None, "/drop/"]
    no_site(monkeypatch)
    place = tmp_path / "all"
    status, out, err = run(capsys, "build", a, b, c, "--index", place, "--quiet")
    assert status == 2 and not [line for line in out if line.startswith("publish:") and str(place) in line]
    assert err[-1:] == [
        f"{place}: a and c both hand in at /drop/; give each a hand_in of its own in its settings.yml: a result counts for its own site alone",
    ]
    assert not place.exists()
    assert run(capsys, "build", a, b, "--index", place, "--quiet")[0] == 0
    assert {p.name for p in (place / "headers").iterdir()} >= {"nginx-hand-in-a.conf", NGINX_HTTP}
    assert not (place / "headers/nginx-hand-in-b.conf").exists()


def test_neither_a_name_nor_a_way_on_this_disk_is_published(built: Path) -> None:
    pages = [p.read_text("utf-8") for p in (built / "handbooks").rglob("*") if p.suffix in {".html", ".json", ".js", ".conf"}]
    for word in (*NAMES, "our-fleet", str(built)):
        assert not [p[:80] for p in pages if word in p], word
    assert "P-01" not in (built / "handbooks/web/index.html").read_text("utf-8")


def test_the_page_leads_to_each_handbook_and_what_is_passed_there_stays_there(built: Path, address: str, browser: Any) -> None:
    """Two sites on one server: the same lesson, the same crew id, and neither takes the other's try for its own."""
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(f"{address}/index.html")
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    assert page.locator("li").all_inner_texts() == [
        "North Cut\nEdition 2026-1, 1 lesson. Invented site",
        "South Fill\nEdition 2026-1, 1 lesson. Invented site",
    ]
    assert min(box["height"] for link in page.locator("li a").all() if (box := link.bounding_box())) >= 48
    page.get_by_role("link", name="North Cut").click()
    page.wait_for_url("**/north-cut/index.html")
    page.goto(f"{address}/north-cut/lessons/stop-work.html")
    page.wait_for_selector("seatwork-quiz[data-view=start]")
    page.evaluate(PICK, "P-01")
    page.wait_for_selector("seatwork-quiz[data-view=question]")
    (kept,) = page.evaluate("Object.keys(localStorage).filter(k => k.startsWith('seatwork-quiz|'))")
    assert kept.split("|")[1:] == ["north-cut", "2026-1", "stop-work", "P-01"]
    # as after a passed try
    page.evaluate(
        "k => { const v = JSON.parse(localStorage[k]); v.finished = [{passed: true}]; delete v.run; localStorage[k] = JSON.stringify(v); }",
        kept,
    )
    marked = {}
    for key in ("north-cut", "south-fill"):
        page.goto(f"{address}/{key}/operator.html")
        page.wait_for_load_state("networkidle")
        marked[key] = page.locator("main").inner_text()
    said = {key: text.count("passed") for key, text in marked.items()}
    page.goto(f"{address}/south-fill/lessons/stop-work.html")
    page.wait_for_selector("seatwork-quiz[data-view=start]")  # nobody is at work here
    assert page.evaluate("sessionStorage.getItem('seatwork-quiz-crew|south-fill')") is None
    assert said["north-cut"] > said["south-fill"], marked
    context.close()


# --- putting them together, with handbooks made by hand ---


def handbook(folder: Path, key: str, name: str = "A site", edition: str = "2026-1", lessons: int = 2, mark: str = "") -> Path:
    """A site's folder with the little of a handbook that is looked at."""
    web = folder / "out" / "web"
    (web / "lessons").mkdir(parents=True, exist_ok=True)
    (folder / "settings.yml").write_text(f"site: {{key: {key}, name: {name}}}\n", "utf-8")
    (folder / "out" / "ledger.json").write_text(json.dumps({"ledger": 1, "site": key, "edition": edition}), "utf-8")
    (web / "index.html").write_text(f"<title>{name}</title>{mark}<p>Edition {edition}", "utf-8")
    for n in range(lessons):
        (web / "lessons" / f"l{n}.html").write_text("x", "utf-8")
    return folder


def no_site(monkeypatch: pytest.MonkeyPatch, *broken: str) -> None:
    """Builds that do nothing but fail for the folders of these names: what a build does has tests of its own."""
    from generator.publish.build import Problems
    from generator.source.problem import Problem

    def build(folder: Path, progress: Any, **_: Any) -> Built:
        progress("reading tables")
        if folder.name in broken:
            raise Problems([Problem.of("machines.csv", 7, "mass is blank", "write a value")])
        return Built(folder / "out", 1, 1, 0.0)

    monkeypatch.setattr("generator.publish.build.build", build)


def run(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, list[str], list[str]]:
    status = main([str(w) for w in words])
    out, err = capsys.readouterr()
    return status, out.splitlines(), err.splitlines()


def test_one_that_fails_stops_no_other_and_its_last_handbook_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    a, b, c = (handbook(tmp_path / key, key, f"Site {key}") for key in "abc")
    place = tmp_path / "all"
    no_site(monkeypatch)
    assert run(capsys, "build", a, b, c, "--index", place, "--quiet")[0] == 0
    handbook(a, "a", "Site a", "2026-2")
    handbook(c, "c", "Site c", "2026-2")
    no_site(monkeypatch, "b")
    status, out, err = run(capsys, "build", a, b, c, "--index", place)
    assert status == 2
    assert err == [
        f"{a} (1 of 3)", "reading tables", f"{b} (2 of 3)", "reading tables", "machines.csv:7: mass is blank; write a value",
        "nothing was changed: the last handbook is still in place", f"{c} (3 of 3)", "reading tables",
        f"2 of 3 sites built; not {b}", f"{place}: holds the last handbook of {b}",
    ]  # fmt: skip
    assert out[-3:] == ["3 sites: a, b, c", f"publish:  {place / 'web'}", f"open:     {place / 'web' / 'index.html'}"]
    page = (place / "web" / "index.html").read_text("utf-8")
    assert re.findall(r"<bdi>(.*?)</bdi></strong> <span>(.*?)</span>", page) == [
        ("Site a", "Edition 2026-2, 2 lessons"), ("Site b", "Edition 2026-1, 2 lessons"), ("Site c", "Edition 2026-2, 2 lessons"),
    ]  # fmt: skip
    # even where its own folder lost it, or its settings can no longer be read
    (b / "out" / "web" / "index.html").unlink()
    (b / "settings.yml").write_text("site: [", "utf-8")
    assert run(capsys, "build", a, b, c, "--index", place, "--quiet")[0] == 2
    assert (place / "web" / "b" / "lessons" / "l1.html").is_file() and "Site b" in (place / "web" / "index.html").read_text("utf-8")
    # one that is named no longer goes
    no_site(monkeypatch)
    assert run(capsys, "build", a, c, "--index", place, "--quiet")[0] == 0
    assert sorted(p.name for p in (place / "web").iterdir()) == ["a", "c", "index.html", "index.html.gz", "sites.css", "sites.css.gz"]


def test_without_a_page_each_is_built_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    a, b = tmp_path / "a", tmp_path / "b"
    for folder in (a, b):
        folder.mkdir()
        (folder / "settings.yml").write_text(f"site: {{key: {folder.name}}}\n", "utf-8")
    no_site(monkeypatch, "a")
    status, out, err = run(capsys, "build", a, b, "--quiet")
    assert status == 2 and out[1:] == [
        f"publish:  {b / 'out/web'}",
        f"keep:     {b / 'out/mentor'}",
        f"open:     {b / 'out/web/index.html'}",
    ]
    assert err[-1] == f"1 of 2 sites built; not {a}"
    assert run(capsys, "build", a, "--index", tmp_path / "all", "--quiet") == (
        2, [], ["machines.csv:7: mass is blank; write a value", "nothing was written",
                f"{tmp_path / 'all'}: nothing was written, as no site has a handbook yet"],
    )  # fmt: skip
    assert not (tmp_path / "all").exists() and not list(tmp_path.glob(".all-*"))


def test_sites_that_cannot_be_told_apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Before anything is built."""
    a, b = handbook(tmp_path / "a", "north"), handbook(tmp_path / "b", "North")
    no_site(monkeypatch)
    alike = (
        f"{b}/settings.yml:1: the key 'North' is that of {a} too; give each site a key of its own, as phones and records tell sites by it"
    )
    assert run(capsys, "build", a, b) == (2, [], [alike])
    assert run(capsys, "check", a, b) == (2, [], [alike])
    twice = f"{a.parent / 'b' / '..' / 'a'}: the folder is named twice; name each site once"
    assert run(capsys, "build", a, a.parent / "b" / ".." / "a") == (2, [], [twice])
    handbook(b, "index.html")
    assert run(capsys, "build", a, b, "--index", tmp_path / "all")[2] == [
        f"{b}/settings.yml:1: 'index.html' is the name of a file beside the sites' handbooks; give the site another key"
    ]
    handbook(b, "south")
    assert run(capsys, "build", a, b, "--tree", tmp_path / "tree")[2] == ["--tree takes the pages of one site; build that one by itself"]


def test_a_person_of_two_sites_is_no_matter_of_the_page(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    a, b = handbook(tmp_path / "a", "a"), handbook(tmp_path / "b", "b")
    for folder in (a, b):
        (folder / "crew.csv").write_text("id,name,role,machines,start\nP-01,Ines Holloway,loader,,\n", "utf-8")
    no_site(monkeypatch)
    assert run(capsys, "build", a, b, "--index", tmp_path / "all", "--quiet")[0] == 0
    assert not [p for p in (tmp_path / "all").rglob("*") if p.is_file() and b"Holloway" in p.read_bytes()]


def test_the_folder_for_them_loses_nothing_of_anybody(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    a, b = handbook(tmp_path / "a", "a"), handbook(tmp_path / "b", "b")
    fleet = tmp_path / "fleet"
    fleet.mkdir()
    (fleet / "machines.csv").write_text("id\n", "utf-8")
    (a / "settings.yml").write_text("site: {key: a}\nshared: ../fleet\n", "utf-8")
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "letter.txt").write_text("x", "utf-8")
    (tmp_path / "file").write_text("x", "utf-8")
    (tmp_path / "link").symlink_to("mine")
    no_site(monkeypatch)
    for named_place, line in (
        ("mine", "is there already and not empty; name a new folder for the handbooks"),
        ("file", "is no folder, and a build would put one in its place; name another"),
        ("link", "is a link, and a build would put a folder in its place; name the folder itself"),
        ("a/all", f"lies in the site {a}; name a folder outside of it"),
        ("a", f"lies in the site {a}; name a folder outside of it"),
        ("fleet/all", f"lies in what is shared, {fleet}; name a folder outside of it"),
        (".", f"holds the site {a}, and a build replaces it; name a folder for the handbooks alone"),
    ):
        told = tmp_path / named_place
        assert run(capsys, "build", a, b, "--index", told)[::2] == (2, [f"{told}: {line}"]), named_place
    assert run(capsys, "build", b, "--index", a / "all")[2] == [f"{a / 'all'}: lies in the site a; name a folder outside of it"]
    place = tmp_path / "all"
    assert run(capsys, "build", a, b, "--index", place)[0] == 0
    # what people put there stays, and a page that somebody changed stops it
    (place / "web" / "rules.pdf").write_text("x", "utf-8")
    assert run(capsys, "build", a, b, "--index", place)[0] == 0
    assert (place / "web" / "rules.pdf").is_file() and not list(tmp_path.glob(".all-*"))
    (place / "web" / "index.html").write_text("mine", "utf-8")
    assert run(capsys, "build", a, b, "--index", place)[2] == [
        f"{place / 'web/index.html'}: was changed after a build wrote it, and a build writes its pages anew; move your copy to another folder first, or delete it"
    ]
    assert (place / "web" / "index.html").read_text("utf-8") == "mine"


def test_what_was_published_stays_until_the_new_is_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    a = handbook(tmp_path / "a", "a", "Before")
    place = tmp_path / "all"
    no_site(monkeypatch)
    assert run(capsys, "build", a, "--index", place, "--quiet")[0] == 0
    before = hashes(place)
    handbook(a, "a", "After")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", str(place.with_name(".all-new-1") / "out" / "headers"))

    monkeypatch.setattr(sites, "write_headers", full)
    status, _, err = run(capsys, "build", a, "--index", place, "--quiet")
    assert status == 2 and err[-1].startswith(f"{place}: cannot be written (No space left on device); free space")
    assert hashes(place) == before and not list(tmp_path.glob(".all-new*"))


def test_a_name_on_the_page_is_nothing_but_a_name() -> None:
    page = index_page([Handbook("k", "<script>alert(1)</script> & {x}", "2026<1", 1, True, "../k")])
    assert "<script" not in page and "&lt;script&gt;alert(1)&lt;/script&gt; &amp; {x}" in page
    assert "Edition 2026&lt;1, 1 lesson. Invented site" in page


def test_several_sites_are_checked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    a, b = tmp_path / "a", tmp_path / "b"

    def check_one(_: object, folder: Path) -> int:
        print(f"checked {folder.name}")
        return 2 if folder == a else 0

    monkeypatch.setattr("generator.cli.sites.check_one", check_one)
    said = [f"{a} (1 of 2)", f"{b} (2 of 2)"]
    assert run(capsys, "check", a, b) == (2, ["checked a", "checked b"], [*said, f"1 of 2 sites in order; not {a}"])
    assert run(capsys, "check", b, tmp_path / "c") == (0, ["checked b", "checked c"], [f"{b} (1 of 2)", f"{tmp_path / 'c'} (2 of 2)"])
    assert run(capsys, "check", b) == (0, ["checked b"], [])


def test_the_preview_watches_what_is_shared(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    site = tmp_path / "site"
    site.mkdir()
    for name in ("fleet", "other"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "machines.csv").write_text("id\n", "utf-8")
    (site / "settings.yml").write_text("shared: ../fleet\n", "utf-8")
    watched: list[str] = []

    class Server:
        def __init__(self, rebuild: Any, *_: object) -> None:
            self.rebuild, self.serve_request = rebuild, None

        def set_app(self, _: object) -> None: ...

        def watch(self, place: str) -> None:
            watched.append(place)

        def serve(self) -> None:
            (site / "settings.yml").write_text("shared: ../other\n", "utf-8")  # a save
            self.rebuild()
            raise KeyboardInterrupt

        def shutdown(self) -> None: ...

    monkeypatch.setattr("generator.publish.serve.web_server", Server)
    monkeypatch.setattr("generator.publish.preview.Preview.rebuild", lambda _: None)
    assert serve(site, 8765) == 0
    assert watched[0] == str(site) and watched[2:] == [str(tmp_path / "fleet"), str(tmp_path / "other")]
