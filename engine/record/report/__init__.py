"""The report of a day: its figures, and the HTML page, Markdown, CSV and JSON made of them. Reads nothing itself."""
