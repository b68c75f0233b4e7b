"""The HTTP side of accounts: parse, authorise, call, answer."""
