"""Sites, result files and workbooks with random damage: each gives a site, flags or lines, within limits.

``python -m tests.fuzz`` (``make fuzz``) is the long run; ``test_slice.py`` does a few of each.
"""
