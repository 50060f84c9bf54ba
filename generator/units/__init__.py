"""Units and quantities: one table of units, and every figure with its unit.

- `errors`: what a wrong figure or unit is told as;
- `factors`: what a unit is in SI, kept as exact fractions and proved by pint in a test;
- `table`: the units, their labels and spellings, the kinds of quantity, and the two unit systems;
- `reading`: the one reader of figures, written or typed;
- `browser`: the same table as a script for the page;
- `quantity`: a value with its kind and the figure it was written with.
"""
