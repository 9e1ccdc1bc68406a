"""YAML text to located nodes, and nodes against JSON Schemas."""
