"""After the visit: the place known again, callbacks, parts on order, and whether a repair held. Pure."""
