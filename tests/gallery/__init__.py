"""Pictures of every face, state, theme and size, drawn without a screen."""
