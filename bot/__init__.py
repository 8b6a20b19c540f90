"""The lead hand: understanding a tech, reasoning on faults, the guided talk, and what keeps them."""

import os

# The planner's arrays are small: threads of the linear algebra library only wait for each other (a plan took five
# times the processor time with two of them). Has to be said before numpy is imported; whoever sets it knows better.
for _library in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_library, "1")
