#!/usr/bin/env python3
"""Holds the tree against its own rules: which folder may include which, what pure folders must not
see, what stands at the top, how long a file may grow. Prints every breach; exits 1 if there is one."""
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(sys.argv[1]).resolve()

# Folder -> folders it may include from, besides itself. This is the arrow of DEVELOPERS.md, in full.
PURE = {"base", "electrode", "protection", "series", "calibration", "diagnosis", "anode",
        "vessel", "survey"}
HOST = {
    "base": {"wire"},
    "electrode": {"base"},
    "protection": {"base", "electrode"},
    "vessel": {"base", "electrode", "protection"},
    "survey": {"base", "electrode", "protection", "vessel"},
    "series": {"base", "electrode", "protection", "wire"},
    "calibration": {"base", "series", "wire"},
    "anode": {"base", "electrode", "protection"},
    "diagnosis": {"base", "electrode", "protection", "anode", "series", "survey", "vessel"},
    "chart": {"base", "electrode", "protection", "series", "diagnosis", "vessel"},
    "evidence": {"base"},
    "report": {"base", "electrode", "protection", "series", "survey", "vessel", "diagnosis", "chart", "evidence"},
    "link": {"base", "wire"},
    "archive": {"base", "wire"},
    "collect": {"base", "wire", "link", "archive"},
    "judging": {"base", "electrode", "protection", "vessel", "survey", "series", "anode", "diagnosis", "chart", "link",
                "archive", "wire"},
    "dossier": {"base", "electrode", "protection", "vessel", "survey", "series", "diagnosis", "chart", "evidence",
                "report", "archive", "judging", "wire"},
    "web": {"base", "survey", "diagnosis", "chart", "archive", "judging", "dossier", "wire"},
    "cli": {"base", "electrode", "protection", "vessel", "survey", "series", "anode", "calibration", "diagnosis", "chart",
            "evidence", "report", "link", "archive", "collect", "judging", "dossier", "web", "wire"},
}
FIRMWARE = {
    "wire": set(),
    "flashlog": {"wire"},
    "logger": {"wire", "flashlog"},
    "chips": {"wire", "logger", "board"},
    "atmega328p": {"wire", "logger", "board"},
    "board": {"wire", "logger"},
    "main.cpp": {"wire", "flashlog", "logger", "chips", "atmega328p", "board"},
    "bench": {"wire", "board"},
}
NOT_IN_PURE = re.compile(r"boost/asio|boost/beast|sqlite3|libserialport|<fstream>|<iostream>|<unistd|"
                         r"<fcntl|<sys/|<thread>|<filesystem>")
ASIDE = Path("host/base/aside.h")  # through which pure folders may compute on two processors
AVR = re.compile(r"<(avr|util)/")
TOP = {"CMakeLists.txt", "README.md", "DEVELOPERS.md", "LICENSE", "firmware", "host",
       "hardware-notes", "tests"}
LONGEST_FILE = 400

breaches = []


def tracked():
    listing = subprocess.run(["git", "ls-files", "--cached", "--others", "--exclude-standard"],
                             cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [Path(name) for name in listing.splitlines() if (ROOT / name).is_file()]


def included(text):
    return re.findall(r'^\s*#\s*include\s+(["<][^">]+[">])', text, re.MULTILINE)


def check_includes(name, side, folder, allowed, rooms, lines):
    for include in lines:
        target = include[1:-1].split("/")[0]
        if include.startswith('"') and target in rooms and target != folder and target not in allowed:
            breaches.append(f"{name}: {side}/{folder} must not include {include}")


rooms = set(HOST) | set(FIRMWARE)
checked = 0
for name in tracked():
    top = name.parts[0]
    if not top.startswith(".") and top not in TOP:
        breaches.append(f"{name}: the top level holds only {', '.join(sorted(TOP))}")
    if name.suffix not in {".cpp", ".h"}:
        continue
    text = (ROOT / name).read_text(encoding="utf-8")
    if text.count("\n") > LONGEST_FILE:
        breaches.append(f"{name}: {text.count(chr(10))} lines; over {LONGEST_FILE} it is hardly one idea")
    if top not in {"host", "firmware"}:
        continue
    checked += 1
    folder = name.parts[1]
    table = HOST if top == "host" else FIRMWARE
    if folder not in table:
        breaches.append(f"{name}: {top}/{folder} has no place in the dependency rule")
        continue
    lines = included(text)
    check_includes(name, top, folder, table[folder], rooms, lines)
    if top == "host" and folder in PURE:
        breaches += [f"{name}: a pure folder must not see {line}" for line in lines
                     if NOT_IN_PURE.search(line) and name != ASIDE]
    if top == "firmware" and folder not in {"atmega328p", "main.cpp"}:
        breaches += [f"{name}: only atmega328p and main.cpp see {line}" for line in lines
                     if AVR.search(line)]

if checked == 0:
    breaches.append(f"no source file found under {ROOT}")
print("\n".join(breaches) or f"{checked} files keep the rules of the tree")
sys.exit(bool(breaches))
