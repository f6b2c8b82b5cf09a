#!/usr/bin/python3
"""Live readings for other programs: in each form, and to many readers at once. The NMEA sentences are
read by a general parser (Debian: python3-nmea2), which is why Debian's own Python runs this."""
import csv
import json
import select
import socket
import subprocess
import time
import unittest
import pynmea2
from programs import BUILD, EndToEnd
from running import Running


class LiveForms(EndToEnd):
    def setUp(self):
        super().setUp()
        self.port = self.start_bench("quiet-berth.toml", "--pace", 60).port

    def readings(self, form, count=12):
        """As bytes: ends of lines are a part of each form."""
        live = subprocess.run([BUILD / "bin" / "quaycell", "live", "--port", self.port, "--hull", "aluminium",
                               "--count", str(count), "--format", form], capture_output=True, timeout=60)
        self.assertEqual(live.returncode, 0, live.stderr)
        return live.stdout

    def test_a_general_parser_reads_the_nmea_sentences(self):
        # The bench's sea puts the hull of this scenario near there; its tests hold the size of it.
        sentences = self.readings("nmea0183").split(b"\r\n")
        self.assertEqual(sentences.pop(), b"")
        hulls, ids = [], set()
        for sentence in sentences:
            self.assertLessEqual(len(sentence) + 2, 82)
            parsed = pynmea2.parse(sentence.decode(), check=True)
            self.assertEqual((parsed.talker, parsed.sentence_type), ("II", "XDR"))
            for n in range(parsed.num_transducers):
                transducer = parsed.get_transducer(n)
                ids.add(transducer.id)
                if transducer.id == "HULL":
                    self.assertEqual((transducer.type, transducer.units), ("U", "V"))
                    hulls.append(float(transducer.value))
                if transducer.id == "WATER":
                    self.assertEqual((transducer.type, transducer.units), ("C", "C"))
        self.assertGreaterEqual(len(hulls), 5)  # the filter settles first
        for volts in hulls:
            self.assertTrue(-1.3 < volts < -0.3, hulls)
        self.assertLessEqual({"HULL", "HULLU", "CELLA", "WATER", "BATTERY", "VERDICT", "LEAD"}, ids)

    def test_a_damaged_sentence_would_not_pass_that_parser(self):
        sentence = self.readings("nmea0183", 3).decode().splitlines()[0]
        with self.assertRaises(pynmea2.ChecksumError):
            pynmea2.parse(sentence.replace("XDR", "XDS", 1), check=True)

    def test_csv_is_a_trace_that_judge_reads(self):
        trace = self.folder / "live.csv"
        trace.write_bytes(self.readings("csv"))
        rows = list(csv.DictReader(trace.read_text().splitlines()))
        self.assertEqual(len(rows), 12)
        self.assertEqual({row["cell_scale"] for row in rows}, {"agcl/open"})
        judged = self.document("judge", "--trace", trace, "--hull", "aluminium")
        self.assertEqual(judged["readings"], 12)

    def test_signalk_explains_its_paths_before_it_uses_them(self):
        lines = [json.loads(line) for line in self.readings("signalk").splitlines()]
        meta = {entry["path"]: entry["value"] for entry in lines[0]["updates"][0]["meta"]}
        for line in lines[1:]:
            update = line["updates"][0]
            self.assertTrue(update["timestamp"].endswith("Z"))
            for value in update["values"]:
                if value["path"] == "environment.water.temperature":
                    self.assertTrue(270 < value["value"] < 310)  # kelvin
                else:
                    self.assertIn(value["path"], meta)
        last = {value["path"].split(".")[-1]: value["value"] for value in lines[-1]["updates"][0]["values"]}
        self.assertTrue(-1.3 < last["hullPotential"] < -0.3)

    def test_a_form_that_there_is_not_and_one_that_cannot_tell_loggers_apart_are_wrong_usage(self):
        self.refused(2, "live", "--port", self.port, "--hull", "steel", "--format", "xml", says=["signalk"])
        self.refused(2, "live", "--port", self.port, "--port", "other", "--hull", "steel", "--format", "csv",
                     says=["several loggers", "--port"])


