"""How a figure is said aloud: words made from its value, unit and digits, never from what is printed."""
