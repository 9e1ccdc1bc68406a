"""A case file gives an audit: does the chain hold, is the advice the same, why was a part bought."""
