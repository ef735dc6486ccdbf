"""What the report says of each stage, one module a stage."""
