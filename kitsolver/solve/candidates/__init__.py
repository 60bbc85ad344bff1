"""What may enter the kit: rows and things at home as offers."""
