"""`quaycell serve` on a port of its own, and ways to ask it: whole requests, and bytes as they are."""
import base64
import http.client
import os
import re
import socket
import struct
import subprocess
from programs import BUILD


class Serving:
    def __init__(self, *arguments, listen="127.0.0.1:0", **environment):
        self.process = subprocess.Popen(
            [BUILD / "bin" / "quaycell", "serve", "--listen", listen, *map(str, arguments)],
            stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            env={**os.environ, **environment})
        said = self.process.stdout.readline() + self.process.stdout.readline()
        found = re.search(r"to read: +http://([\d.]+):(\d+)/([\w-]{22})/\n"
                          r"to change things too: (http://\S+)#([\w-]{22})\n", said)
        assert found, f"{said!r} {self.process.stderr.read() if self.process.poll() is not None else ''}"
        self.host, self.port, self.token = found[1], int(found[2]), found[3]
        self.origin = f"http://{self.host}:{self.port}"
        self.address, self.key = found[4], found[5]

    def end(self):
        """Ctrl-C; its exit code."""
        if self.process.poll() is None:
            self.process.terminate()
        self.process.communicate(timeout=60)
        return self.process.returncode

    def ask(self, path, method="GET", token=None, headers=None, body=None):
        """(status, headers, body) of one request; `path` follows the token."""
        connection = http.client.HTTPConnection(self.host, self.port, timeout=60)
        try:
            connection.request(method, f"/{self.token if token is None else token}/{path}", body,
                               headers or {})
            answer = connection.getresponse()
            return answer.status, dict(answer.getheaders()), answer.read()
        finally:
            connection.close()

    def order(self, path, key=None):
        return self.ask(path, "POST", headers={"Origin": self.origin, "X-Quaycell-Key": key or self.key})

    def connect(self):
        return socket.create_connection((self.host, self.port), timeout=30)

    def send(self, data, longest_s=30):
        """All that comes back for these bytes, until the server closes, or for so long."""
        with self.connect() as line:
            line.settimeout(longest_s)
            answer = b""
            try:
                line.sendall(data)
                line.shutdown(socket.SHUT_WR)
                while piece := line.recv(65536):
                    answer += piece
            except OSError:
                pass
            return answer

    def upgrade(self, headers="", path="api/live", token=None):
        key = base64.b64encode(os.urandom(16)).decode()
        return (f"GET /{self.token if token is None else token}/{path} HTTP/1.1\r\n"
                f"Host: {self.host}:{self.port}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n"
                f"Sec-WebSocket-Key: {key}\r\nSec-WebSocket-Version: 13\r\n{headers}\r\n").encode()


class Socket:
    """A WebSocket that is told readings (RFC 6455, as far as that takes)."""

    def __init__(self, serving):
        self.line = serving.connect()
        self.line.sendall(serving.upgrade())
        self.held = b""
        while b"\r\n\r\n" not in self.held:
            piece = self.line.recv(4096)
            assert piece, f"no WebSocket: {self.held}"
            self.held += piece
        head, self.held = self.held.split(b"\r\n\r\n", 1)
        assert head.startswith(b"HTTP/1.1 101 "), head

    def take(self, size):
        while len(self.held) < size:
            piece = self.line.recv(65536)
            if not piece:
                raise EOFError
            self.held += piece
        taken, self.held = self.held[:size], self.held[size:]
        return taken

    def message(self):
        """The next one that holds text."""
        while True:
            first, length = self.take(2)
            if length == 126:
                length, = struct.unpack(">H", self.take(2))
            elif length == 127:
                length, = struct.unpack(">Q", self.take(8))
            text = self.take(length)
            if first == 0x81:
                return text.decode()
            if first == 0x89:  # a ping: whoever does not answer is dropped half a minute later
                self.line.sendall(bytes([0x8a, 0x80 | length, 0, 0, 0, 0]) + text)  # masked with zeros

    def close(self):
        self.line.close()
