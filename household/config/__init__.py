"""The project: settings, addresses, background work, and how it is served."""
