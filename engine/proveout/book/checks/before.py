"""What is complained of before the checks can begin: by reading files, schemas, patterns and layers."""

from __future__ import annotations

from collections.abc import Mapping

from proveout.book.checks.page import Page

#: What there is to say about each check.
PAGES: Mapping[str, Page] = {
    "base-rate": Page(
        "A base rate is the share of check-engine jobs with this cause: more than 0 and less than "
        "1000 per 1000.",
        "base_rate: 0 per 1000",
        "base_rate: 0.2 per 1000",
    ),
    "not-of-a-shop": Page(
        "shop.yaml of a layer says what holds for a shop. Which layers are used and who sits at a machine is "
        "said in the user's own standing.yaml.",
        "by: Ann",
        "people: [Ann, Ben]",
    ),
    "remedy-part": Page(
        "What is replaced must be named, or nobody knows what to buy.",
        "{action: replace, minutes: 20}",
        "{action: replace, part: purge valve, minutes: 20}",
    ),
    "remedy-minutes": Page(
        "Hands-on time decides what is worth doing; only handing over and doing nothing take none.",
        "{action: clean}",
        "{action: clean, minutes: 20}",
    ),
    "code-form": Page(
        "A generic code is a letter P, B, C or U, a digit 0 to 3 and three hexadecimal digits.",
        "P442",
        "P0442",
    ),
    "fact-unit": Page(
        "A threshold on a fact is in a unit of that fact.",
        "{fact: vehicle.age, at_least: 12 km}",
        "{fact: vehicle.age, at_least: 12 y}",
    ),
    "range-order": Page(
        "A range goes from low to high.",
        "part_cost: 90..35",
        "part_cost: 35..90",
    ),
    "file-name": Page(
        "Rule files end in .yaml.",
        "valve.yml",
        "valve.yaml",
    ),
    "file-form": Page(
        "A list of entries belongs under the name of its kind.",
        "- id: valve ...",
        "causes: [{id: valve, ...}]",
    ),
    "not-read": Page(
        "This file lies among the rules and is not one of them.",
        "notes.txt",
        "keep it elsewhere, or name it notes.yaml",
    ),
    "layer-missing": Page(
        "The directory is not there.",
        "--rules my-rulse",
        "--rules my-rules",
    ),
    "layer-size": Page(
        "A layer holds at most 5,000 files and 64 MiB.",
        "--rules /home, with all that lies below",
        "--rules /home/shared/our-rules",
    ),
    "layer-unreadable": Page(
        "The directory cannot be read: see who may.",
        "--rules our-rules, which only its owner may read",
        "the same after: chmod a+rX our-rules",
    ),
    "not-own-directory": Page(
        "A directory that others may write to is not trusted with what is read back.",
        "a directory of kept rules with the rights rwxrwxrwx",
        "the same with rwxr-xr-x",
    ),
    "pattern-unknown": Page(
        "No pattern of that name is in the book or its layers.",
        "pattern: three-wire",
        "pattern: three-wire-sensor",
    ),
    "pattern-value": Page(
        "A use gives each parameter that the pattern takes, and no other.",
        "say left out",
        "say: coolant temperature sensor",
    ),
    "pattern-entry": Page(
        "The pattern has no entry of that name.",
        "rates: {wire-opn: ...}",
        "rates: {wire-open: ...}",
    ),
    "pattern-reason": Page(
        "What differs from the pattern says why, or it is taken for a slip.",
        "differs: {wiggle: {minutes: 12}}",
        "differs: {wiggle: {minutes: 12, because: It sits under the manifold.}}",
    ),
    "text-unknown": Page(
        "No section 'texts' of the book or its layers has a text of that name.",
        "does_not_mean: {text: sensor-circut}",
        "does_not_mean: {text: sensor-circuit}",
    ),
    "replaces": Page(
        "An entry of a layer that takes the place of another says so, and the other must be there.",
        "an id of the book, again",
        "replaces: that-id",
    ),
    "family-missing": Page(
        "Every code belongs to a family: in its entry, or under 'all_codes' for the whole file.",
        "{id: P0442, meaning: A small leak.}",
        "{id: P0442, meaning: A small leak., family: evap}",
    ),
    "seen-as-unknown": Page(
        "A code may take the frequencies of another code of the same file, which states them itself.",
        "seen_as: {code: P0299} where P0299 stands in another file",
        "seen_as: {code: P0301, times: 0.9}",
    ),
    "frequencies-missing": Page(
        "A reason and how often something is seen otherwise belong to frequencies: under 'seen_with' here, "
        "or under 'seen_at' at a cause.",
        "{id: P0442, ..., otherwise: 0.0005} with no cause that says 'seen_at: {code:P0442: ...}'",
        "{id: P0442, ..., seen_with: {filler-cap-loose: 0.2}, otherwise: 0.0005}",
    ),
    "seen-at-unknown": Page(
        "A cause says under 'seen_at' how often it is seen with what a row or rule observes; that one must "
        "be there and weigh causes.",
        "seen_at: {valve-holds=leak: 0.3}",
        "seen_at: {valve-holds=leaks: 0.3}",
    ),
    "stated-twice": Page(
        "How often a cause is seen with something stands at one place: in the row, or at the cause.",
        "seen_with: {hose-cracked: 0.6} in the row, and seen_at: {code:P0455: 0.5} at hose-cracked",
        "one of the two",
    ),
    "nothing-around": Page(
        "A graph shows what bears on an entry; of one that no rule weighs there is nothing to draw.",
        "rules graph P0999, which no rule weighs",
        "rules graph P0442",
    ),
    "no-graph": Page(
        "A graph is drawn of a cause, an inspection, a code, a symptom, a circumstance or a finding.",
        "rules graph fuel-cap, a component",
        "rules graph filler-cap-loose",
    ),
    "source-missing": Page(
        "Everything says where it comes from: a citation, 'common practice', or 'from memory'; here "
        "or under 'sources' at the head.",
        "no source",
        "source: from memory",
    ),
    "not-laid-out": Page(
        "`rules fmt` moves entries and breaks lines. A file of which the content would change by that is "
        "left alone: it has a character that ends a line for some readers only, or ends within a text of "
        "several lines.",
        "because: | and below it a text that ends the file without a line feed",
        "because: It leaks.",
    ),
    "yaml-quote": Page(
        "A quote goes on to the next one of its kind; where none comes, to the end of the file. The place is "
        "where it was opened.",
        'because: "It leaks.',
        'because: "It leaks."',
    ),
    "yaml-syntax": Page(
        "The text is no YAML; the message shows where reading stopped, which is at or after the slip.",
        "title: Hose: cracked",
        'title: "Hose: cracked"',
    ),
    "yaml-key": Page(
        "A key is plain text.",
        "[hose]: cracked",
        '"[hose]": cracked',
    ),
    "yaml-duplicate-key": Page(
        "The same key twice in one mapping: only one could count.",
        "steps: [...] twice",
        "steps once",
    ),
    "yaml-depth": Page(
        "Nested too deep to be meant.",
        "more than 40 brackets [ that are open at once",
        "one bracket for each list",
    ),
    "yaml-documents": Page(
        "One document a file; '---' begins another.",
        "causes: [...], a line ---, rules: [...]",
        "causes: [...], rules: [...]",
    ),
    "not-utf8": Page(
        "Rule files are UTF-8.",
        "a file saved as Latin-1 with an é in it",
        "the same saved as UTF-8",
    ),
    "schema-key": Page(
        "The mapping has a key that it cannot have, or lacks one that it needs; the message names both.",
        "titel: Valve",
        "title: Valve",
    ),
    "schema-many": Page(
        "So many places do not fit that only some are shown; mend the first and look again.",
        "501 causes {x: 1}",
        "each with what a cause needs",
    ),
    "stray-phrase": Page(
        "A word of one entry leads to another entry, which has more of its words or the same, or to two.",
        "words: [smell] at 'Smell of oil'",
        "words: [smell of oil]",
    ),
    "schema-type": Page(
        "Another kind of value is wanted here: a list for a text, a number for a word.",
        "steps: Look.",
        "steps: [Look.]",
    ),
    "schema-missing": Page(
        "A key that the entry needs is not there.", "{id: pump}", "{id: pump, title: Pump}"
    ),
    "schema-choice": Page(
        "Only some words may stand here; the message lists them.", "kind: look", "kind: visual"
    ),
    "schema-form": Page("The text has another form than is wanted.", "id: Purge Valve", "id: purge-valve"),
    "schema-value": Page(
        "The value is out of bounds: too small, too large, too many or too few.",
        "minutes: -3",
        "minutes: 3",
    ),
}
