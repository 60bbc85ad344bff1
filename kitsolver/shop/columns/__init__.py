"""The columns of a catalogue: how their cells are read, and how rows are checked."""
