"""The command line: arguments in, lines out. Everything else is another layer's work."""
