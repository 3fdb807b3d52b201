"""`python -m ninefine`: the same as the `ninefine` command."""

from ninefine.cli.main import run

if __name__ == "__main__":
    run()
