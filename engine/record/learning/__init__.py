"""Learning between days: cards and crew times fitted from many logs, with what the data can tell. Reads nothing itself."""
