"""A real nginx or Apache on a free port of the loopback, with the written server files included as they are."""

from __future__ import annotations

import contextlib
import getpass
import os
import pwd
import re
import resource
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from generator.publish.hand_in import APACHE, DROP, NGINX, NGINX_HTTP, server_files

KINDS = ("nginx", "apache")
HAND_IN = "/training/hand-in/"
_PATH = f"{os.environ.get('PATH', '')}:/usr/sbin:/usr/local/sbin"
_OLD = ("apache2", "httpd")  # Debian's name of Apache, and its own
APACHE_MODULES = ("mpm_event", "authz_core", "mime", "dir", "alias", "headers", "rewrite", "unique_id", "allowmethods", "dav", "dav_fs")


def program(kind: str) -> str:
    """The path of a server's program; the test fails where it is not installed."""
    for name in ("nginx",) if kind == "nginx" else _OLD:
        if found := shutil.which(name, path=_PATH):
            return found
    pytest.fail(f"no {kind} found; run sh tests/need_browser.sh")


def server_user() -> str:
    """Whom the server runs as: with root's rights nobody tests what it may not do."""
    if os.geteuid() != 0:
        return getpass.getuser()
    names = {p.pw_name for p in pwd.getpwall()}
    return "www-data" if "www-data" in names else "nobody"


@dataclass
class Server:
    """A server that can be stopped and started again; ``most_bytes`` of one file is what it may write, as on a full disk."""

    kind: str
    place: Path
    port: int
    drop: Path
    start_it: Callable[[], subprocess.Popen[str]]
    most_bytes: int | None = None
    running: subprocess.Popen[str] | None = field(default=None, repr=False)

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def files(self) -> list[Path]:
        """What was handed in: all that stands in the drop under a name that is not hidden."""
        return sorted(p for p in self.drop.rglob("*") if p.is_file() and not any(x.startswith(".") for x in p.relative_to(self.drop).parts))

    def hidden(self) -> list[Path]:
        """What is left of anything that was cut off."""
        return [p for p in self.drop.rglob("*") if p.is_file() and p not in self.files()]

    def start(self) -> None:
        self.running = self.start_it()
        for _ in range(400):
            if self.running.poll() is not None:
                assert self.running.stderr is not None
                pytest.fail(f"{self.kind} ended: {self.running.stderr.read()} {self.said()}")
            with socket.socket() as asking:
                if asking.connect_ex(("127.0.0.1", self.port)) == 0:
                    return
            time.sleep(0.02)
        pytest.fail(f"{self.kind} does not answer: {self.said()}")

    def stop(self) -> None:
        if self.running is None:
            return
        self.running.terminate()
        try:
            self.running.communicate(timeout=20)
        finally:
            self.running = None

    def said(self) -> str:
        log = self.place / "error.log"
        return log.read_text("utf-8", "replace")[-2000:] if log.is_file() else ""


def _limited(most: int | None) -> Callable[[], None]:
    def before() -> None:
        if most is not None:  # what it writes beyond fails, as on a full disk; without the signal that would end it
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    return before


