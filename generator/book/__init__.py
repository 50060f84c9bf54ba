"""Lessons, numbers, sheets and reference chapter, rendered to a plain Markdown tree."""
