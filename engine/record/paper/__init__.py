"""The day on paper: what the crew reads at the tailgate, and blank cells whose words the notes file reads."""
