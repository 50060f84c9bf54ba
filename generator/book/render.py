"""Templates: jinja2's sandbox over the few calls a lesson may make."""

from __future__ import annotations

import re
import traceback
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from generator.book.errors import BookError
from generator.working.errors import NumberProblem

if TYPE_CHECKING:
    from generator.book.page import LessonPage

_NAME = "<lesson>"


@lru_cache(maxsize=1)
def environment() -> Any:
    """The sandbox: no autoescape, as the page is Markdown and every call escapes what it prints."""
    from jinja2 import StrictUndefined
    from jinja2.sandbox import ImmutableSandboxedEnvironment

    env = ImmutableSandboxedEnvironment(undefined=StrictUndefined, autoescape=False, keep_trailing_newline=True)
    # a loop over a huge range would only waste time
    env.globals.clear()
    return env


def _names(page: LessonPage) -> dict[str, Any]:
    from generator.book.words import safe

    site = page.site_model.settings
    return {
        "n": page.n, "working": page.working, "table": page.table, "drawing": page.drawing,
        "term": page.term, "caution": page.caution, "why": page.why, "watch": page.watch,
        "show": page.show, "limits": page.limits, "site": {"name": safe(site.name), "edition": safe(site.edition)},
        **page.names,
    }  # fmt: skip


def render_line(page: LessonPage, text: str) -> str:
    """One line of front matter."""
    return _render(page, text, None)


def render_body(page: LessonPage, extra: dict[str, Any]) -> str:
    """The lesson's body, line numbers kept for messages."""
    return _render(page, page.lesson.body, page.lesson.body_line, extra)


def _render(page: LessonPage, text: str, line: int | None, extra: dict[str, Any] | None = None) -> str:
    from jinja2 import TemplateError, TemplateSyntaxError

    file = page.lesson.file
    try:
        template = environment().from_string(text)
        template.filename = _NAME
        return str(template.render({**_names(page), **(extra or {})}))
    except TemplateSyntaxError as e:
        at = e.lineno + line - 1 if line else _line_of(page, text)
        raise BookError(file, at, f"template: {_short(e.message)}", "mend the {{ … }} on that line") from None
    except BookError:
        raise
    except NumberProblem as e:
        raise BookError(file, _where(e, line) or _line_of(page, text), e.what, e.fix) from None
    except TemplateError as e:
        at = _where(e, line) or _line_of(page, text)
        raise BookError(file, at, f"template: {_short(e.message)}", "see DEVELOPERS.md for the calls there are") from None
    except (TypeError, ValueError, OverflowError, KeyError, AttributeError) as e:
        at = _where(e, line) or _line_of(page, text)
        raise BookError(file, at, f"template: {_short(str(e))}", "see DEVELOPERS.md for the calls there are") from None


def _short(message: str | None) -> str:
    return " ".join((message or "").split())[:160]


def _where(error: BaseException, line: int | None) -> int | None:
    """The template's line an error came from, as a line of the file."""
    found = None
    for frame in traceback.extract_tb(error.__traceback__):
        if frame.filename in {_NAME, "<template>", "<unknown>"}:
            found = frame.lineno
    return found + line - 1 if found and line else None


def _line_of(page: LessonPage, text: str) -> int | None:
    """Where a line of front matter stands in the file."""
    head = re.split(r"\s+", text.strip())[:4]
    for i, row in enumerate(page.lesson.path.read_text("utf-8-sig").splitlines(), 1):
        if all(word in row for word in head):
            return i
    return None
