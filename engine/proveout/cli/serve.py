"""``proveout serve``: the page for the phone under the car."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import book_options, display_option, tell


@click.command()
@click.argument(
    "directory",
    metavar="DIR",
    type=click.Path(path_type=Path, exists=True, file_okay=False),
)
@click.option("--port", type=click.IntRange(0, 65535), default=8460, show_default=True, help="0: any free.")
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    metavar="ADDRESS",
    help="The address of this machine to listen at; by default only this machine itself gets in.",
)
@click.option("--name", default="", metavar="NAME", help="A name by which browsers may call it besides.")
@click.option(
    "--certificate",
    metavar="FILE",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="Certificate for TLS, as PEM; with --private-key.",
)
@click.option(
    "--private-key",
    metavar="FILE",
    type=click.Path(path_type=Path, exists=True, dir_okay=False),
    help="Its private key, as PEM.",
)
@book_options
@display_option
def command(
    directory: Path,
    port: int,
    host: str,
    name: str,
    certificate: Path | None,
    private_key: Path | None,
    layers: tuple[Path, ...],
    display: str,
) -> None:
    """Serve the cases of DIR as a page for a browser or a phone, until Ctrl-C.

    It prints the address that lets in whoever has it, for this run; with --host also as a code to scan. A
    reading that is entered while the connection is gone waits on the phone and is sent once. Needs the extra
    `web`.

    \b
    proveout serve .
    proveout serve . --host 192.0.2.7 --port 8000
    """
    try:
        from proveout.web.desk import Desk
        from proveout.web.server import Where, checked, serve
    except ModuleNotFoundError as error:
        raise click.UsageError(
            f"serve needs the extra `web` ({error.name} is missing): pip install 'proveout[web]'"
        ) from None

    from proveout.terminal.scanned import invite

    where = checked(Where(host, port, name, certificate, private_key))
    desk = Desk(directory.resolve(), layers, display)
    desk.open(tell)
    serve(desk, where, lambda address: invite(address, where.is_open), tell)
