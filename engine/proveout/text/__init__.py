"""YAML text to located nodes, and nodes against JSON Schemas.

``read_text(path)`` reads a file; ``compose(text, file)`` gives the node of one document and
``compose_stream`` the nodes of several; ``plain(node)`` drops the places; ``validate(node, schema_name)``
gives the located complaints of ``schemas/<schema_name>.schema.json`` and ``fits(value, schema_name)`` says
fast whether there are any. ``find(node, path)`` gives the node
at a path of keys and indexes, for its place.
"""
