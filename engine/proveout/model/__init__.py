"""Plain frozen data types of the words the project uses; no behaviour beyond themselves."""
