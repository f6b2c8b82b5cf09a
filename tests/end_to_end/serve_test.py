#!/usr/bin/env python3
"""The page's server in the hands of those who mean harm: nothing is let in, and whoever reads goes on reading.
QUAYCELL_MESSAGES=10000 sends so many random and malformed messages."""
import http.client
import json
import os
import random
import re
import socket
import time
import unittest
from programs import EndToEnd, quaycell
from serving import Serving, Socket

HOSTILE = "</script><img src=x onerror=alert(1)>\u202egnp.exe \u05d0\u05d1 \"'`&" + "W" * 300


def toml(text):
    return json.dumps(text)


class Served(EndToEnd):
    def serve(self, *arguments, **options):
        serving = Serving(*arguments, **options)
        self.addCleanup(serving.end)
        return serving

    def archive(self, name="days.csv"):
        rows = "".join(f"2026-05-{4 + i // 48:02}T{i // 2 % 24:02}:{i % 2 * 30:02}:00Z,"
                       f"{-1000 + 80 * (40 < i < 60)},agcl/open\r\n" for i in range(96))
        source = self.folder / name
        source.write_text("time,potential_mv,cell_scale\r\n" + rows, encoding="ascii", newline="")
        self.done("import", source, "--archive", self.folder / "a.quaycell")
        return self.folder / "a.quaycell"

    def vessel(self, name):
        file = self.folder / "boat.toml"
        file.write_text(f'[vessel]\nname = {toml(name)}\nhull = "aluminium"\n', encoding="utf-8")
        return file


