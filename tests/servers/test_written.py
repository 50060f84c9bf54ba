"""Which server files a build writes, and that they explain themselves to whoever runs the server."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.publish.build import build
from generator.publish.hand_in import A_MINUTE, APACHE, DROP, FILES, MOST_BYTES, NGINX, NGINX_HTTP, server_files, write_server_files
from tests.conftest import copy_demo
from tests.sites import own_lesson


def test_a_build_writes_them_for_the_path_of_the_settings(tmp_path: Path) -> None:
    site = own_lesson(copy_demo(tmp_path / "site"))
    settings = site / "settings.yml"
    text = settings.read_text("utf-8")
    settings.write_text(re.sub(r"(?m)^hand_in:.*\n", "", text) + "\nhand_in: /north/results-in/\n", "utf-8")
    build(site, lambda _: None)
    assert {p.name for p in (site / "out/headers").iterdir()} == {"nginx.conf", "apache.conf", "policy.txt", *FILES}
    listed = (site / "out/files.sha256").read_text("utf-8")
    assert all(f"  headers/{name}\n" in listed for name in FILES)
    assert "location ^~ /north/results-in/ {" in (site / "out/headers" / NGINX).read_text("utf-8")
    assert '<Location "/north/results-in/">' in (site / "out/headers" / APACHE).read_text("utf-8")


def test_nothing_is_written_without_a_path(tmp_path: Path) -> None:
    write_server_files(tmp_path, None)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", FILES)
def test_each_says_at_its_head_where_it_goes_and_needs_no_other_change(name: str) -> None:
    text = server_files("/training/hand-in/")[name]
    head = text.partition("\n#\n")[0]
    assert head.startswith("# Hand in results, ") and " goes into the " in head
    assert not re.search("@[A-Z]+@|[{]{2}", text)
    rules = "\n".join(line for line in text.splitlines() if not line.startswith("#"))
    assert DROP in text or name == NGINX_HTTP
    if name != NGINX_HTTP:
        assert f"install -d -o www-data -g handbook -m 2750 {DROP}" in text and str(MOST_BYTES) in rules and "64 KB" in text
        assert f"seatwork tally FOLDER {DROP} --watch" in text
    if name == APACHE:  # a lock file that was made on a full disk is broken for ever: it lies outside of what can fill up
        assert f"DavLockDB {DROP}-locks/locks\n" in rules and f"install -d -o www-data -g www-data -m 700 {DROP}-locks\n" in text
    # what the server's user does not need, it does not get
    assert not re.search(r"\b(autoindex|DELETE|MKCOL|COPY|MOVE|Indexes)\b", rules)


def test_what_people_behind_one_address_share_is_said_where_it_is_set() -> None:
    files = server_files("/training/hand-in/")
    assert f"rate={A_MINUTE}r/m" in files[NGINX_HTTP] and f"burst={A_MINUTE} nodelay" in files[NGINX]
    assert "People behind one address" in files[NGINX_HTTP] and "raise the rate" in files[NGINX_HTTP]
    assert "Apache has no module of its own that counts the requests of one address" in files[APACHE].replace("\n# ", " ")
