"""``proveout learn``: what closed cases teach, as a layer of rules."""

from __future__ import annotations

from pathlib import Path

import click

from proveout.terminal.common import Amount, book_options, json_option, open_book, say, say_json, tell, width


@click.command()
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "--into",
    "layer",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="The layer whose learned files would change.",
)
@click.option("--write", is_flag=True, help="Write them, after showing the difference.")
@click.option(
    "--prior-jobs",
    type=Amount(0, 1e9, min_open=True),
    default=200.0,
    show_default=True,
    metavar="N",
    help="How many jobs the book's base rates count as.",
)
@click.option(
    "--prior-readings",
    type=Amount(0, 1e9, min_open=True),
    default=20.0,
    show_default=True,
    metavar="N",
    help="How many readings the book's frequencies count as.",
)
@click.option(
    "--plot",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Draw the reliability diagram into this SVG file.",
)
@book_options
@json_option
def command(
    directory: Path,
    layer: Path | None,
    write: bool,
    prior_jobs: float,
    prior_readings: float,
    plot: Path | None,
    layers: tuple[Path, ...],
    as_json: bool,
) -> None:
    """Learn base rates and result frequencies from the closed, confirmed cases below DIR.

    Shows how good the confidences were, what moved with its counts, and the difference to the layer's files;
    writes only with --write.

    \b
    proveout learn cases/ --into my-rules
    proveout learn cases/ --into my-rules --write
    """
    from proveout.app.learning import case_events, learned_from, old_files, write_files
    from proveout.learn.layer import difference
    from proveout.learn.scoring import score_by
    from proveout.show.learned import learned_document, learned_text, reliability_svg

    if write and layer is None:
        raise click.UsageError("--write needs --into DIR.")
    book = open_book(layers)
    told, learned = learned_from(case_events(directory, tell), book, layers, prior_jobs, prior_readings)
    scores = score_by(told.forecasts)
    change = difference(old_files(layer, learned), learned.files)
    if as_json:
        say_json(learned_document(learned, scores, change))
    else:
        say(learned_text(learned, scores, width()))
        if change:
            say("\n" + change.rstrip("\n"))
    if plot is not None:
        write_files(plot.parent, {plot.name: reliability_svg(scores)}, begins="<svg ")
    if write and layer is not None and change:
        write_files(layer, learned.files, begins="# yaml-language-server: ")
        tell(f"Written into {layer}. Check it: proveout rules check {layer}")
