"""Builds a demo in a folder that is thrown away, opens its pages as each role, and takes the README's pictures."""

import io
import os
import re
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

from PIL import Image
from playwright.sync_api import sync_playwright

from manage import find_program
from tests.chromium import FLAGS

HERE = Path(__file__).parent
TOP = HERE.parents[1]
SIZE = {"width": 1200, "height": 900}
PICTURES = (  # name, who, path ({record}: an unfinished record's page)
    ("exam", "nell", "/exams/1/"),
    ("pool", "nell", "/exams/1/pool/"),
    ("draw", "nell", "/exams/1/draw/"),
    ("results", "nell", "/exams/1/release/results/"),
    ("salt", "nell", "/chemistry/salts/NiCl2.6H2O/"),
    ("stock", "ossian", "/exams/1/stock/"),
    ("marks", "wren", "{record}"),
)


def main():
    """Take all pictures."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        port = free_port()
        server, people = demo(folder, port)
        try:
            browser = playwright.chromium.launch(executable_path=find_program("chromium"), args=FLAGS)
            for name, who, path in PICTURES:
                take(browser, f"http://127.0.0.1:{port}", name, who, people[who], path)
            browser.close()
        finally:
            server.terminate()


def free_port():
    """A port that nobody uses now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def demo(folder, port):
    """The demo's server, and the password of each of its people."""
    environment = os.environ | {"EXAMKIT_VAR": folder, "EXAMKIT_NO_BOOTSTRAP": "1", "EXAMKIT_DEMO": "1"}
    command = [sys.executable, str(TOP / "manage.py"), "demo", "--port", str(port)]
    server = subprocess.Popen(command, env=environment, cwd=TOP, stdout=subprocess.PIPE, text=True)
    people = {}
    while len(people) < 4:
        line = server.stdout.readline()
        if not line:
            sys.exit("The demo did not start.")
        found = re.match(r"  .{14} (\S+) +password: (.+)", line)
        if found:
            people[found[1]] = found[2].strip()
    while True:
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in/")
        except OSError:
            time.sleep(0.2)
        else:
            return server, people


def take(browser, address, name, who, password, path):
    """One picture as one person sees it."""
    context = browser.new_context(base_url=address, viewport=SIZE)
    page = context.new_page()
    page.goto("/sign-in/")
    page.fill("[name=username]", who)
    page.fill("[name=password]", password)
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="What is next").wait_for()
    if path == "{record}":
        page.goto("/exams/1/marking/next/")
    else:
        page.goto(path)
    page.wait_for_load_state("networkidle")
    picture = Image.open(io.BytesIO(page.screenshot()))
    picture.convert("P", palette=Image.Palette.ADAPTIVE, colors=256).save(HERE / f"{name}.png", optimize=True)
    print(f"{name}: {page.title()}, {(HERE / f'{name}.png').stat().st_size // 1024} kB")
    context.close()


if __name__ == "__main__":
    main()
