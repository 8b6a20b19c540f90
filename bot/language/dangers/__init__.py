"""Danger by its words: gas, carbon monoxide, fire, injury, shock, refrigerant, flood; what must not get power again."""
