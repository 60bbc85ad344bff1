"""Tests of the brief; a package because a file here is named like one of the shop's."""
