"""The plan screen: the queue edited, the day as crew rows, take-off, buying, cautions, choices; the calls stay on top."""
