"""Which machine is spoken of, and how it is built."""
