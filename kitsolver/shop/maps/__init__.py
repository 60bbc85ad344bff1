"""Maps of columns: from the headers and values of a shop's own file to a catalogue's."""
