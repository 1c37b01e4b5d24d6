"""The sheets, one module a topic, named after the model's."""