def free_port() -> int:
    """A port of the loopback that nobody listens on."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return int(free.getsockname()[1])


@contextlib.contextmanager
def server(kind: str, web: Path | None = None, headers: Path | None = None, without: str = "") -> Iterator[Server]:
    """A server of ``kind`` (nginx or apache) that takes results in at /training/hand-in/ and gives out ``web`` at /training/.

    ``headers`` is the folder of server files for the handbook; ``without`` names a module of Apache that is not switched on. Its place can be reached by the server's user alone.
    """
    found = program(kind)
    place = Path(tempfile.mkdtemp(prefix="seatwork-server-"))
    user = server_user()
    drop, locks, root, conf = place / "drop", place / "drop-locks", place / "root", place / "conf"
    try:
        place.chmod(0o755)
        for folder in (drop, drop / ".arriving", locks, root, conf):
            folder.mkdir()
        (drop / ".arriving").chmod(0o700)
        drop.chmod(0o750)
        if os.geteuid() == 0:
            for folder in (drop, drop / ".arriving", locks):
                shutil.chown(folder, user)
        for name, text in server_files(HAND_IN).items():
            (conf / name).write_text(text.replace(DROP, str(drop)), "utf-8")
        if web is not None and headers is not None:
            shutil.copytree(web, root / "web")
            shutil.copytree(headers, conf / "headers")
        port = free_port()
        if kind == "nginx":
            made = _nginx(place, port, web is not None)
        else:
            made = _apache(found, place, port, user if os.geteuid() == 0 else "", web is not None, without)

        def start() -> subprocess.Popen[str]:
            return subprocess.Popen(made, stderr=subprocess.PIPE, text=True, preexec_fn=_limited(this.most_bytes))

        this = Server(kind, place, port, drop, start)
        this.start()
        try:
            yield this
        finally:
            this.stop()
    finally:
        shutil.rmtree(place, ignore_errors=True)


def _nginx(place: Path, port: int, web: bool) -> list[str]:
    pages = (
        f"location ^~ /training/ {{ alias {place}/root/web/; include {place}/conf/headers/nginx.conf; error_page 404 /training/404.html; }}"
        if web
        else ""
    )
    return nginx_command(
        place,
        f"""include {place}/conf/{NGINX_HTTP};
        server {{
          listen 127.0.0.1:{port};
          root {place}/root;
          {pages}
          location ~ \\.json$ {{ return 404; }}
          include {place}/conf/{NGINX};
        }}""",
    )


def nginx_command(place: Path, within: str) -> list[str]:
    """What starts an nginx whose files lie in ``place``, with ``within`` in its http block."""
    found, user = program("nginx"), server_user() if os.geteuid() == 0 else ""
    said = subprocess.run([found, "-V"], capture_output=True, text=True, check=True).stderr
    built = re.search(r"--conf-path=(\S+)", said)
    types = Path(built[1] if built else "/etc/nginx/nginx.conf").parent / "mime.types"
    temporary = "".join(f"{kind}_temp_path {place}/{kind};" for kind in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
    config = place / "nginx.conf"
    config.write_text(
        f"""{f"user {user};" if user else ""} daemon off; worker_processes 2; pid {place}/pid; error_log {place}/error.log;
        events {{ worker_connections 256; }}
        http {{
          include {types}; default_type application/octet-stream; {temporary} access_log off;
          {within}
        }}""",
        "utf-8",
    )
    return [found, "-e", f"{place}/error.log", "-c", str(config)]


def _apache(found: str, place: Path, port: int, user: str, web: bool, without: str) -> list[str]:
    modules = next(
        (p for p in map(Path, ("/usr/lib/apache2/modules", "/usr/lib64/httpd/modules", "/usr/lib/httpd/modules")) if p.is_dir()), None
    )
    if modules is None:
        pytest.fail("Apache's modules were not found")
    loads = "\n".join(
        f"LoadModule {m}_module {modules}/mod_{m}.so" for m in APACHE_MODULES if m != without and (modules / f"mod_{m}.so").is_file()
    )
    if (modules / "mod_unixd.so").is_file():
        loads += f"\nLoadModule unixd_module {modules}/mod_unixd.so"
    types = next((p for p in map(Path, ("/etc/mime.types", "/etc/httpd/conf/mime.types", "/etc/nginx/mime.types")) if p.is_file()), None)
    pages = (
        f"""Alias /training {place}/root/web
        <Directory {place}/root/web>
          Require all granted
          Include {place}/conf/headers/apache.conf
          ErrorDocument 404 /training/404.html
        </Directory>"""
        if web
        else f"Alias /training {place}/root"
    )
    config = place / "apache.conf"
    config.write_text(
        f"""ServerRoot {place}
        ServerName localhost
        PidFile {place}/pid
        ErrorLog {place}/error.log
        LogLevel warn
        {loads}
        DefaultRuntimeDir {place}
        {f"TypesConfig {types}" if types else ""}
        AddType application/x-gzip .gz
        {f"User {user}" if user else ""}
        {f"Group #{pwd.getpwnam(user).pw_gid}" if user else ""}
        StartServers 2
        MinSpareThreads 5
        MaxSpareThreads 100
        ThreadsPerChild 25
        <Directory />
          Require all denied
          AllowOverride None
        </Directory>
        DocumentRoot {place}/root
        Listen 127.0.0.1:{port}
        <VirtualHost 127.0.0.1:{port}>
          {pages}
          Include {place}/conf/{APACHE}
        </VirtualHost>""",
        "utf-8",
    )
    return [found, "-D", "FOREGROUND", "-f", str(config)]
