"""What the figures were measured on."""

import os
import platform
import sys
import time

import apsw
import msgspec


def describe() -> str:
    """The machine, the interpreter and the libraries that decide the figures, in one paragraph."""
    lines = [
        f"machine   {platform.machine()}, {os.cpu_count()} cores, {platform.system()} {platform.release()}",
        f"processor {_processor()}",
        f"python    {platform.python_implementation()} {platform.python_version()}",
        f"libraries msgspec {msgspec.__version__}, apsw {apsw.apsw_version()}, SQLite {apsw.sqlite_lib_version()}",
    ]
    return "\n".join(lines)


def pace() -> float:
    """Processor seconds of ten million plain additions just now: a shared machine may double it within a minute."""
    started = time.process_time()
    total = 0
    for number in range(10_000_000):
        total += number
    return time.process_time() - started


def _processor() -> str:
    try:
        with open("/proc/cpuinfo", encoding="utf-8") as file:  # noqa: PTH123 - a device of the system, not a path of ours
            for line in file:
                if line.startswith("model name"):
                    return line.partition(":")[2].strip()
    except OSError:
        pass
    return platform.processor() or "not known"


if __name__ == "__main__":
    print(describe(), file=sys.stdout)
