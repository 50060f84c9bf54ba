"""The register: what was handed in and told, row after row, never changed."""
