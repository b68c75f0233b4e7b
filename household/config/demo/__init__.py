"""The demo household: its story is read from fixtures/demo and told through the sync engine."""
