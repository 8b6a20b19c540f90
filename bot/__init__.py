"""The lead hand: understanding a tech, reasoning on faults, the guided talk, and what keeps them."""

import os

# One thread for linear algebra, before numpy is loaded. Our matrices are small: on two busy cores the library's own
# threads, waiting for each other, made a planning step five to ten times slower. Events run in threads of ours instead.
for _variable in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS"):
    os.environ.setdefault(_variable, "1")
