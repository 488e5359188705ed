"""What must not get into the desk, nor bring it down: PROGRAM FOLDER. Prints what failed; ends with 1 then.

The rules tried are those of RFC 9112 (framing), RFC 9110 section 15.5.20 (421), RFC 6265 (cookies) and the Fetch
standard's Sec-Fetch-Site and Origin headers.
"""
import os
import random
import re
import signal
import socket
import subprocess
import sys
import time

program, folder = sys.argv[1], sys.argv[2]
failures = []


def expect(true, what):
    if not true:
        failures.append(what)
        print("FAILED:", what, flush=True)


class Desk:
    def __init__(self):
        self.process = subprocess.Popen([program, "desk", folder, "--no-browser"], stdout=subprocess.PIPE,
                                        stderr=subprocess.DEVNULL, text=True)
        self.address = self.process.stdout.readline().strip()
        found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/\?key=([0-9a-f]{32})", self.address)
        if not found:
            sys.exit(f"the desk printed no address but {self.address!r}")
        self.port, self.key = int(found[1]), found[2]
        self.host = f"127.0.0.1:{self.port}"
        self.cookie = None

    def send(self, data, wait=5.0):
        """The raw answer to raw bytes; b'' where the desk closed without one, None where it said nothing in time."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=wait) as line:
            try:
                line.sendall(data)
                line.shutdown(socket.SHUT_WR)
                answer = b""
                while piece := line.recv(65536):
                    answer += piece
                return answer
            except TimeoutError:
                return None
            except OSError:  # closed by the desk before all was sent
                return b""

    def ask(self, method, path, body=b"", cookie=True, **headers):
        """Status and body; headers as keyword arguments, with _ for -; None leaves one out."""
        lines = {"Host": self.host, "Connection": "close", "Content-Length": str(len(body))}
        if method not in ("GET", "HEAD"):
            lines["Origin"] = f"http://{self.host}"
        if cookie and self.cookie:
            lines["Cookie"] = self.cookie
        lines.update({name.replace("_", "-"): value for name, value in headers.items()})
        head = f"{method} {path} HTTP/1.1\r\n" + "".join(f"{n}: {v}\r\n" for n, v in lines.items() if v is not None)
        answer = self.send(head.encode("latin-1") + b"\r\n" + body)
        found = re.match(rb"HTTP/1\.1 (\d{3}) ", answer or b"")
        return (int(found[1]) if found else 0), (answer or b"")

    def enter(self):
        status, answer = self.ask("GET", f"/?key={self.key}", cookie=False)
        expect(status == 200, f"the key opens the desk, got {status}")
        line = re.search(rb"Set-Cookie: ([^;]+); Path=/; HttpOnly; SameSite=Strict\r\n", answer)
        expect(line is not None, "the cookie is HttpOnly and SameSite=Strict")
        self.cookie = line[1].decode() if line else None
        expect(self.cookie and self.cookie.startswith(f"fieldfoci-{self.port}="), "the cookie's name holds the port")

    def lives(self, when):
        status, _ = self.ask("GET", "/api/desk")
        expect(status == 200, f"the desk lives after {when}, got {status}")

    def memory(self):
        with open(f"/proc/{self.process.pid}/status") as lines:
            return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM:")) // 1024


def try_gate(desk):
    for path in ("/", "/api/desk", "/page/index.html", "/surveys/a/map.png"):
        expect(desk.ask("GET", path)[0] == 403, f"{path} is closed without a key")
    expect(desk.ask("GET", "/?key=" + "0" * 32)[0] == 403, "a wrong key opens nothing")
    expect(desk.ask("GET", "/?key=")[0] == 403, "no key opens nothing")
    desk.enter()
    expect(desk.ask("GET", f"/?key={desk.key}", cookie=False)[0] == 403, "the key is void after its first visit")
    expect(desk.ask("GET", "/api/desk", cookie=False, Cookie=desk.cookie[:-1] + "g")[0] == 403, "a wrong cookie")
    expect(desk.ask("GET", "/api/desk", cookie=False, Cookie=f"a=b; {desk.cookie}; c=d")[0] == 200, "one of cookies")
    for host in ("evil.example", f"evil.example:{desk.port}", "127.0.0.1", f"127.0.0.1:{desk.port + 1}", "",
                 f"[::1]:{desk.port}", f"127.0.0.1:{desk.port}.evil.example", f"0.0.0.0:{desk.port}"):
        expect(desk.ask("GET", "/api/desk", Host=host)[0] in (400, 421), f"Host {host!r} is not served")
    expect(desk.ask("GET", "/api/desk", Host=f"localhost:{desk.port}")[0] == 200, "localhost is served")
    for origin in (None, "null", "http://evil.example", f"https://{desk.host}", f"http://127.0.0.1:{desk.port + 1}",
                   f"http://localhost:{desk.port}"):
        expect(desk.ask("POST", "/api/visits?name=x", Origin=origin)[0] == 403, f"Origin {origin!r} changes nothing")
    for site in ("cross-site", "same-site"):
        expect(desk.ask("GET", "/api/desk", Sec_Fetch_Site=site)[0] == 403, f"{site} reads nothing")
    expect(desk.ask("POST", "/api/stop", Sec_Fetch_Site="none")[0] == 403, "an address typed in changes nothing")
    expect(os.listdir(os.path.join(folder, "inbox")) == [], "nothing was made by what was refused")
    _, answer = desk.ask("POST", "/api/window")
    key = re.search(rb"key=([0-9a-f]{32})", answer)
    expect(key and desk.ask("GET", f"/?key={key[1].decode()}", cookie=False)[0] == 200, "a new window's key opens")


def try_paths(desk):
    secret = os.path.join(folder, "secret.txt")
    with open(secret, "w") as out:
        out.write("SECRET")
    os.symlink(secret, os.path.join(folder, "fields", "link.geojson"))
    desk.ask("POST", "/api/visits?name=v")
    ways = ["../secret.txt", "..%2fsecret.txt", "%2e%2e/secret.txt", "....//secret.txt", "..%5csecret.txt", "%00",
            ".", "..", "link.geojson", "x%00.geojson", "/etc/passwd", "%2fetc%2fpasswd", "a" * 300, "~", "*", "-",
            "..%c0%afsecret.txt", "%252e%252e%252fsecret.txt", ".coming-0"]
    for start in ("/fields/", "/visits/v/", "/visits/../", "/surveys/", "/surveys/v/", "/seasons/", "/page/", "/api/visits/"):
        for way in ways:
            status, answer = desk.ask("GET", start + way)
            expect(status in (400, 404, 405, 414) and b"SECRET" not in answer and b"root:" not in answer,
                   f"GET {start + way} gives {status}")
    for name in ("../../evil", "/etc/evil", "..", ".", ".hidden", "a\tb", "%00evil", "con.csv%0d%0aX: y", "x" * 400):
        status, _ = desk.ask("POST", f"/api/visits/v/files?name={name}".replace("\t", "%09"), body=b"a,b\n1,2\n")
        expect(status in (0, 201, 400), f"an upload named {name!r} gives {status}")
    for name in os.listdir(os.path.join(folder, "inbox", "v")):
        expect(re.fullmatch(r"[a-z0-9][a-z0-9-]*(\.[a-z0-9]+)?", name), f"an upload became {name!r}")
    expect(sorted(os.listdir(folder)) == ["fields", "inbox", "plans", "seasons", "secret.txt", "surveys"],
           "nothing but the shelves was made")
    for setting in ("field=../../secret.txt", "field=/etc/passwd", "stops=../../secret.txt", "photo=/etc/passwd",
                    "disease=/etc/passwd", "earlier=../..", "out=x", "threads=5", "job=x", "nothing=1", "=", "%00=1"):
        status, _ = desk.ask("PUT", "/api/visits/v/job", body=setting.encode())
        expect(status == 422, f"a job with {setting} gives {status}")
    for job in ("what=map&about=../v", "what=map&about=v&out=/tmp/x", "what=rm&about=v", "", "what=look&about=v&file=../job.json",
                "what=seasons&survey=../inbox", "what=look&about=v&file=x.csv&job=/etc/passwd", "what=record&about=."):
        status, _ = desk.ask("POST", "/api/jobs", body=job.encode())
        expect(status == 422, f"a job {job!r} gives {status}")
    desk.lives("path tricks")


def make_malformed(rng, desk):
    """A request that is not quite one."""
    good = (f"GET /api/desk HTTP/1.1\r\nHost: {desk.host}\r\nCookie: {desk.cookie}\r\nContent-Length: 5\r\n"
            f"Origin: http://{desk.host}\r\n\r\nhello").encode()
    kind = rng.randrange(10)
    if kind == 0:
        return bytes(rng.randrange(256) for _ in range(rng.randrange(1, 2000)))
    if kind == 1:
        at = rng.randrange(len(good))
        return good[:at] + bytes([rng.randrange(256)]) + good[at + 1:]
    if kind == 2:
        return good[:rng.randrange(len(good))]
    if kind == 3:
        return b"GET /" + b"a" * rng.randrange(30000, 90000) + b" HTTP/1.1\r\n\r\n"
    if kind == 4:
        return b"GET / HTTP/1.1\r\n" + b"X: " + b"y" * rng.randrange(30000, 90000) + b"\r\n\r\n"
    if kind == 5:
        return good.replace(b"Content-Length: 5", b"Content-Length: " + rng.choice(
            [b"-1", b"99999999999999999999", b"5, 6", b"0x5", b"5\r\nContent-Length: 7", b""]))
    if kind == 6:
        return (f"POST /api/visits?name=z HTTP/1.1\r\nHost: {desk.host}\r\nCookie: {desk.cookie}\r\nOrigin: http://{desk.host}\r\n"
                "Transfer-Encoding: chunked\r\n\r\n").encode() + rng.choice(
                    [b"zz\r\nhello\r\n", b"FFFFFFFFFFFFFFFFF\r\n", b"5\r\nhel", b"-5\r\nhello\r\n0\r\n\r\n", b"5;a=" + b"b" * 400])
    if kind == 7:
        return good.replace(b"HTTP/1.1", rng.choice([b"HTTP/9.9", b"HTTP/1.", b"", b"HTTP/0.9", b"ICY"]))
    if kind == 8:
        return good.replace(b"GET", rng.choice([b"BREW", b"get", b"\0GET", b"CONNECT", b"G" * 5000, b"TRACE"]))
    return good.replace(b"\r\n", rng.choice([b"\n", b"\r", b"\r\r\n", b"\n\r"]))


def try_malformed(desk):
    rng = random.Random(14)
    for number in range(200):
        answer = desk.send(make_malformed(rng, desk))
        expect(answer is not None, f"malformed request {number} is answered or closed")
        expect(not answer or answer.startswith(b"HTTP/1."), f"malformed request {number} is answered as HTTP")
        if number % 50 == 49:
            desk.lives(f"{number + 1} malformed requests")


def try_sizes(desk):
    status, _ = desk.ask("POST", "/api/visits/v/files?name=big.csv", Content_Length=str(300 << 20))
    expect(desk.ask("POST", "/api/fields?name=a.csv")[0] == 422, "an empty file is refused")
    expect(status == 413, f"a body of 300 MB is refused before it comes, got {status}")
    status, _ = desk.ask("PUT", "/api/visits/v/draft", body=b"x" * (9 << 20))
    expect(status == 413, f"a draft of 9 MB is refused, got {status}")
    status, _ = desk.ask("PUT", "/api/visits/v/job", body=b"hits=" + b"x" * (2 << 20))
    expect(status == 413, f"a job of 2 MB is refused, got {status}")
    expect(not [name for name in os.listdir(os.path.join(folder, "inbox", "v")) if name.startswith(".coming")],
           "nothing is left of what was refused")


def try_crowd(desk):
    slow = []
    for _ in range(60):
        line = socket.create_connection(("127.0.0.1", desk.port))
        line.sendall(b"POST /api/visits HTTP/1.1\r\nHost: ")
        slow.append(line)
    begun = time.monotonic()
    desk.lives("60 slow senders came")
    expect(time.monotonic() - begun < 2, "slow senders keep nobody waiting")
    for line in slow:
        line.close()
    request = f"GET /api/settings HTTP/1.1\r\nHost: {desk.host}\r\nCookie: {desk.cookie}\r\nConnection: close\r\n\r\n".encode()
    lines = [socket.create_connection(("127.0.0.1", desk.port), timeout=10) for _ in range(100)]
    for line in lines:
        line.sendall(request)
    served = 0
    for line in lines:
        answer = b""
        while piece := line.recv(65536):
            answer += piece
        served += answer.startswith(b"HTTP/1.1 200") and answer.rstrip().endswith(b"]")
        line.close()
    expect(served == 100, f"of 100 requests at once {served} are served")


def try_tabs(desk):
    status, answer = desk.ask("PUT", "/api/visits/v/draft", body=b'{"rows":[1]}')
    tag = re.search(rb'ETag: ("[^"]+")', answer)
    expect(status == 200 and tag, "a first draft is kept")
    expect(desk.ask("PUT", "/api/visits/v/draft", body=b"{}")[0] == 409, "a tab that saw none replaces none")
    expect(desk.ask("PUT", "/api/visits/v/draft", body=b'{"rows":[1,2]}', If_Match=tag[1].decode())[0] == 200, "its own tab may")
    expect(desk.ask("PUT", "/api/visits/v/draft", body=b"{}", If_Match=tag[1].decode())[0] == 409, "a tab that saw an old one may not")
    expect(b'{"rows":[1,2]}' in desk.ask("GET", "/visits/v/draft.json")[1], "the draft is what was kept last")


def try_kills(desk):
    """A desk that is killed leaves no job behind and loses nothing."""
    desk.ask("POST", "/api/sample?crop=soybean")
    desk.ask("POST", "/api/jobs", body=b"what=map&about=sample-soybean-2026")
    children = []
    end = time.monotonic() + 5
    while not children and time.monotonic() < end:
        with open(f"/proc/{desk.process.pid}/task/{desk.process.pid}/children") as lines:
            children = [int(number) for number in lines.read().split()]
    expect(children, "a job is a process of its own")
    desk.process.send_signal(signal.SIGKILL)
    desk.process.wait()
    end = time.monotonic() + 10
    while any(os.path.exists(f"/proc/{child}") for child in children) and time.monotonic() < end:
        time.sleep(0.05)
    expect(not any(os.path.exists(f"/proc/{child}") for child in children), "no job outlives its desk")
    again = Desk()
    again.enter()
    expect(b'{"rows":[1,2]}' in again.ask("GET", "/visits/v/draft.json")[1], "the draft outlives the desk")
    return again


def main():
    desk = Desk()
    for attempt in (try_gate, try_paths, try_malformed, try_sizes, try_crowd, try_tabs):
        attempt(desk)
    memory = desk.memory()
    expect(memory < int(os.environ.get("MOST_MB", "200")), f"the desk's memory stays small: {memory} MB")
    desk.lives("all of it")
    desk = try_kills(desk)
    expect(desk.ask("POST", "/api/stop")[0] == 200, "the page ends the desk")
    try:
        expect(desk.process.wait(10) == 0, "it ends with 0")
    except subprocess.TimeoutExpired:
        expect(False, "it ends when the page says so")
        desk.process.kill()
    print(f"desk: {len(failures)} failures, {memory} MB at most")
    sys.exit(1 if failures else 0)


main()
