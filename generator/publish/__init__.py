"""From the tree to a published handbook: the site builder, staging and swapping, serving."""
