"""From a formula or procedure to printed working, MathML, plain text and the number ledger."""
