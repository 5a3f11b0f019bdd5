"""What cameras write inside picture files: containers, tags and the values behind them."""
