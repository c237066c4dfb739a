"""The JSON Schema of the case language against an independent validator.

Every case that comes with the program, and the examples of the guide, satisfies it; every slip in the list
below is refused by it and by `evenkeel inspect`; and its keys are those of `evenkeel list keys`, no more and
no fewer. Usage: validate.py EVENKEEL SOURCE_FOLDER. Exit 77: the validator or the YAML reader is missing.
"""

import csv
import io
import json
import pathlib
import subprocess
import sys
import tempfile

try:
    import jsonschema
    import yaml

    LOADER = yaml.CSafeLoader  # libyaml, as in the program
    VALIDATOR = jsonschema.Draft202012Validator
except (ImportError, AttributeError) as missing:
    print(f"skipped: {missing}; apt-get install python3-jsonschema python3-yaml")
    sys.exit(77)

CASE = """
evenkeel_case: 1
id: slip
title: A case
theme: tests
level: 3
length: 1h
summary: For slips.
handover: {who: Nobody., done: Nothing., attached: Lines., objectives: [MAP.]}
patient: {base: supported_axial, set: {weight_kg: 80}}
running: [milrinone 0.25mcg/kg/min]
look: {probe: on_request, views: [four_chamber]}
orders: [crystalloid, speed: {low: 7600rpm, high: 10400rpm}, reopen_chest: {delay: 15min}]
targets: {art_mean_mmhg: [65, 85]}
alarms: {art_mean_low_mmhg: 55}
truth: {diagnosis: well}
timeline:
  - id: clot
    within: [8min, 20min]
    chance: 0.4
    do:
      - truth: {diagnosis: clot_right, also: [tamponade]}
      - ramp: {parameter: bleed_clot_ra_ml_h, to: 150, over: 10min}
    otherwise:
      - message: {from: nurse, text: All quiet.}
objectives: [{id: named, text: It is named., when: call_right > 0.5, by: 50min}]
plans: [{id: a, rank: good, text: Acts., steps: [12min look four_chamber, 25min reopen_chest]}]
score: [{objective: named, points: 20}, {inside: art_mean_mmhg, points: 15, full: 0.9, none: 0.5}]
questions: [What was seen first?]
teaching: [{text: Look., source: Common practice}]
endings: [{id: morning, at_length: yes, outcome: mixed, text: It is morning.}]
"""

SLIPS = [
    ("evenkeel_case: 1", "evenkeel_case: 2"),
    ("title: A case\n", ""),
    ("title: A case", "titel: A case"),
    ("level: 3", "level: 4"),
    ("level: 3", "level: two"),
    ("length: 1h", "length: 1 hour"),
    ("length: 1h", "length: 60"),
    ("id: slip", "id: a slip"),
    ("base: supported_axial", "base: supported"),
    ("weight_kg: 80", "weight: 80"),
    ("weight_kg: 80", "weight_kg: 800"),
    ("milrinone 0.25", "milrinon 0.25"),
    ("views: [four_chamber]", "views: [five_chamber]"),
    ("probe: on_request", "probe: sometimes"),
    ("[crystalloid", "[crystaloid"),
    ("low: 7600rpm", "lower: 7600rpm"),
    ("{delay: 15min}", "{delay: 15}"),
    ("art_mean_mmhg: [65, 85]}\nalarms", "art_mean: [65, 85]}\nalarms"),
    ("art_mean_mmhg: [65, 85]}\nalarms", "art_mean_mmhg: [65]}\nalarms"),
    ("art_mean_low_mmhg: 55", "art_mean_low: 55"),
    ("diagnosis: well", "diagnosis: fine"),
    ("also: [tamponade]", "also: [tamponad]"),
    ("within: [8min, 20min]", "within: [8, 20]"),
    ("within: [8min, 20min]", "at: 8min\n    within: [8min, 20min]"),
    ("    within: [8min, 20min]\n", ""),
    ("chance: 0.4", "chance: 4"),
    ("parameter: bleed_clot_ra_ml_h", "parameter: bleed_clot"),
    ("to: 150, ", ""),
    ("- ramp:", "- rmp:"),
    ("from: nurse", "form: nurse"),
    ("rank: good", "rank: best"),
    ("12min look", "look"),
    ("25min reopen_chest", "25min open_chest"),
    ("{objective: named, points: 20}", "{points: 20}"),
    ("{objective: named, points: 20}", "{objective: named, call: right, points: 20}"),
    ("inside: art_mean_mmhg", "inside: art_mean"),
    ("full: 0.9", "full: 9"),
    (", source: Common practice", ""),
    ("at_length: yes, ", ""),
    ("outcome: mixed", "outcome: fair"),
]


def run(*arguments):
    return subprocess.run(arguments, capture_output=True, text=True, check=False)


def keys_of(schema, root, path=""):
    """Paths of the keys of a schema, as in the program's table."""
    if "$ref" in schema:
        schema = root["$defs"][schema["$ref"].rsplit("/", 1)[1]]
    found = set()
    for key, value in schema.get("properties", {}).items():
        found.add(path + key)
        found |= keys_of(value, root, path + key + ".")
        items = value.get("items", {})
        found |= keys_of(items, root, path + key + "[].")
        for choice in items.get("anyOf", []):
            below = choice.get("additionalProperties")
            if isinstance(below, dict):
                found |= keys_of(below, root, path + key + "[].")
        if "$ref" in value:
            actions = root["$defs"][value["$ref"].rsplit("/", 1)[1]]
            found |= keys_of(actions["items"], root, path + key + "[].")
    return found


def main():
    program, source = sys.argv[1], pathlib.Path(sys.argv[2])
    failures = []
    schema = json.loads(run(program, "list", "keys", "--json-schema").stdout)
    VALIDATOR.check_schema(schema)
    validator = VALIDATOR(schema)

    def faults(text):
        return list(validator.iter_errors(yaml.load(text, Loader=LOADER)))

    cases = sorted((source / "scenarios").glob("*.yaml"))
    if len(cases) < 3:
        failures.append("the cases are not found")
    for case in cases:
        for fault in faults(case.read_text(encoding="utf-8")):
            failures.append(f"{case.name}: {list(fault.absolute_path)}: {fault.message[:200]}")
    for fault in faults(CASE):
        failures.append(f"the sound case: {list(fault.absolute_path)}: {fault.message[:200]}")

    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "slip.yaml"
        file.write_text(CASE, encoding="utf-8")
        if run(program, "inspect", str(file)).returncode != 0:
            failures.append("inspect refuses the sound case: " + run(program, "inspect", str(file)).stderr)
        for old, new in SLIPS:
            if CASE.count(old) != 1:
                failures.append(f"not once in the case: {old}")
                continue
            slip = CASE.replace(old, new)
            file.write_text(slip, encoding="utf-8")
            if run(program, "inspect", str(file)).returncode != 1:
                failures.append(f"inspect takes: {new}")
            if not faults(slip):
                failures.append(f"the schema takes: {new}")

    table = {row["key"] for row in csv.DictReader(io.StringIO(run(program, "list", "keys", "--csv").stdout))}
    written = keys_of(schema, schema)
    # names that other tables give are no rows of the table of keys
    given = ("patient.set.", "targets.", "alarms.", "timeline[].do[].set.", "timeline[].otherwise[].")
    written = {key for key in written if not key.startswith(given)}
    for key in sorted(table ^ written):
        failures.append(f"{key} is only in the {'table' if key in table else 'schema'}")

    for failure in failures:
        print(failure)
    print(f"{len(cases)} cases, {len(SLIPS)} slips, {len(table)} keys, {len(failures)} failures")
    return 1 if failures else 0


sys.exit(main())
