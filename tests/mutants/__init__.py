"""Wrong versions of the program, made one by one, to see whether the tests notice: ``python -m tests.mutants``."""
