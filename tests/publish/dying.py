"""Builds that die: run as a program of its own, so that it can fork and kill its children.

``python -m tests.publish.dying SITE killed ROUNDS SEED`` builds SITE again and again, each time as
another edition, kills the child at a random moment, and looks at what is left. The site builder is
stood in for by copying the Markdown tree: it only adds files beside, and takes the longest.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import Any

from generator.cli.commands import not_written
from generator.publish.swap import staging

# Any: tests put functions of their own in the place of its
building: Any = import_module("generator.publish.build")
writing: Any = import_module("generator.publish.one_language")

MARK = "edition mark "


def copied(config: Path, target: Path, when: int, keeping: object = None) -> None:
    """In the site builder's place, which keeps nothing."""
    shutil.copytree(config.parent / "docs", target)


def of_edition(found: tuple[Any, Any], name: str) -> tuple[Any, Any]:
    """The tree as of another edition: every page says which."""
    tree, site = found
    marked = {
        place: {n: x + f"\n{MARK}{name}\n" if isinstance(x, str) else x for n, x in getattr(tree, place).items()}
        for place in ("docs", "mentor")
    }
    return replace(tree, **marked), replace(site, settings=replace(site.settings, edition=name))


def renders(found: tuple[Any, Any], name: str) -> None:
    """From now on builds find this tree, as of that edition, in the place of reading and rendering."""
    building.load = lambda *_: (None, found[1])
    building.rendered = lambda *_: of_edition(found, name)


def in_child(work: Callable[[], Any]) -> int:
    """Fork; the child works and ends with 0, or with 1 and its error on standard error."""
    child = os.fork()
    if child:
        return child
    status = 1
    try:
        work()
        status = 0
    except BaseException as e:
        print(f"{type(e).__name__}: {e}", file=sys.stderr, flush=True)
    finally:
        os._exit(status)


def whole(out: Path) -> str:
    """The edition ``out`` holds. Raises AssertionError where files of two stand in it, or one is cut."""
    name = json.loads((out / "ledger.json").read_text("utf-8"))["edition"]
    seen = 0
    for path in (*out.glob("web/**/*"), *out.glob("mentor/**/*")):
        if path.suffix in {".md", ".html"}:
            assert path.read_text("utf-8").endswith(f"{MARK}{name}\n"), path
            seen += 1
    assert seen, "no page"
    return str(name)


FOREIGN = ("mentor/signed/2026/scan 1.pdf", "web/lessons/photo.jpg", "notes.txt", "mentor/paper/handed in.txt")


def put_in(out: Path) -> dict[str, bytes]:
    """What a person puts into ``out``: files at several depths, with what is in them."""
    made = {name: f"{name}, by hand".encode() for name in FOREIGN}
    for name, data in made.items():
        (out / name).parent.mkdir(parents=True, exist_ok=True)
        (out / name).write_bytes(data)
    return made


def still_in(out: Path, foreign: dict[str, bytes]) -> None:
    """Raises AssertionError where one of them is lost or another."""
    for name, data in foreign.items():
        assert (out / name).read_bytes() == data, name


def steps(stop: int) -> list[int]:
    """Counts what the process does to the disk from now on, and kills it at step ``stop``."""
    done = [0]

    def seen(event: str, args: tuple[Any, ...]) -> None:
        writes = event == "open" and isinstance(args[2], int) and args[2] & (os.O_WRONLY | os.O_RDWR)
        if writes or event in {"os.mkdir", "os.link", "os.rename", "os.remove", "os.rmdir", "ctypes.call_function"}:
            done[0] += 1
            if done[0] == stop:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(seen)
    return done


def killed(site: Path, rounds: int, seed: int) -> dict[str, int]:
    """Kill ``rounds`` builds: every other one by the clock, the rest at a step on the disk.

    How many had not swapped, how many had, and how many were done before the kill came.
    """
    rng = random.Random(seed)
    rendered = building.render(site, lambda _: None)
    writing.build_site = copied
    counter, told = os.pipe()

    def build(name: str, stop: int = 0) -> None:
        renders(rendered, name)
        done = steps(stop)
        building.build(site, lambda _: None)
        os.write(told, done[0].to_bytes(4, "big"))

    def ended(name: str, stop: int = 0, after: float | None = None) -> bool:
        child = in_child(lambda: build(name, stop))
        if after is not None:
            time.sleep(after)
            os.kill(child, signal.SIGKILL)
        good = os.waitpid(child, 0)[1] == 0
        return good and bool(os.read(counter, 4))

    assert ended("first")
    foreign = put_in(site / "out")
    start = time.perf_counter()
    child = in_child(lambda: build("second"))
    os.waitpid(child, 0)
    usual = time.perf_counter() - start
    needed = int.from_bytes(os.read(counter, 4), "big")
    files = sum(1 for _ in (site / "out").rglob("*"))
    last, counts = "second", {"before": 0, "after": 0, "ended": 0}
    for i in range(rounds):
        name = f"e{i}"
        if i % 2:
            good = ended(name, after=usual * rng.uniform(0, 1))
        else:  # half of these in the last steps, where the swap is
            good = ended(name, stop=rng.randint(1, needed) if i % 4 else rng.randint(needed - 12, needed))
        found = whole(site / "out")
        assert found in {last, name}, (found, last, name)
        assert sum(1 for _ in (site / "out").rglob("*")) == files
        still_in(site / "out", foreign)
        with staging(site):  # as the next build begins
            pass
        assert whole(site / "out") == found
        still_in(site / "out", foreign)
        assert (site / "editions" / f"{found}.json").is_file(), f"{found} cannot be marked again"
        assert [p.name for p in site.glob(".out*")] == []
        counts["ended" if good else "after" if found == name else "before"] += 1
        last = found
    return counts


