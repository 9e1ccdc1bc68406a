"""The page of each entry of the book, as plain texts and links."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from proveout.model.book import Book
from proveout.model.entries import Cause, Inspection
from proveout.model.problem import Place
from proveout.model.urgency import SCALE, Driving
from proveout.model.vehicle import only_for
from proveout.show.cautions import caution_texts, limit_sources, remedy_said
from proveout.show.docs.leaf import Block, Leaf, Line, said
from proveout.show.docs.links import Links
from proveout.show.docs.spoken import rule_blocks, seen_block
from proveout.show.figures import minutes
from proveout.show.inspection import DEFERENCE, band_text, derived_lines, series_lines
from proveout.show.pictures import pictures_of

#: Wider than any text: nothing is wrapped, the browser does that.
_WIDE = 1_000_000


def leaves(book: Book, links: Links) -> Iterator[Leaf]:
    """Return the page of every entry."""
    rules = _rules_by_home(book)
    naming = _rules_by_cause(book)
    for cause in book.causes.values():
        yield _cause(book, links, cause, naming.get(cause.id, []))
    for inspection in book.inspections.values():
        yield _inspection(book, links, inspection, rules)
    for driving in book.driving:
        yield _driving(links, driving)
    made = ("causes", "inspections", "driving-on")
    for kind, titles in links.titles.items():
        for entry, title in titles.items() if kind not in made else ():
            yield _plain(book, links, kind, entry, title, rules)


def _rules_by_home(book: Book) -> dict[tuple[str, str], list[Any]]:
    from proveout.show.docs.links import home_of

    found: dict[tuple[str, str], list[Any]] = {}
    for rule in book.rules.values():
        found.setdefault(home_of(rule), []).append(rule)
    return found


def _rules_by_cause(book: Book) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = {}
    for rule in book.rules.values():
        for cause in rule.weights:
            found.setdefault(cause, []).append(rule)
    return found


def _where(place: Place, layer: str, source: str = "") -> Block:
    told = f"{place}, layer {layer}" if place.file else ""
    return said("Where it stands", told, f"Source: {source}" if source else "")


def _used(links: Links, kind: str, entry: str) -> Block:
    return Block("Where it is used", links.used(kind, entry), "list")


def _cause(book: Book, links: Links, cause: Cause, rules: list[Any]) -> Leaf:
    remedy = cause.remedy
    facts = [f"Base rate: {cause.base_rate * 1000:g} per 1000 jobs ({cause.base_rate_source})."]
    facts += [only_for(cause.fits, cause.not_for)] if cause.fits or cause.not_for else []
    facts += [f"Comes and goes with: {', '.join(cause.comes_with)}."] if cause.comes_with else []
    for factor in cause.factors:
        told = " and ".join(links.fact(atom).text for atom in sorted(factor.when.atoms))
        facts.append(f"Odds times {factor.times:g} where {told}.")
    warned = [book.words.cautions[key] for key in remedy.cautions]
    shown = tuple(
        links.to("inspections", name, f": {', '.join(book.inspections[name].proves[cause.id])}")
        for name in book.proved_by.get(cause.id, ())
    )
    blocks = (
        Block("Component", (links.to("components", cause.component),)),
        said("How often", *facts, how="list"),
        Block("Shown directly by", shown, "list"),
        said("Before it is mended", *(f"{one.title}: {one.text}" for one in warned), how="warn"),
        said("What mends it", remedy_said(remedy, ""), *remedy.notes),
        Block("To inspect before buying", links.all("inspections", cause.before_buying), "list"),
        said("After the repair", *cause.after_repair, how="steps"),
        seen_block(links, cause.id, rules),
        _used(links, "causes", cause.id),
        _where(cause.place, cause.layer, cause.base_rate_source),
    )
    return Leaf("causes", cause.id, cause.title, (), blocks)


def _inspection(
    book: Book, links: Links, one: Inspection, rules: Mapping[tuple[str, str], list[Any]]
) -> Leaf:
    proves = {result: cause for cause, results in one.proves.items() for result in results}
    results = tuple(
        (Line(result.id), Line("normal" if result.normal else "abnormal"), Line(result.means),
         links.to("causes", proves[result.id]) if result.id in proves else Line(""))
        for result in one.results
    )  # fmt: skip
    facts = [f"Kind: {one.kind}. Time: {minutes(one.minutes)}."]
    facts += [f"Leads: {one.leads}"] if one.leads else []
    facts += [only_for(one.fits, one.not_for)] if one.fits or one.not_for else []
    cautions = [f"{title}: {text}" for title, text in caution_texts(book, one)]
    limits = limit_sources(one)
    blocks = (
        said("Before you start", *cautions, DEFERENCE, how="warn"),
        said("", *facts),
        Block("You need", links.all("tools", one.tools), "list"),
        Block("Where", links.all("access", one.access), "list"),
        Block("Do before", links.all("inspections", one.after), "list"),
        *_drawn(book, one),
        said("Steps", *one.steps, how="steps"),
        _limits(one),
        Block("What the result means", head=("result", "is", "means", "shows"), rows=results),
        said("How it can mislead", *one.false_readings, how="list"),
        *rule_blocks(links, rules.get(("inspections", one.id), [])),
        _used(links, "inspections", one.id),
        _where(one.place, one.layer, one.source),
        said("", f"Source of what must not be exceeded: {limits}" if limits else ""),
    )
    return Leaf("inspections", one.id, one.title, one.words, blocks)


def _drawn(book: Book, inspection: Inspection) -> Iterator[Block]:
    for one in pictures_of(book, inspection):
        yield Block(lines=(Line(one.words),), drawing=one.svg)


def _limits(inspection: Inspection) -> Block:
    from proveout.measure.display import scale_of

    spec = inspection.reading
    if spec is None:
        return Block()
    scale = scale_of(spec, "as-written")
    told = [line.strip() for line in series_lines(spec, scale, _WIDE) + derived_lines(spec, _WIDE)]
    rows = tuple((Line(band.result), Line(band_text(band, scale))) for band in spec.bands)
    lines = tuple(Line(text) for text in [*told, f"Limits: {spec.limits_source}."])
    return Block("Limits", lines, head=("result", "reading") if rows else (), rows=rows)


def _driving(links: Links, one: Driving) -> Leaf:
    conditions = tuple(links.fact(atom) for atom in sorted(one.when.atoms))
    blocks = (
        said("What it means for driving on", SCALE.get(one.do, ""), one.because),
        Block(
            "Where", (*conditions, *(Line(f"a code of the family {name}") for name in one.families)), "list"
        ),
        Block("Cautions", links.all("cautions", one.cautions), "list"),
        _where(one.place, one.layer, one.source),
    )
    return Leaf("driving-on", one.id, links.titles["driving-on"][one.id], (), blocks)


def _plain(
    book: Book, links: Links, kind: str, entry: str, title: str, rules: Mapping[tuple[str, str], list[Any]]
) -> Leaf:
    """Return the page of an entry of a plain vocabulary, a code, own figures, a warranty or a programme."""
    found = _entry(book, kind, entry)
    words: tuple[str, ...] = getattr(found, "words", ())
    blocks = (
        said("", *_facts(found)),
        said("Also called", ", ".join(words)),
        Block("Usually with", links.all("codes", getattr(found, "usually_with", ())), "list"),
        Block("Components", links.all("components", getattr(found, "components", ())), "list"),
        Block("Places to get at", links.all("access", getattr(found, "access", ())), "list"),
        Block("Cautions", links.all("cautions", getattr(found, "cautions", ())), "list"),
        *rule_blocks(links, rules.get((kind, entry), [])),
        _used(links, kind, entry),
        _where(found.place, found.layer, getattr(found, "source", "")),
    )
    shown = f"{entry}: {title}" if kind == "codes" else title
    return Leaf(kind, entry, shown, words, blocks)


def _entry(book: Book, kind: str, entry: str) -> Any:
    from proveout.readiness.inspection import known_programmes
    from proveout.readiness.warranty import known_terms

    if kind == "own-figures":
        return next(one for one in book.own_figures if one.id == entry)
    if kind == "warranties":
        return next(one for one in known_terms(book) if one.id == entry)
    if kind == "programmes":
        return known_programmes(book)[entry]
    return getattr(book.words, kind.replace("-", "_"))[entry]


#: What is told of an entry where it has such a part, with the words before it.
_TOLD = {
    "note": "",
    "text": "",
    "does_not_mean": "Does not mean: ",
    "family": "Family: ",
    "monitor": "Readiness monitor: ",
    "unweighed": "No rule weighs it: ",
    "reference": "Reference: ",
    "inspection": "Of the inspection ",
}


def _facts(found: Any) -> Iterator[str]:
    """Return what an entry says of itself, as sentences."""
    for name, lead in _TOLD.items():
        if value := getattr(found, name, ""):
            yield f"{lead}{value}"
    if price := getattr(found, "price", None):
        yield f"Price: {price.low:g} to {price.high:g} in your currency."
    if limits := getattr(found, "limits", None):
        yield "; ".join(f"{result} {text}" for result, text in limits.items())
