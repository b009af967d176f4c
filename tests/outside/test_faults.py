"""A disk that is really full or read-only, and the program killed at any moment: small file systems of our own, so only for root."""
import os
import random
import signal
import subprocess
import time

import pytest
from conftest import WHOLE, program

JOB = """title = "{title}"
skill = "practised"
[sheet]
metal = "copper"
thickness = 0.8
[outline]
shape = "circle"
diameter = 30
border = 2.4
[pattern]
name = "hexagon"
pitch = 4.6
bridge = 1.3
"""
KEEPING = [
    ["draw", "a.toml"],
    ["begin", "new.toml"],
    ["minutes", "a.toml", "80"],
    ["true-size", "--across", "99.6", "--up", "99.8", "--printer", "hall", "--corrected"],
    ["true-size", "--printer", "hall"],
]


class Disk:
    """A file system in memory, 1 MB large, with a job drawn on it and both stores begun."""

    def __init__(self, folder):
        self.folder = folder
        self.env = dict(os.environ, XDG_CONFIG_HOME=str(folder), XDG_DATA_HOME=str(folder))
        if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", folder], capture_output=True).returncode:
            pytest.skip("a file system of our own needs root")

    def begin(self):
        self.job("One")
        assert self.run("draw", "a.toml").returncode in (0, 1)
        self.run("minutes", "a.toml", "90")
        self.run("true-size", "--across", "97.8", "--up", "98.1", "--printer", "hall")
        self.job("Two")

    def job(self, title):
        (self.folder / "a.toml").write_text(JOB.format(title=title))

    def run(self, *words):
        return subprocess.run(
            [program(), *words], cwd=self.folder, env=self.env, capture_output=True, text=True, timeout=60
        )

    def files(self):
        found = (p for p in self.folder.rglob("*") if p.is_file() and p.name != "fill")
        return {str(p.relative_to(self.folder)): p.read_bytes() for p in found}

    def leave(self, free):
        """Fills it up to `free` bytes."""
        fill = self.folder / "fill"
        fill.write_bytes(b"")
        room = os.statvfs(self.folder)
        fill.write_bytes(b"x" * max(0, room.f_bavail * room.f_frsize - free))

    def clear(self):
        for name in self.files():
            (self.folder / name).unlink()
        (self.folder / "fill").write_bytes(b"")

    def remount(self, how):
        subprocess.run(["mount", "-o", f"remount,{how}", self.folder], check=True)


@pytest.fixture
def disk(tmp_path):
    disk = Disk(tmp_path)
    disk.begin()
    yield disk
    subprocess.run(["umount", "-l", tmp_path], check=True)


def hidden(files):
    return [name for name in files if os.path.basename(name).startswith(".")]


def test_a_full_disk_leaves_everything_as_it_was(disk):
    refused = 0
    for free in range(0, 132 * 1024, (4 if WHOLE else 64) * 1024):
        for words in KEEPING:
            disk.leave(free)
            before = disk.files()
            done = disk.run(*words)
            after = disk.files()
            assert done.returncode in (0, 1, 3) and "panicked" not in done.stderr, (free, words, done.stderr)
            assert not hidden(after), (free, words)
            if done.returncode == 3:
                refused += 1
                assert after == before, (free, words)
                assert "the disk is full" in done.stderr and "make room" in done.stderr, done.stderr
            else:
                disk.clear()
                disk.begin()
    assert refused >= 4


def test_a_read_only_disk_is_told(disk):
    disk.remount("ro")
    before = disk.files()
    for words in KEEPING:
        done = disk.run(*words)
        assert done.returncode == 3 and "the disk is read-only" in done.stderr, (words, done.stderr)
        assert "writable" in done.stderr, (words, done.stderr)
        assert disk.files() == before
    disk.remount("rw")


def test_killed_at_any_moment_files_are_whole_and_nothing_lies_about(disk):
    kept = []
    for title in ("One", "Two"):
        disk.job(title)
        start = time.monotonic()
        disk.run("draw", "a.toml")
        took = time.monotonic() - start
        kept.append({name: data for name, data in disk.files().items() if name.startswith("a.") and name != "a.toml"})
    chance = random.Random(5)
    for turn in range(200 if WHOLE else 12):
        disk.job(("One", "Two")[turn % 2])
        drawing = subprocess.Popen(
            [program(), "draw", "a.toml"],
            cwd=disk.folder,
            env=disk.env,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        time.sleep(chance.uniform(0, 1.05 * took))
        drawing.send_signal(chance.choice([signal.SIGKILL, signal.SIGINT, signal.SIGTERM]))
        drawing.wait()
        files = disk.files()
        for name in kept[0]:
            assert files[name] in (kept[0][name], kept[1][name]), (turn, name)
    # What a kill left under a name of its own is gone after the next whole drawing.
    disk.run("draw", "a.toml")
    assert not hidden(disk.files())
