"""Match scripts: matches and worked cases as JSON, played over the rules engine or over live stations."""
