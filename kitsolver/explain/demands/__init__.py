"""What a brief demands, a file for each rule: its words, how it is dropped, how it gives way."""
