"""Reasoning on faults: compiled model, readings, belief, planner, misfit, explanations. Pure."""
