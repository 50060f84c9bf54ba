"""Plays a unit's quiz in a browser, beside learning systems made of runtimes of others."""

from __future__ import annotations

import contextlib
import functools
import http.server
import threading
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.conftest import copy_demo

HERE = Path(__file__).parent
RUNTIMES = HERE / "node_modules"
LESSON = "stop-work"
ROLES = """
hand_in: /training/hand-in/
quiz: {draw: 7}
roles:
  digger: {title: Digger, machines: [excavator], lessons: [stop-work, bench-height]}
  helper: {title: Helper, machines: [on foot], lessons: [stop-work]}
"""
LEARNERS = "learner,person\nJo.One@lms.example,P-01\nlms-2,P-02\n"


def small_site(folder: Path) -> Path:
    """The demo with two lessons, seven questions a try, a way to hand in, two people and their ids in a learning system."""
    copy_demo(folder)
    settings = folder / "settings.yml"
    head, rest = settings.read_text("utf-8").split("\nroles:\n", 1)
    settings.write_text(head + ROLES + rest[rest.index("\n# This site's own limits") :], "utf-8")
    (folder / "crew.csv").write_text(
        "id,name,role,machines,start\nP-01,Person One,digger,E-1,2026-01-05\nP-02,Person Two,helper,,2026-01-05\n", "utf-8"
    )
    (folder / "learners.csv").write_text(LEARNERS, "utf-8")
    (folder / "mentors.csv").unlink()  # as most sites are, whose handbook has no page to sign on
    return folder


def unzipped(package: Path, target: Path) -> Path:
    """A package as a learning system unpacks it."""
    with zipfile.ZipFile(package) as z:
        z.extractall(target)
    return target


class _Quiet(http.server.SimpleHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def log_message(self, *args: Any) -> None:
        pass


@contextlib.contextmanager
def serving(folder: Path, handler: type[http.server.SimpleHTTPRequestHandler] = _Quiet) -> Iterator[str]:
    """A server of a folder on the loopback; its address."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(handler, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()


# answers the question that is shown, as somebody does who knows the answer, or who does not
_ANSWER = """(wrong) => {
  const el = document.querySelector('seatwork-quiz'), q = el.questionAt(), item = el.itemOf(q), v = el.variantOf(item), right = el.rightOf(q, v);
  const text = (html) => { const d = document.createElement('div'); d.innerHTML = html; return d.textContent; };
  if (q.kind === 'number') {
    q.input.value = text(v.answer.shown).replace(/\\d/g, (d) => (wrong ? Number(d) % 9 + 1 : d));
    q.input.dispatchEvent(new Event('input', { bubbles: true }));
  } else if (q.kind === 'order') {
    for (const i of wrong ? right.slice().reverse() : right) q.list.append(q.rows.get(i).li);
  } else {
    const shown = Array.from(q.rows).filter(([i, row]) => !row.li.hidden);
    const given = wrong ? [shown.map(([i]) => i).find((i) => !right.includes(i))] : right;
    for (const [i, row] of shown) row.input.checked = given.includes(i);
  }
  el.form.requestSubmit();
  return { q: q.id, kind: q.kind, right: el.grade(item).right };
}"""

MUST = "() => document.querySelector('seatwork-quiz').run().items.map((i) => document.querySelector('seatwork-quiz').byId.get(i.q).must === true)"


def start(page: Any, words: str = "Start") -> None:
    """Presses the button of the quiz's first panel."""
    page.locator(".sq-start .sq-main").filter(has_text=words).click()


def answer(page: Any, wrong: bool = False) -> dict[str, Any]:
    """Answers the question shown; which it was and whether it was right."""
    done: dict[str, Any] = page.evaluate(_ANSWER, wrong)
    return done


def play(page: Any, wrong: str = "none", upto: int | None = None) -> list[dict[str, Any]]:
    """Answers the try from where it stands: ``wrong`` is none, all, or must for one question that must be right."""
    must = page.evaluate(MUST)
    miss = {"none": set(), "all": set(range(len(must))), "must": {must.index(True)} if True in must else set()}[wrong]
    done = []
    at = page.evaluate("() => document.querySelector('seatwork-quiz').run().at")
    for i in range(at, len(must)):
        done.append(answer(page, i in miss))
        if upto is not None and len(done) == upto:
            return done
        page.locator(".sq-next").click()
    return done
