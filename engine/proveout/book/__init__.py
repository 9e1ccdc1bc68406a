"""Located nodes to the checked, compiled book; layers; the structure of trouble codes."""
