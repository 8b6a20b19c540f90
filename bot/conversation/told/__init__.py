"""What is told beside the open question, or before there is one."""
