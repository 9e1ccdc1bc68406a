"""``proveout seal``: sign or time-stamp what a record ends with."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal import completing
from proveout.terminal.common import tell


@click.command()
@click.argument(
    "case",
    metavar="[CASE]",
    required=False,
    type=click.Path(path_type=Path),
    shell_complete=completing.case_files,
)
@click.option(
    "--new-key",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Make a key for signing, and FILE.pub with the public half to hand out.",
)
@click.option("--key", metavar="FILE", type=click.Path(path_type=Path), help="Sign with this private key.")
@click.option(
    "--request",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Write a request for a time stamp, to be sent to an authority.",
)
@click.option(
    "--stamp", metavar="FILE", type=click.Path(path_type=Path), help="Add the authority's reply to that."
)
def command(
    case: Path | None, new_key: Path | None, key: Path | None, request: Path | None, stamp: Path | None
) -> None:
    """Sign what the record of CASE ends with (ed25519), or have it time-stamped (RFC 3161).

    A signature shows that nobody without the key has changed the record since; a time stamp, that it existed
    then. Nothing is sent anywhere: you carry a request to an authority and its reply back. `audit` checks
    both. Needs the extra 'seal'. The key file is not encrypted: keep it where only you can read.

    \b
    proveout seal --new-key shop.key
    proveout seal mycar.yaml --key shop.key
    proveout seal mycar.yaml --request mycar.tsq
    proveout seal mycar.yaml --stamp mycar.tsr
    """
    from proveout.app.sealing import make_key, sign, stamp_request, stamped

    if new_key is not None:
        public = make_key(new_key)
        tell(f"Wrote {new_key}, to be kept secret, and {public}, to be handed out.")
    given = [key, request, stamp]
    if case is None:
        if new_key is None or any(given):
            raise click.UsageError("Name the case, or --new-key FILE.")
        return
    if sum(one is not None for one in given) != 1:
        raise click.UsageError("Give one of --key, --request and --stamp.")
    if key is not None:
        tell(f"Signed up to event {sign(case, key)} of {case}.")
    elif request is not None:
        tell(f"Wrote {request} for event {stamp_request(case, request)} of {case}; send it to an authority.")
    elif stamp is not None:
        tell(f"Stamped up to event {stamped(case, stamp)} of {case}.")
