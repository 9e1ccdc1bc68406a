"""``proveout rules schema``: the schema for an editor, with the ids that are known."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import DONE, book_options, out_option, say, tell


@click.command()
@book_options
@out_option
def command(layers: tuple[Path, ...], out: Path | None) -> int:
    """Write a JSON Schema of rule files with all known ids, for completion and marks while you type.

    Your files name it on their first line: `# yaml-language-server: $schema=FILE`, relative to themselves.
    Write it again when you have added entries.

    \b
    proveout rules schema --rules my-rules --out my-rules/book.schema.json
    """
    import json

    from proveout.book.editor import editor_schema
    from proveout.record.files import replace

    missing = [path for path in layers if not path.is_dir()]
    if missing:
        raise click.UsageError(f"{missing[0]} is no directory.")
    text = json.dumps(editor_schema(layers), ensure_ascii=False, indent=1)
    if out is None:
        say(text)
    else:
        replace(out, f"{text}\n".encode(), b"{")
        tell(f"Wrote {out}. First line of your files: # yaml-language-server: $schema={out.name}")
    return DONE
