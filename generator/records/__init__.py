"""Editions compared; results and readiness."""
