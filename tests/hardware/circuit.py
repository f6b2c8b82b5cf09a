"""The drawn front end in ngspice: the netlist comes from the sheet, the rest from the .cir files beside."""
import os
import re
import subprocess
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
SHEET = HERE.parent.parent / "hardware-notes" / "circuit" / "front_end.sch"

NOMINAL = {"supply_v": 3.3, "potential_v": -1.1, "source_ohm_a": 1e3, "source_ohm_b": 1e3, "clip_ohm": 1,
           "cable_f": 1e-15, "insulation_ohm": 100e9, "bias_a": 5e-12, "buffer_a": 23e-6, "ac_b": 1}
OPEN_OHM = 1e13


class Circuit:
    def __init__(self, sheet=SHEET):
        with tempfile.TemporaryDirectory() as folder:
            out = Path(folder) / "front_end.net"
            made = subprocess.run(["lepton-netlist", "-g", "spice-sdb", "-O", "no_end_card", "-o", out, sheet],
                                  capture_output=True, text=True, check=False,
                                  env={**os.environ, "GUILE_AUTO_COMPILE": "0"})
            if made.returncode != 0:
                raise RuntimeError(f"no netlist of {sheet}: {made.stderr}")
            self.netlist = out.read_text(encoding="utf-8")

    def simulate(self, control, bench="boat.cir", changes=(), **parameters):
        """What `control` prints, by name as ngspice writes it, and the columns of the file that it names in
        `wrdata {data}`: first the time, then what was asked for. `changes` are pairs of text that stand one for
        the other in netlist and testbench."""
        netlist = self.netlist + (HERE / bench).read_text(encoding="utf-8")
        for old, new in changes:
            if not re.search(old, netlist, re.MULTILINE):
                raise ValueError(f"{old} is not in the circuit")
            netlist = re.sub(old, new, netlist, flags=re.MULTILINE)
        given = " ".join(f"{name}={value:g}" for name, value in {**NOMINAL, **parameters}.items())
        with tempfile.TemporaryDirectory() as folder:
            data = Path(folder) / "data"
            deck = Path(folder) / "deck.cir"
            deck.write_text("\n".join(["* deck", f".param {given}", f".include {HERE / 'models.cir'}", netlist,
                                       ".control", "set wr_singlescale", "set numdgt=12",
                                       control.replace("{data}", str(data)), ".endc", ".end", ""]), encoding="utf-8")
            run = subprocess.run(["ngspice", "-b", deck], capture_output=True, text=True, check=False)
            printed = {name.strip(): float(value)
                       for name, value in re.findall(r"^(\S.*?) = (\S+)$", run.stdout, re.MULTILINE)
                       if re.fullmatch(r"[-+0-9.e]+", value)}
            if re.search(r"Error|aborted|no such vector", run.stdout + run.stderr) or not (printed or data.exists()):
                raise RuntimeError(f"ngspice did not simulate it:\n{run.stdout}{run.stderr}")
            columns = read_columns(data) if data.exists() else []
        return printed, columns


def read_columns(path):
    rows = [[float(field) for field in line.split()] for line in path.read_text(encoding="utf-8").splitlines()]
    return [list(column) for column in zip(*rows)]


def at(times, values, time):
    """Between two points of a column, by a straight line; both are searched from the front each time."""
    import bisect
    after = min(max(bisect.bisect_left(times, time), 1), len(times) - 1)
    share = (time - times[after - 1]) / (times[after] - times[after - 1])
    return values[after - 1] + share * (values[after] - values[after - 1])
