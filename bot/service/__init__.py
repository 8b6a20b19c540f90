"""The service around the core: accept, lanes, commit, outbox, timers. The only part with a loop."""
