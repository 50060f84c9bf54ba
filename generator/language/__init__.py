"""In which language the program speaks: the one floor that every other may use."""
