"""Which class a machine belongs to, by the site's own classes: a sign-off counts for machines of its class."""

from __future__ import annotations

from generator.jobsite.columns import TRUCK
from generator.jobsite.model import MachineClass, RecordRules, Worked
from generator.units.quantity import Quantity

HAIR = 1e-9  # for binary fractions: a machine right at the end of a class belongs to it


def sized_by(kind: str) -> str:
    """The column that ``up_to`` of a class of this kind is held against: ``mass``, and ``payload`` for trucks."""
    return "payload" if kind == TRUCK else "mass"


def class_of(row: Worked, rules: RecordRules) -> str:
    """The id of the first class of the row's kind that it fits: no heavier than ``up_to`` (kg), and with the attachment.

    The kind itself where the site has no classes of that kind, or the row fits none of them: no class bears the name of a
    kind, so those that fit none are a class of their own.
    """
    found = fitting(row, rules)
    return found.id if found is not None else row.kind


def fitting(row: Worked, rules: RecordRules) -> MachineClass | None:
    """The first class that the row fits; None where it fits none."""
    size = row.values.get(sized_by(row.kind))
    for one in rules.classes:
        if one.kind != row.kind or (one.attachment and one.attachment not in row.attachments):
            continue
        if one.up_to is None or (isinstance(size, Quantity) and size.si <= one.up_to * (1 + HAIR)):
            return one
    return None
