"""Mutation testing: small changes of the code, each of which some test has to find."""