class WhoIsLetIn(Served):
    def setUp(self):
        super().setUp()
        self.serving = self.serve("--archive", self.archive(), "--hull", "aluminium")

    def status(self, *arguments, **options):
        return self.serving.ask(*arguments, **options)[0]

    def test_the_printed_addresses_are_all_that_it_takes(self):
        status, headers, page = self.serving.ask("")
        self.assertEqual(status, 200)
        self.assertIn(b"<title>Live - Quaycell</title>", page)
        self.assertIn("default-src 'none'", headers["Content-Security-Policy"])
        self.assertEqual(headers["X-Content-Type-Options"], "nosniff")
        self.assertEqual(headers["Referrer-Policy"], "no-referrer")
        self.assertEqual(self.status("api/boats"), 200)
        self.assertEqual(self.serving.end(), 0)

    def test_every_start_has_other_secrets(self):
        other = self.serve("--archive", self.folder / "a.quaycell", "--hull", "steel")
        self.assertEqual(len({other.token, other.key, self.serving.token, self.serving.key}), 4)
        self.assertEqual(self.status("", token=other.token), 404)

    def test_no_or_a_wrong_token_shows_nothing(self):
        for token in ("", "x" * 22, self.serving.key, self.serving.token[:-1]):
            for path in ("", "live.js", "api/boats", "api/week"):
                self.assertEqual(self.status(path, token=token), 400 if token == "" else 404, token)

    def test_a_name_that_somebody_made_point_here_is_turned_away(self):
        for host in ("evil.example", f"evil.example:{self.serving.port}", "127.0.0.1", "127.0.0.1:1"):
            self.assertEqual(self.status("", headers={"Host": host}), 421, host)
        self.assertEqual(self.status("", headers={"Host": f"localhost:{self.serving.port}"}), 200)

    def test_other_pages_neither_read_nor_change(self):
        for origin in ("http://evil.example", "null", f"https://127.0.0.1:{self.serving.port}"):
            self.assertEqual(self.status("api/boats", headers={"Origin": origin}), 403)
            self.assertEqual(self.status("api/report?deployment=1", "POST", headers={
                "Origin": origin, "X-Quaycell-Key": self.serving.key}), 403)
            answer = self.serving.send(self.serving.upgrade(f"Origin: {origin}\r\n"))
            self.assertTrue(answer.startswith(b"HTTP/1.1 403"), answer[:40])
        # What a form of another page can send, even one that knows the address: no header of ours.
        self.assertEqual(self.status("api/report?deployment=1", "POST", body="x=1", headers={
            "Origin": self.serving.origin, "Content-Type": "application/x-www-form-urlencoded"}), 403)
        self.assertEqual(self.status("api/report", "OPTIONS", headers={
            "Origin": self.serving.origin, "Access-Control-Request-Method": "POST"}), 405)

    def test_a_report_is_made_only_with_the_second_token_and_can_be_verified(self):
        self.assertEqual(self.status("api/report?deployment=1", "POST", headers={
            "Origin": self.serving.origin}), 403)
        self.assertEqual(self.serving.order("api/report?deployment=1", key=self.serving.token)[0], 403)
        self.assertEqual(self.status("api/report?deployment=1"), 405)
        status, headers, pdf = self.serving.order("api/report?deployment=1&zone=Europe/Amsterdam")
        self.assertEqual(status, 200, pdf)
        self.assertEqual(headers["Content-Type"], "application/pdf")
        (self.folder / "made.pdf").write_bytes(pdf)
        self.done("verify", self.folder / "made.pdf")

    def test_a_survey_is_read_in_the_words_of_the_terminal_and_reported(self):
        archive = self.folder / "walk.quaycell"
        vessel = self.folder / "walk.toml"
        vessel.write_text('[vessel]\nname = "Invented"\nhull = "steel"\n[cell]\nscale = "agcl/seawater"\n'
                          '[[point]]\nname = "main bus"\n')
        walk = quaycell("survey", "--archive", archive, "--vessel", vessel, "--multimeter", "DMM no. 12",
                        "--input-resistance", 10, "--shore", "unplugged", "--cell-travel", "one-place",
                        typed="-872\nfinish\n")
        self.assertEqual(walk.returncode, 0, walk.stderr)
        serving = self.serve("--archive", archive, "--vessel", vessel)
        surveys = json.loads(serving.ask("api/boats")[2])["surveys"]
        self.assertEqual([(each["number"], each["boat"]) for each in surveys], [(1, "Invented")])
        said = json.loads(serving.ask("api/survey?number=1")[2])["words"]
        self.assertIn("main bus", said)
        self.assertIn("-872", said)
        for wrong in ("0", "x", "-1", "2", ""):
            self.assertEqual(serving.ask(f"api/survey?number={wrong}")[0], 400, wrong)
        status, _, pdf = serving.order("api/report?survey=1")
        self.assertEqual(status, 200, pdf)
        (self.folder / "walk.pdf").write_bytes(pdf)
        self.done("verify", self.folder / "walk.pdf")

    def test_no_path_reaches_the_file_system(self):
        (self.folder / "secret").write_text("the secret")
        up = "../" * 12
        for path in (up + "etc/passwd", "..%2f" * 12 + "etc/passwd", "%2e%2e/" * 12 + "etc/passwd",
                     "/etc/passwd", f"{up}{self.folder}/secret", "..\\..\\etc\\passwd", "live.js%00.css",
                     "api/week?deployment=../../etc/passwd", "api/week?deployment=/etc/passwd",
                     "api/week?zone=../../../../etc/passwd&deployment=1", "api/survey?number=1;drop",
                     "file:///etc/passwd", "page/live.html", "....//....//etc/passwd"):
            with self.subTest(path):
                answer = self.serving.send(f"GET /{self.serving.token}/{path} HTTP/1.1\r\nHost: 127.0.0.1:"
                                           f"{self.serving.port}\r\nConnection: close\r\n\r\n".encode())
                self.assertRegex(answer, rb"^HTTP/1.1 40[04] ")
                self.assertNotIn(b"root:", answer)
                self.assertNotIn(b"the secret", answer)

    def test_what_is_too_long_is_turned_away(self):
        host = f"Host: 127.0.0.1:{self.serving.port}\r\n"
        for request in (f"GET /{'x' * 100000} HTTP/1.1\r\n{host}\r\n",
                        f"GET / HTTP/1.1\r\n{host}X: {'x' * 100000}\r\n\r\n",
                        f"GET / HTTP/1.1\r\n{host}" + "X: x\r\n" * 20000 + "\r\n",
                        f"POST / HTTP/1.1\r\n{host}Content-Length: 99999999999999999999\r\n\r\n",
                        f"POST / HTTP/1.1\r\n{host}Content-Length: 5000\r\n\r\n{'x' * 5000}",
                        f"POST / HTTP/1.1\r\n{host}Transfer-Encoding: chunked\r\n\r\nFFFFFFFF\r\n{'x' * 9000}"):
            answer = self.serving.send(request.encode())
            self.assertNotRegex(answer, rb"HTTP/1.1 [23]")
        self.assertEqual(self.status(""), 200)

    def test_whoever_asks_too_often_waits_a_little(self):
        with self.serving.connect() as line:
            # What is read and refused costs little; but it is bounded all the same.
            request = f"GET /x/ HTTP/1.1\r\nHost: 127.0.0.1:{self.serving.port}\r\n\r\n".encode()
            answers = b""
            for asked in range(100, 100000, 100):  # a slow machine leaves time for more to be allowed
                line.sendall(request * 100)
                while answers.count(b"HTTP/1.1 ") < asked and (piece := line.recv(65536)):
                    answers += piece
                if b"HTTP/1.1 429" in answers:
                    break
        self.assertGreaterEqual(answers.count(b"HTTP/1.1 404"), 300)
        self.assertIn(b"HTTP/1.1 429", answers)
        deadline = time.monotonic() + 30
        while self.status("") != 200:
            self.assertLess(time.monotonic(), deadline)
            time.sleep(0.1)

    def test_names_that_somebody_chose_to_do_harm_are_only_text(self):
        serving = self.serve("--archive", self.archive(), "--vessel", self.vessel(HOSTILE))
        status, headers, body = serving.ask("api/week?deployment=1")
        self.assertEqual(status, 200, body[:300])
        self.assertEqual(headers["Content-Type"], "application/json")
        week = json.loads(body)
        self.assertEqual(week["boat"], HOSTILE)
        self.assertNotIn("<img", week["figure"])
        self.assertNotIn("<script", week["figure"])

    def test_an_archive_that_is_gone_is_told_with_its_cause(self):
        (self.folder / "a.quaycell").unlink()
        status, _, body = self.serving.ask("api/boats")
        self.assertEqual(status, 400)
        self.assertIn("not", body.decode())


