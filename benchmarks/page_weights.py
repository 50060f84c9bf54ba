"""How heavy each page of a built handbook is, as it is and gzipped, and its figures in steps.

``python -m benchmarks.page_weights site_demo`` prints a line a page, the heaviest first; build it before.
"""

from __future__ import annotations

import gzip
import re
import sys
from pathlib import Path

STEPS = re.compile(r'<figure class="sw-drawing sw-steps".*?</figure>', re.DOTALL)
LIGHT, FIGURE = 100_000, 20_000  # bytes gzipped of a page, and of a figure in steps


def weights(web: Path) -> list[tuple[str, int, int, list[int]]]:
    """Each page's name, its bytes, its bytes gzipped, and those of each of its figures in steps."""
    out = []
    for page in sorted(web.rglob("*.html")):
        text = page.read_bytes()
        figures = [len(gzip.compress(found.encode("utf-8"))) for found in STEPS.findall(text.decode("utf-8"))]
        out.append((page.relative_to(web).as_posix(), len(text), len(gzip.compress(text)), figures))
    return sorted(out, key=lambda row: -row[2])


def main(folder: Path) -> None:
    """Print the table."""
    web = folder / "out" / "web"
    if not (web / "index.html").is_file():
        raise SystemExit(f"{web} holds no handbook; build it first")
    print(f"{'page':<48} {'kB':>7} {'gzipped':>8}  figures in steps, gzipped")
    for name, whole, packed, figures in weights(web):
        much = " heavy" if packed > LIGHT or any(figure > FIGURE for figure in figures) else ""
        print(f"{name:<48} {whole / 1000:>7.0f} {packed / 1000:>8.1f}  {', '.join(f'{f / 1000:.1f}' for f in figures)}{much}")


if __name__ == "__main__":
    main(Path(sys.argv[1] if len(sys.argv) > 1 else "site_demo"))
