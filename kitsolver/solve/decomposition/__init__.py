"""The same answer chart by chart: the fast way."""
