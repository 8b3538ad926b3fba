"""What happens next: processes, engine and draws, from a room to its forecast. Knows neither good nor bad."""
