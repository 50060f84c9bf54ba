"""``python -m generator`` is the same program as ``seatwork``."""

from generator.cli.main import main

if __name__ == "__main__":
    raise SystemExit(main())
