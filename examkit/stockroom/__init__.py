"""The stock room: what to weigh, make up, label and try before the day, and the sign-off."""
