"""What a line says of where the job stands."""
