#!/usr/bin/env python3
"""What the page costs here: from a live frame's last byte on the line to the number on the page, the processor
time of twenty open pages, the first paint of each page, and what all of it weighs; beside what is allowed.
Prints a table; exits 1 where something is beyond it.

Run after a build, with Debian's chromium: tests/perf/serving.py   (takes about two minutes)
QUAYCELL_BUILD names the build folder if it is not build/."""
import os
import pty
import select
import shutil
import statistics
import sys
import tempfile
import threading
import time
import tty
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "end_to_end"))
from browser import Browser  # noqa: E402
from programs import Bench, quaycell  # noqa: E402
from serving import Serving  # noqa: E402

READINGS = 60
PAGES = 20
LEAST_LIVE_FRAME = 30  # bytes: a record of 32 and what frames it; other answers while readings come are shorter


class Watched:
    """A line between the logger and the program that notes when the last byte of each live frame was handed on."""

    def __init__(self, logger, path):
        self.logger = os.open(logger, os.O_RDWR | os.O_NOCTTY)
        tty.setraw(self.logger)
        self.program, self.other_end = pty.openpty()
        tty.setraw(self.other_end)
        path.symlink_to(os.ttyname(self.other_end))
        self.frames, self.length, self.ended = [], 0, False
        self.carrier = threading.Thread(target=self.carry)
        self.carrier.start()

    def carry(self):
        while not self.ended:
            for end in select.select([self.logger, self.program], [], [], 0.2)[0]:
                data = os.read(end, 4096)
                os.write(self.program if end == self.logger else self.logger, data)
                now = time.time()
                if end != self.logger:
                    continue
                for byte in data:
                    self.length += 1
                    if byte == 0:  # ends a frame (COBS)
                        if self.length >= LEAST_LIVE_FRAME:
                            self.frames.append(now)
                        self.length = 0

    def close(self):
        self.ended = True
        self.carrier.join()


def processor_s(pid):
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def latencies(browser, serving, line):
    """Of each reading, [ms], to the frame of the screen that shows it."""
    page = browser.page(serving.address)
    page.wait_for("/\\d/.test(document.getElementById('number').innerText)")
    page.value("window.seen = []; new MutationObserver(() => requestAnimationFrame(() => seen.push(Date.now())))"
               ".observe(document.getElementById('facts'), {childList: true}); 0")
    page.wait_for(f"seen.length >= {READINGS}", READINGS * 2)
    found = []
    for shown in page.value("seen"):
        before = [frame for frame in line.frames if frame * 1000 <= shown + 1]
        found.append(shown - before[-1] * 1000)
    return found


def cost_of_pages(browser, serving):
    """(no page, twenty pages): of one core, [%]."""
    shares = []
    pages = []
    for wanted in (0, PAGES):
        while len(pages) < wanted:
            pages.append(browser.page(serving.address))
        for page in pages:
            page.wait_for("/\\d/.test(document.getElementById('number').innerText)")
        time.sleep(3)
        began, spent = time.monotonic(), processor_s(serving.process.pid)
        time.sleep(20)
        shares.append(100 * (processor_s(serving.process.pid) - spent) / (time.monotonic() - began))
    for page in pages:
        browser.call("Target.closeTarget", targetId=page.target)
    return shares


def first_paints(browser, serving):
    """The worst of five of each page, [ms], without anything kept from before."""
    paints = {}
    for path in ("", "boats", "week", "report"):
        for _ in range(5):
            page = browser.page(serving.address + path)
            page.wait_for("performance.getEntriesByType('paint').length > 0")
            paint = page.value("performance.getEntriesByName('first-contentful-paint')[0].startTime")
            paints[path or "live"] = max(paints.get(path or "live", 0), paint)
            browser.call("Target.closeTarget", targetId=page.target)
    return paints


def weight(serving):
    """Of all pages together, headers aside, [kB]."""
    files = ["", "boats", "week", "report", "page.css", "icon.svg"] + [
        f"{name}.js" for name in ("shared", "live", "line", "boats", "week", "report")]
    return sum(len(serving.ask(file)[2]) for file in files) / 1000


def main():
    if not shutil.which("chromium"):
        sys.exit("needs chromium")
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as name:
        folder = Path(name)
        bench = Bench(folder, "quiet-berth.toml")
        archive = folder / "a.quaycell"
        quaycell("deploy", "--port", bench.port, "--interval", "60", "--clock", "2026-05-04T06:00:00Z")
        bench.tell("advance 24h")
        quaycell("collect", "--port", bench.port, "--archive", archive)
        line = Watched(bench.port, folder / "watched")
        serving = Serving("--port", folder / "watched", "--archive", archive, "--hull", "steel")
        browser = Browser(folder / "profile")
        try:
            waits = sorted(latencies(browser, serving, line))
            alone, with_pages = cost_of_pages(browser, serving)
            rows = [("line to page, 95 % of readings", waits[int(0.95 * len(waits))], "ms", 150),
                    ("  median", statistics.median(waits), "ms", None),
                    (f"{PAGES} pages open", with_pages - alone, "% of a core", 10),
                    ("  and the logger alone", alone, "% of a core", None)]
            rows += [(f"first paint, {page}", paint, "ms", 300)
                     for page, paint in first_paints(browser, serving).items()]
            rows.append(("weight of all pages", weight(serving), "kB", 150))
        finally:
            browser.close()
            serving.end()
            line.close()
            bench.end()
    beyond = False
    for what, value, unit, allowed in rows:
        beyond |= allowed is not None and value > allowed
        print(f"{what:34} {value:8.1f} {unit:12} {'' if allowed is None else f'at most {allowed}'}")
    sys.exit(beyond)


if __name__ == "__main__":
    main()
