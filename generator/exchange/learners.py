"""Who a learner of the learning system is in the crew table, said in a package without the learners' names there.

The package holds no learner's name or address, only a salted hash of each with the crew id beside it.
The salt travels with it, so the hash hides an id from whoever opens the package and not from somebody
who has a list of ids to try: it is a courtesy and no secret.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

DIGITS = 24  # hex digits kept of a hash: among some thousands of learners no two meet by chance


def plain(learner: str) -> str:
    """A learner's id as it is compared: learning systems differ in capitals and blanks at the ends."""
    return learner.strip().lower()


def hashed(learner: str, salt: str) -> str:
    """The hash of one learner's id; ``unit.js`` works the same one out."""
    return hashlib.sha256(f"{salt}\n{plain(learner)}".encode()).hexdigest()[:DIGITS]


def people(learners: Mapping[str, str], key: str) -> tuple[str, dict[str, str]]:
    """The salt, and the crew id by each learner's hash. The same table of a site gives the same ones."""
    told = "\n".join(f"{plain(learner)}\t{person}" for learner, person in sorted(learners.items()))
    salt = hashlib.sha256(f"{key}\n{told}".encode()).hexdigest()[:DIGITS]
    return salt, dict(sorted((hashed(learner, salt), person) for learner, person in learners.items()))
