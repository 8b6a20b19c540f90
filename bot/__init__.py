"""The lead hand: understanding a tech, reasoning on faults, the guided talk, and what keeps them."""
