"""What was learned from labelled messages: traits, the networks over words and their order, calibration."""
