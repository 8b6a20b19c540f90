"""What the service costs around a step: `python -m tests.benchmarks.service`.

Printed as JSON: times in milliseconds, messages a second. The bare commit of the same disk stands beside them,
because every figure here holds two of those.
"""
