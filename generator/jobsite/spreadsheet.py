"""Tables written for a spreadsheet; they are written on a lower floor."""

from generator.source.spreadsheet import cell, csv_text

__all__ = ["cell", "csv_text"]
