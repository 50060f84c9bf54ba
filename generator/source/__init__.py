"""The ground floor: how every text comes in, and how what is wrong with it is told.

- `problem`: one mistake in one place, and the errors that carry one or many of them;
- `log`: what is found wrong or worth a look in one file, while it is read;
- `near`: what was probably meant;
- `files`: opening a file of a person's folder, and its text;
- `yamltext`: YAML with the line of every word.
"""
