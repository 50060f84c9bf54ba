"""``seatwork serve``: the site builder's own server with the live hook."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import yaml

from generator.publish import live
from generator.publish.site import theme


def serve(folder: Path, port: int) -> int:
    """Serve a job site until stopped; the exit status."""
    os.environ["SEATWORK_SITE"] = str(folder.resolve())
    os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")
    from mkdocs.commands.serve import serve as run

    with tempfile.TemporaryDirectory(prefix="seatwork-serve-") as place:
        (Path(place) / "docs").mkdir()
        config = Path(place) / "mkdocs.yml"
        made = {**theme(), "site_name": "Seatwork", "docs_dir": "docs", "hooks": [str(Path(live.__file__))]}
        config.write_text(yaml.safe_dump(made, sort_keys=False), "utf-8")
        run(config_file=str(config), dev_addr=f"127.0.0.1:{port}", livereload=True)
    return 0