class LiveServed(EndToEnd):
    def serve(self, *arguments, pace=60):
        """`live` that serves, and the port at which it does."""
        bench = self.start_bench("quiet-berth.toml", "--pace", pace)
        live = Running("live", "--port", bench.port, "--hull", "aluminium", "--serve-tcp", "0", *arguments)
        self.addCleanup(lambda: live.poll() is not None or live.process.kill())
        while not live.lines_with("serving "):
            self.assertIsNone(live.poll(), live.said)
            time.sleep(0.01)
        return live, int(live.lines_with("serving ")[0][1].rsplit(":", 1)[1])

    def test_of_twenty_readers_one_never_reads_and_all_others_get_every_reading(self):
        live, port = self.serve("--format", "json", pace=20)  # no faster than whoever reads here can be
        silent = socket.socket()
        silent.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
        silent.connect(("127.0.0.1", port))
        readers = [socket.create_connection(("127.0.0.1", port), timeout=60) for _ in range(19)]
        texts = [b""] * len(readers)
        going_on = set(range(len(readers)))
        ended = False
        while going_on:  # until the silent one was let go, and then until the program has ended
            ready = select.select([readers[n] for n in going_on], [], [], 60)[0]
            for n in [n for n in going_on if readers[n] in ready]:
                data = readers[n].recv(65536)
                texts[n] += data
                if not data:
                    going_on.remove(n)
            if not ended and live.lines_with("too slow") and min(text.count(b"\n") for text in texts) > 100:
                live.process.terminate()
                ended = True
        self.assertTrue(ended, "the program has ended by itself")
        self.assertEqual(live.wait(60), 0, live.said)
        self.assertGreater(len(live.stdout.splitlines()), 100)  # in words, for who looks on
        # Which is cut off in the end is up to the machine.
        shown = [text.decode().split("\n")[:-1] for text in texts]
        all_lines = sorted({line for lines in shown for line in lines}, key=lambda line: json.loads(line)["time"])
        self.assertEqual(len({json.loads(line)["device"] for line in all_lines}), 1)
        for lines in shown:
            first = all_lines.index(lines[0])
            self.assertEqual(lines, all_lines[first:first + len(lines)])  # all, from when it was connected
        self.assertEqual(len(live.lines_with("too slow")), 1, live.said)
        for one in [silent, *readers]:
            one.close()

    def test_who_comes_late_to_a_trace_gets_its_header_first(self):
        live, port = self.serve("--format", "csv")
        with socket.create_connection(("127.0.0.1", port)) as early:
            rows = early.makefile(newline="")
            self.assertEqual(len([rows.readline() for _ in range(3)]), 3)  # the trace is under way
            with socket.create_connection(("127.0.0.1", port)) as late:
                first = late.makefile(newline="").readline()
        self.assertTrue(first.startswith("time,potential_mv,cell_scale,"), first)
        live.process.terminate()
        self.assertEqual(live.wait(90), 0, live.said)

    def test_a_port_that_is_taken_is_told(self):
        bench = self.start_bench("quiet-berth.toml")
        with socket.socket() as other:
            other.bind(("127.0.0.1", 0))
            other.listen()
            self.refused(1, "live", "--port", bench.port, "--hull", "steel", "--serve-tcp",
                         other.getsockname()[1], says=["another program listens"])

    def test_an_address_that_is_none_is_wrong_usage(self):
        bench = self.start_bench("quiet-berth.toml")
        self.refused(2, "live", "--port", bench.port, "--hull", "steel", "--serve-tcp", "port", says=["PORT"])


if __name__ == "__main__":
    unittest.main(verbosity=2)
