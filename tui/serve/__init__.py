"""The board of a log in a browser on the site's network: read only, by an access word of the day, without encryption."""
