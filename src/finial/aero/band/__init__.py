"""The pressure band: where the air may push, and what widens it."""
