#!/usr/bin/python3
"""Holds the deltas of `live --format signalk` against the schema that the standard publishes. It is on the
npm registry alone, so this is run by hand: npm has to be there, and the network. Debian's Python runs
it, with python3-jsonschema."""
import json
import subprocess
import sys
import tempfile
from pathlib import Path
import jsonschema
from programs import Bench, quaycell

PACKAGE = "@signalk/signalk-schema@1.8.2"

with tempfile.TemporaryDirectory() as folder:
    folder = Path(folder)
    subprocess.run(["npm", "pack", "--silent", PACKAGE], cwd=folder, check=True, stdout=subprocess.DEVNULL)
    subprocess.run(["tar", "xf", next(folder.glob("*.tgz"))], cwd=folder, check=True)
    schema = folder / "package" / "schemas" / "delta.json"
    resolver = jsonschema.RefResolver(schema.as_uri(), json.loads(schema.read_text()))
    # Its own id points to a server; references have to be found beside the file.
    delta = {key: value for key, value in json.loads(schema.read_text()).items() if key != "id"}
    validator = jsonschema.Draft4Validator(delta, resolver=resolver, format_checker=jsonschema.FormatChecker())

    bench = Bench(folder, "quiet-berth.toml", "--pace", 20)
    try:
        live = quaycell("live", "--port", bench.port, "--hull", "aluminium", "--count", 400, "--format", "signalk")
    finally:
        bench.end()
    messages = [json.loads(line) for line in live.stdout.splitlines()]
    faults = [f"{error.json_path}: {error.message}" for message in messages
              for error in validator.iter_errors(message)]
    # What is wrong has to be found, else the above says nothing.
    def breaks(change):
        broken = json.loads(json.dumps(messages[1]))
        change(broken)
        return any(validator.iter_errors(broken))

    for change in (lambda m: m.pop("updates"),
                   lambda m: m["updates"][0].pop("values"),
                   lambda m: m["updates"][0].update(timestamp="2026-05-04T06:00:00+02:00"),
                   lambda m: m["updates"][0]["source"].pop("label"),
                   lambda m: m["updates"][0].update(units="V"),
                   lambda m: m["updates"][0]["values"][0].pop("path")):
        if not breaks(change):
            faults.append("the schema does not notice a message that is wrong")
print("\n".join(faults[:20]) or f"{len(messages)} deltas keep the schema of {PACKAGE}")
sys.exit(bool(faults) or len(messages) != 401)
