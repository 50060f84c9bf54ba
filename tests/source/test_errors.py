"""Every error of the package is one that a person can mend, and says so as data; the rest are named here."""

from __future__ import annotations

import importlib
import inspect
import pickle
import pkgutil

import generator
from generator.records.flags import Refused
from generator.register.faults import RegisterFault
from generator.source.problem import Problem, Refusal, Refusals

# no mistake of a person: each with its reason
OURS = {
    "DishonestWorking": "no printed digits make the working agree: the program's own fault, told as one",
    "NoSlip": "caught where it is raised: the letters are no slip",
    "Unprintable": "caught where it is raised: nothing is kept of what has no print",
    "_NoFigure": "caught where it is raised: more digits are tried",
    "_NotPlain": "caught where it is raised: the text of a formula goes another way",
    "NoCatalogue": "told as a Problem by whoever reads the file: the floor of languages lies below that of problems",
    "NoString": "told to whoever writes the program: a sentence no catalogue could hold",
}


def errors() -> dict[str, type[BaseException]]:
    """Every class of the package that can be raised, by its full name."""
    found: dict[str, type[BaseException]] = {}
    for module in pkgutil.walk_packages(generator.__path__, "generator."):
        if module.name in {"generator.__main__", "generator.publish.mkdocs_hook"}:  # they run something
            continue
        for _, kind in inspect.getmembers(importlib.import_module(module.name), inspect.isclass):
            if issubclass(kind, BaseException) and kind.__module__.startswith("generator."):
                found[f"{kind.__module__}.{kind.__qualname__}"] = kind
    return found


def test_every_error_is_a_refusal_or_named() -> None:
    found = errors()
    assert len(found) > 15
    others = {k.__name__ for k in found.values() if not issubclass(k, Refusal | Refusals)}
    assert others == set(OURS)


def test_every_refusal_has_a_code_of_its_own() -> None:
    kinds = [
        k for k in errors().values() if issubclass(k, Refusal) and k not in {Refusal, Refused, RegisterFault}
    ]  # these are raised with a code
    codes = [k.code for k in kinds]
    assert all(codes)
    inherited = {k.__name__ for k in kinds if "code" not in vars(k)}
    assert inherited <= {"TwoWays"}  # a figure that is none, for one more reason
    own = [k.code for k in kinds if "code" in vars(k)]
    assert len(set(own)) == len(own)


def test_errors_come_back_from_a_worker_as_they_were() -> None:
    for error in (
        Refusal("wrong", "mend it", file="a.csv", line=3, code="c"), Refused("altered", "wrong", "mend it", "P-01", "stop-work"),
        Refusals([Problem.of("a.csv", 2, "wrong", "mend it", "c")]),
    ):  # fmt: skip
        back = pickle.loads(pickle.dumps(error))
        assert type(back) is type(error) and str(back) == str(error)
        if isinstance(error, Refusal) and isinstance(back, Refusal):
            assert back.problem.code == error.problem.code and vars(back) == vars(error)
