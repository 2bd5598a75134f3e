"""The day as it happens: events, the fold into a frozen state, intents, clocks of the batches, views."""
