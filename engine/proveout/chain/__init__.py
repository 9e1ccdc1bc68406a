"""Facts and rules give findings and the trace of the rules that hold. One interface, two engines."""
