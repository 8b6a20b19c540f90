"""The commands of `chargehand`, one file each; `adapters.cli` loads them when they are called."""
