"""Kill the process under load, start it again, and see whether anything was lost, doubled or out of order.

    python -m tests.benchmarks.crash --kills 1000

marks      which sections (accept, step, commit, deliver) a process is in, in memory that outlives it
platform   the pretend platform: sends again what was not acknowledged, keeps what was delivered
life       one process: a service under load until it is killed
killer     starts lives, ends them with SIGKILL in every section, counts where
verdict    what must hold afterwards
"""
