"""What is at home: home lists, read and held against the catalogue."""