class WhileAnotherReads(Served):
    """With the logger on the line: a reader whose readings must keep coming, every second."""

    def setUp(self):
        super().setUp()
        bench = self.start_bench("quiet-berth.toml")
        self.serving = self.serve("--port", bench.port, "--hull", "steel")
        self.reader = Socket(self.serving)
        self.addCleanup(self.reader.close)

    def reading(self):
        """The next one; before the first there is none."""
        while not (now := json.loads(self.reader.message())["now"]):
            pass
        return now

    def goes_on(self):
        """The next few still come."""
        before = self.reading()["time"]
        for _ in range(3):
            now = self.reading()["time"]  # or none for as long as a connection waits
            self.assertGreater(now, before)
            before = now

    def test_a_page_that_is_opened_gets_the_minutes_before_and_then_each_reading(self):
        for _ in range(4):
            self.reader.message()
        other = Socket(self.serving)
        self.addCleanup(other.close)
        greeting = json.loads(other.message())
        self.assertGreaterEqual(len(greeting["recent"]), 3)
        self.assertEqual(greeting["now"]["device"], f"{4711:08x}")
        self.assertNotIn("recent", json.loads(other.message()))

    def test_a_page_that_talks_is_dropped(self):
        chatty = Socket(self.serving)
        self.addCleanup(chatty.close)
        chatty.line.sendall(b"\x81\x85\0\0\0\0hello")  # text, masked with zeros
        with self.assertRaises((EOFError, ConnectionError)):
            for _ in range(20):
                chatty.message()
        self.goes_on()

    def test_there_are_only_so_many_connections_and_the_others_go_on(self):
        many = [self.serving.connect() for _ in range(60)]
        for line in many:
            self.addCleanup(line.close)
        # Bounds::connections_of_one_address
        self.wait_for(lambda: sum(self.is_refused(line) for line in many) >= 60 - 48)
        self.goes_on()
        for line in many:
            line.close()
        self.wait_for(self.is_answered)

    def wait_for(self, holds):
        deadline = time.monotonic() + 60
        while not holds():
            self.assertLess(time.monotonic(), deadline)
            time.sleep(0.05)

    def is_refused(self, line):
        line.setblocking(False)
        try:
            return line.recv(1, socket.MSG_PEEK) == b""
        except BlockingIOError:
            return False
        except OSError:
            return True

    def is_answered(self):
        try:
            return self.serving.ask("")[0] == 200
        except (OSError, http.client.HTTPException):  # the server has not seen yet that others are gone
            return False

    def test_of_random_and_malformed_messages_none_lets_anybody_in_or_stops_anything(self):
        count = int(os.environ.get("QUAYCELL_MESSAGES", "1000"))
        seed = int(os.environ.get("QUAYCELL_SEED", "8"))
        chance = random.Random(seed)
        host = f"127.0.0.1:{self.serving.port}"
        sound = (f"GET /{'A' * 22}/api/boats?deployment=1 HTTP/1.1\r\nHost: {host}\r\nAccept: */*\r\n"
                 f"Origin: http://{host}\r\nX-Quaycell-Key: {'B' * 22}\r\nContent-Length: 3\r\n\r\nabc").encode()
        heard = 0
        for i in range(count):
            kind = i % 4
            if kind == 0:  # any bytes
                message = chance.randbytes(chance.randrange(1, 400))
            elif kind == 1:  # a request with some bytes changed, lost or doubled
                message = bytearray(sound)
                for _ in range(chance.randrange(1, 12)):
                    at = chance.randrange(len(message))
                    message[at:at + chance.randrange(3)] = chance.randbytes(chance.randrange(3))
                message = bytes(message)
            elif kind == 2:  # pieces of the grammar in any order
                message = b"".join(chance.choice([b"GET ", b"POST ", b"/", b" HTTP/1.1", b"\r\n", b"Host: ",
                                                  host.encode(), b":", b"\0", b"Transfer-Encoding: chunked",
                                                  b"Content-Length: -1", b"\xff", b"Upgrade: websocket", b"%2e%2e/",
                                                  b"Expect: 100-continue", b"0\r\n\r\n"])
                                   for _ in range(chance.randrange(1, 30)))
            else:  # a WebSocket that then gets any frames
                message = self.serving.upgrade() + chance.randbytes(chance.randrange(1, 200))
            with self.subTest(message=i, seed=seed):
                answer = self.send_briefly(message, kind == 3)
                if kind == 3:
                    self.assertTrue(answer.startswith(b"HTTP/1.1 101") or b" 503 " in answer[:14], answer[:60])
                else:
                    self.assertIsNone(re.search(rb"HTTP/1.1 [123]\d\d", answer), answer[:60])
            if i > 1000:
                time.sleep(0.01)  # else most are turned away for being too many
            heard += i % 200 == 0 and bool(self.reading())
        self.assertGreater(heard, 0)
        self.goes_on()
        self.assertEqual(self.serving.end(), 0)

    def send_briefly(self, message, upgrades):
        with self.serving.connect() as line:
            line.settimeout(5)
            answer = b""
            try:
                line.sendall(message)
                if not upgrades:
                    line.shutdown(socket.SHUT_WR)
                while piece := line.recv(4096):
                    answer += piece
                    if upgrades:
                        break
            except OSError:
                pass
            return answer


