"""One function for each drawing of the handbook, one module a topic.

Every function takes keyword arguments alone and returns a `Canvas`. `ident` names the drawing on
its page. Lengths come as `Measure`, so that what is drawn and what is printed are one value; plain
numbers are counts and ratios. A figure that is not an argument is not printed, apart from the
scale bar.
"""
