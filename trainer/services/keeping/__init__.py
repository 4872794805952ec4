"""What everything else here stands on: the chain of notes, days as people count them, spreadsheets, editions of items."""
