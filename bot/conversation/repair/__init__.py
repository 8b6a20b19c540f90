"""From the finding to the end of a visit: consent, repair and proof, parts on order, a second trouble, a senior."""
