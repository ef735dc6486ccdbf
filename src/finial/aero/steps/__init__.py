"""Steps and what the air does behind them: separation, slender shares, the exact body, ledges."""
