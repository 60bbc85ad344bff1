"""Files as tills, spreadsheets, wholesalers, cupboards and databases hold them, all invented."""
