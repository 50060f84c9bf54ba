"""Servers for the published handbook: a real nginx, and a small one that can fail on demand."""

from __future__ import annotations

import http.server
import os
import re
import shutil
import socket
import subprocess
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest

UNDER = "/training/handbook/"


@dataclass
class Nginx:
    """A running nginx: its address and what it has answered."""

    address: str
    log: Path

    def answered(self) -> list[tuple[str, int, int]]:
        """Path, status and bytes of each answer's body, as sent over the wire."""
        rows = [line.split() for line in self.log.read_text("utf-8").splitlines()]
        return [(path, int(status), int(size)) for path, status, size in rows]


@contextmanager
def nginx(web: Path, headers: Path, place: Path) -> Iterator[Nginx]:
    """Serve ``web`` at ``/`` and below ``/training/handbook/``, each with the snippet included."""
    program = shutil.which("nginx", path=f"{os.environ.get('PATH', '')}:/usr/sbin:/usr/local/sbin")
    if program is None:
        pytest.fail("no nginx found; run sh tests/need_browser.sh")
    place.mkdir(parents=True, exist_ok=True)
    said = subprocess.run([program, "-V"], capture_output=True, text=True, check=True).stderr
    built = re.search(r"--conf-path=(\S+)", said)
    types = Path(built[1] if built else "/etc/nginx/nginx.conf").parent / "mime.types"
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    temporary = "".join(f"{kind}_temp_path {place}/{kind};" for kind in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
    snippet = headers / "nginx.conf"
    root = "user root;" if hasattr(os, "geteuid") and os.geteuid() == 0 else ""
    log = place / "access.log"
    config = place / "nginx.conf"
    config.write_text(
        f"""{root} daemon off; worker_processes 1; pid {place}/pid; error_log {place}/error.log;
        events {{ worker_connections 256; }}
        http {{
          include {types}; default_type application/octet-stream; {temporary}
          log_format wire '$uri $status $body_bytes_sent'; access_log {log} wire;
          server {{
            listen 127.0.0.1:{port};
            location / {{ root {web}; include {snippet}; error_page 404 /404.html; }}
            location {UNDER} {{ alias {web}/; include {snippet}; error_page 404 {UNDER}404.html; }}
          }}
        }}""",
        "utf-8",
    )
    running = subprocess.Popen([program, "-e", f"{place}/error.log", "-c", str(config)], stderr=subprocess.PIPE, text=True)
    try:
        for _ in range(200):
            if running.poll() is not None:
                assert running.stderr is not None
                pytest.fail(f"nginx ended: {running.stderr.read()}")
            with socket.socket() as asking:
                if asking.connect_ex(("127.0.0.1", port)) == 0:
                    break
            time.sleep(0.05)
        yield Nginx(f"http://127.0.0.1:{port}", log)
    finally:
        running.terminate()
        running.communicate(timeout=20)


@dataclass
class Flaky:
    """A server of one folder below a path, and what is wrong with it right now."""

    folder: Path
    under: str = UNDER
    address: str = ""
    down: bool = False  # hangs up
    silent: bool = False  # takes the question and does not answer
    broken: set[str] = field(default_factory=set)  # answered with 500
    asked: list[str] = field(default_factory=list)
    over: threading.Event = field(default_factory=threading.Event)


@contextmanager
def flaky(folder: Path, under: str = UNDER) -> Iterator[Flaky]:
    """Serve ``folder`` below ``under``."""
    site = Flaky(folder, under)

    class Handler(http.server.SimpleHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def log_message(self, format: str, *args: Any) -> None:
            pass

        def translate_path(self, path: str) -> str:
            name = unquote(path.partition("?")[0])
            return str(site.folder / name[len(site.under) :]) if name.startswith(site.under) else "/nowhere"

        def end_headers(self) -> None:
            self.send_header("Cache-Control", "no-cache")
            super().end_headers()

        def do_GET(self) -> None:
            name = unquote(self.path.partition("?")[0])[len(site.under) :]
            if site.silent:
                site.over.wait(60)
            if site.down:
                self.close_connection = True
                return
            site.asked.append(name)
            if name in site.broken:
                self.send_error(500)
                return
            del self.headers["If-Modified-Since"]  # two editions within one second would look alike
            super().do_GET()

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    threading.Thread(target=server.serve_forever, daemon=True).start()
    site.address = f"http://127.0.0.1:{server.server_address[1]}{under}"
    try:
        yield site
    finally:
        site.over.set()
        server.shutdown()
        server.server_close()
