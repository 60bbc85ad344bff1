"""Mutated inputs for every reader: nothing that a user hands in is a fault of the program."""
