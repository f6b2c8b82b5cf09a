#!/usr/bin/env python3
"""Seeds a fault of faults.toml into a copy of the log: seed_fault.py FAULTS NAME SOURCE COPY.
With FAULTS alone it prints the names of all of them. Fails when the source no longer has the text."""
import sys
import tomllib
from pathlib import Path


def faults(path):
    return {fault["name"]: fault for fault in tomllib.loads(Path(path).read_text())["fault"]}


def seeded(fault, text):
    for edit in fault["edit"]:
        found = text.count(edit["find"])
        if found != 1:
            sys.exit(f"fault {fault['name']}: the log has this {found} times instead of once. Bring "
                     f"faults.toml in line with it:\n{edit['find']}")
        text = text.replace(edit["find"], edit["put"])
    return text


if __name__ == "__main__":
    if len(sys.argv) == 2:
        print(";".join(faults(sys.argv[1])), end="")
    else:
        table, name, source, copy = sys.argv[1:]
        Path(copy).parent.mkdir(parents=True, exist_ok=True)
        Path(copy).write_text(seeded(faults(table)[name], Path(source).read_text()))
