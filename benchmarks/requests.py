"""How many pages a second an nginx gives out: packed anew for each request, and packed as the build left them.

Run: python -m benchmarks.requests [SITE] [--seconds S] [--clients N]

Build the site first. An nginx of one process on the loopback serves its web folder with the written headers, once with
``gzip_static`` and once without; some clients ask for one lesson over and over. Bounded in time and clients.
"""

from __future__ import annotations

import argparse
import http.client
import re
import shutil
import socket
import subprocess
import tempfile
import threading
import time
from pathlib import Path

MOST_SECONDS, MOST_CLIENTS = 20.0, 16


def asked(port: int, path: str, seconds: float, clients: int) -> tuple[float, int]:
    """Answers a second, and the bytes of one."""
    until, counts, sizes = time.perf_counter() + seconds, [0] * clients, [0] * clients

    def client(n: int) -> None:
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
        while time.perf_counter() < until:
            line.request("GET", path, headers={"Accept-Encoding": "gzip"})
            answer = line.getresponse()
            sizes[n] = len(answer.read())
            if answer.status != 200 or answer.getheader("Content-Encoding") != "gzip":
                raise SystemExit(f"{path}: answered {answer.status}, {answer.getheader('Content-Encoding')}")
            counts[n] += 1
        line.close()

    threads = [threading.Thread(target=client, args=(n,)) for n in range(clients)]
    start = time.perf_counter()
    for t in threads:
        t.start()
    for t in threads:
        t.join()
    return sum(counts) / (time.perf_counter() - start), max(sizes)


def measured(program: str, out: Path, page: str, seconds: float, clients: int, *, static: bool) -> tuple[float, int]:
    """As :func:`asked`, of an nginx that sends what lies there packed, or packs each answer."""
    with tempfile.TemporaryDirectory(prefix="seatwork-requests-") as made:
        place = Path(made)
        place.chmod(0o755)
        shutil.copytree(out / "web", place / "web")
        headers = (out / "headers/nginx.conf").read_text("utf-8")
        (place / "headers.conf").write_text(headers if static else re.sub(r"(?m)^gzip_static on;$", "", headers), "utf-8")
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        temporary = "".join(f"{kind}_temp_path {place}/{kind};" for kind in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
        (place / "nginx.conf").write_text(
            f"daemon off; worker_processes 1; pid {place}/pid; error_log {place}/error.log; events {{ worker_connections 64; }}\n"
            f"http {{ types {{ text/html html; text/css css; application/javascript js; application/json json; }} {temporary} access_log off;\n"
            f"keepalive_requests 1000000; server {{ listen 127.0.0.1:{port}; location / {{ root {place}/web; include {place}/headers.conf; }} }} }}",
            "utf-8",
        )
        running = subprocess.Popen([program, "-e", f"{place}/error.log", "-c", str(place / "nginx.conf")])
        try:
            for _ in range(200):
                with socket.socket() as asking:
                    if asking.connect_ex(("127.0.0.1", port)) == 0:
                        break
                time.sleep(0.02)
            return asked(port, f"/{page}", seconds, clients)
        finally:
            running.terminate()
            running.wait(20)


def main() -> None:
    """Measure both and print them."""
    p = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    p.add_argument("site", type=Path, nargs="?", default=Path("site_demo"))
    p.add_argument("--seconds", type=float, default=3.0)
    p.add_argument("--clients", type=int, default=4)
    args = p.parse_args()
    program = shutil.which("nginx", path="/usr/sbin:/usr/local/sbin:/usr/bin:/usr/local/bin")
    out = args.site / "out"
    if program is None or not (out / "web/index.html").is_file():
        raise SystemExit("needs nginx, and a site that is built")
    page = max((out / "web/lessons").glob("*.html"), key=lambda f: f.stat().st_size).relative_to(out / "web").as_posix()
    seconds, clients = min(args.seconds, MOST_SECONDS), min(args.clients, MOST_CLIENTS)
    print(f"{page}, {clients} clients, {seconds:g} s each")
    for words, static in (("packed for each request", False), ("packed by the build", True)):
        rate, size = measured(program, out, page, seconds, clients, static=static)
        print(f"  {words:25} {rate:8,.0f} requests a second, {size:,} bytes each")


if __name__ == "__main__":
    main()
