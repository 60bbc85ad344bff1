"""Tests of the craft; a package because files here are named like some of the references."""
