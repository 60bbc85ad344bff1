"""From files, databases and tables in memory to the rows of a source, as text."""
