"""Formulas, procedures, units. Knows nothing of pages and never touches the file system."""
