"""Commands run in this process or in one of their own, and how they ended."""

import contextlib
import io
import json
import os
import subprocess
import sys
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from holdover import report
from holdover.cli import app

ROOT = Path(__file__).resolve().parents[2]
SCRIPT = Path(sys.executable).with_name("holdover")
MODULE = (sys.executable, "-m", "holdover")
BUFFERED = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
"""The environment of most users, in which what is printed waits to be sent."""
BROKEN = "name,watts,hours\nFridge,150,8\nLamp,abc,30\n"
NASTY = 'name,watts,hours\n"\x1b[31mred [/foo]",100,4\n"\u0645 \u202e rtl",50,3\n"🧊 fridge",150,8\n"=1+1\x9b",10,2\n'
UNITS = 'name,storage_wh,continuous_w,surge_w\n"\x1b]0;x\x07 unit [bold]",3000,1000,2000\n"🔋🔋",200,100,200\n'


@dataclass(frozen=True)
class Ran:
    """How a command ended, and what it said."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """What it printed, which must be strict JSON."""
        return json.loads(self.out, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))


def ran(*words: str | Path) -> Ran:
    """A command run in this process, as `main` runs it."""
    out, err, before = io.StringIO(), io.StringIO(), sys.argv
    sys.argv = ["holdover", *map(str, words)]
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            code = report.guarded(partial(app, prog_name="holdover"))
    finally:
        sys.argv = before
    return Ran(code, out.getvalue(), err.getvalue())


def process(*words: str | Path, **settings: Any) -> Ran:
    """A command run as a process of its own."""
    environment = BUFFERED | settings.pop("env", {})
    done = subprocess.run([*MODULE, *map(str, words)], capture_output=True, env=environment, check=False, **settings)
    return Ran(done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace"))