class WhenTheLoggerComesAndGoes(Served):
    def test_ac_above_the_limit_stays_told_when_the_logger_was_lost_for_a_while(self):
        bench = self.start_bench("quiet-berth.toml", "--pace", 20)
        bench.tell("source -900")
        bench.tell("ac 120 50")
        serving = self.serve("--port", bench.port, "--hull", "steel")
        reader = Socket(serving)
        self.addCleanup(reader.close)

        def told(holds):
            while not ((now := json.loads(reader.message())["now"]) and holds(now)):
                pass
            return now

        told(lambda now: "lost" not in now and now["ac"]["too_high"])
        bench.end()
        told(lambda now: "lost" in now)
        self.start_bench("quiet-berth.toml", "--pace", 20)  # on the same port, in a sea without AC
        again = told(lambda now: "lost" not in now and now["ac"]["last_mv"] is not None and now["ac"]["last_mv"] < 10)
        self.assertTrue(again["cautions"][0].startswith("AC TOO HIGH: 1"), again["cautions"])


class OnANetwork(Served):
    def test_it_has_to_be_asked_for_and_says_what_that_means(self):
        serving = self.serve("--archive", self.archive(), "--hull", "steel")
        with self.assertRaises(OSError):
            socket.create_connection(("127.0.0.2", serving.port), timeout=5)
        everywhere = self.serve("--archive", self.folder / "a.quaycell", "--hull", "steel", listen="0.0.0.0:0")
        self.assertEqual(everywhere.ask("")[0], 200)

    def test_what_cannot_be_listened_at_is_told(self):
        archive = self.archive()
        for listen, words in (("example.org", "address in numbers"), ("203.0.113.7", "cannot be reached"),
                              ("127.0.0.1:99999", "number of a port"), ("127.0.0.1:x", "number of a port")):
            self.refused(2, "serve", "--archive", archive, "--hull", "steel", "--listen", listen, says=[words])
        serving = self.serve("--archive", archive, "--hull", "steel")
        self.refused(1, "serve", "--archive", archive, "--hull", "steel", "--listen",
                     f"127.0.0.1:{serving.port}", says=["another program listens"])
        self.refused(2, "serve", "--hull", "steel", says=["nothing to show"])


if __name__ == "__main__":
    unittest.main()
