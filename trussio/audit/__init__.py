"""What the model is, before any force is believed."""
