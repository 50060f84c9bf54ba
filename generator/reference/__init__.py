"""The bibliography and the published tables that are shipped with the handbook."""