def dies_after_swap(site: Path) -> dict[str, Any]:
    """Killed in the moment between the swap and the edition's figures: nothing of it is lost."""
    rendered = building.render(site, lambda _: None)
    writing.build_site = copied
    swap = building.swap

    def swap_and_die(new: Path, out: Path) -> None:
        swap(new, out)
        os.kill(os.getpid(), signal.SIGKILL)

    renders(rendered, "first")
    building.build(site, lambda _: None)
    renders(rendered, "second")
    building.swap = swap_and_die
    os.waitpid(in_child(lambda: building.build(site, lambda _: None)), 0)
    found, kept = whole(site / "out"), (site / "editions/second.json").exists()
    with staging(site):
        pass
    return {"out": found, "kept": kept, "kept after": (site / "editions/second.json").exists()}


def two_at_once(site: Path) -> dict[str, Any]:
    """Two builds at the same moment: one is turned away, and what is written is of one."""
    rendered = building.render(site, lambda _: None)
    writing.build_site = copied
    children = []
    for name in ("one", "two"):

        def build(name: str = name) -> None:
            renders(rendered, name)
            building.build(site, lambda _: None)

        children.append(in_child(build))
    status = [os.waitpid(c, 0)[1] for c in children]
    return {"out": whole(site / "out"), "good": status.count(0)}


def read_only(site: Path) -> dict[str, Any]:
    """The folder cannot be written by the user who builds."""
    rendered = building.render(site, lambda _: None)
    writing.build_site = copied
    renders(rendered, "first")
    building.build(site, lambda _: None)
    renders(rendered, "second")
    for path in (site, *site.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)

    def work() -> None:
        if os.geteuid() == 0:  # who may write everywhere
            os.seteuid(65534)
        try:
            building.build(site, lambda _: None)
        except PermissionError as e:
            told = not_written(e, site)
            assert told.endswith(f": cannot be written ({e.strerror}); check its access rights or choose another folder"), told
            assert told.partition(": ")[0] in {str(site), str(site / "out")}, told  # the latter where the way there is barred
            return
        raise AssertionError("was written")

    status = os.waitpid(in_child(work), 0)[1]
    for path in (site, *site.rglob("*")):
        path.chmod(0o755 if path.is_dir() else 0o644)
    return {"out": whole(site / "out"), "status": status}


def full_disk(site: Path, rounds: int) -> dict[str, int]:
    """The disk is full after so many writes, at moments spread over a whole build."""
    rendered = building.render(site, lambda _: None)
    writing.build_site = copied
    writes = [0, 10**9]
    put, open_ = Path.write_bytes, Path.open

    def counted(full: Callable[..., Any]) -> Callable[..., Any]:
        def run(path: Path, *args: Any, **more: Any) -> Any:
            if full is put or "w" in str(args[:1]) or "x" in str(args[:1]):
                writes[0] += 1
                if writes[0] > writes[1]:
                    raise OSError(28, "No space left on device", str(path))
            return full(path, *args, **more)

        return run

    Path.write_bytes, Path.open = counted(put), counted(open_)  # type: ignore[method-assign]
    renders(rendered, "first")
    building.build(site, lambda _: None)
    foreign = put_in(site / "out")
    needed = writes[0]
    renders(rendered, "second")
    refused = 0
    for i in range(rounds):
        writes[:] = [0, needed * i // rounds]
        try:
            building.build(site, lambda _: None)
        except OSError as e:
            assert e.errno == 28
            refused += 1
        assert whole(site / "out") == "first"
        still_in(site / "out", foreign)
        assert [p.name for p in site.glob(".out*")] == []
    return {"refused": refused}


if __name__ == "__main__":
    folder, what, *rest = sys.argv[1:]
    print(json.dumps(globals()[what](Path(folder), *map(int, rest))))
