"""How long the program takes: `make bench`."""
