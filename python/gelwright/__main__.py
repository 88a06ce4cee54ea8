"""Plans castings from a terminal: ``python -m gelwright plan FILE``, ``compare FILE FILE``, ``replan FILE RECORD``.

``risk FILE`` tells how likely a casting comes out, ``begin FILE`` writes one to begin with.

What a run ends with: 0 yes, 1 yes if, 2 no, 3 a file that cannot be planned, 64 a command that is not understood,
130 stopped. Of a risk: 0 every draw comes out, 1 some are spoiled, 2 half of them or more.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import threading
import time
from collections.abc import Generator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NoReturn

from . import GelwrightError
from .card import Card
from .plan import BenchRecord, Casting, compare, first_casting
from .risk import RiskDraws

YES, YES_IF, NO, NOT_PLANNED, NOT_UNDERSTOOD, STOPPED = 0, 1, 2, 3, 64, 130
VERDICTS = {"yes": YES, "yes_if": YES_IF, "no": NO}


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        self.print_usage(sys.stderr)
        self.exit(NOT_UNDERSTOOD, f"{self.prog}: {message}\n")


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="python -m gelwright", description="Computes a composite casting before any resin is mixed.")
    commands = parser.add_subparsers(dest="command", required=True, parser_class=_Parser)
    plan = commands.add_parser("plan", help="plan a casting: the card, then everything else; and a page to print")
    plan.add_argument("file", type=Path, help="the casting, a TOML file")
    plan.add_argument("--page", type=Path, help="where to write the page; beside the file, if not said")
    plan.add_argument("--no-page", action="store_true", help="write no page")
    plan.add_argument("--card", action="store_true", help="print the card alone")
    plan.add_argument("--language", choices=["english", "german"], default="english", help="of the card")
    both = commands.add_parser("compare", help="plan several castings and put them side by side")
    both.add_argument("files", type=Path, nargs="+", help="the castings, TOML files")
    both.add_argument("--picture", type=Path, help="where to write the picture (SVG); none, if not said")
    rest = commands.add_parser("replan", help="plan the rest of the day from what was done at the bench")
    rest.add_argument("file", type=Path, help="the casting, a TOML file")
    rest.add_argument("record", type=Path, help="the record of the day, as the page saves it")
    risk = commands.add_parser("risk", help="how likely it comes out, what ruins it most, what to measure next")
    risk.add_argument("file", type=Path, help="the casting, a TOML file")
    risk.add_argument("--draws", type=int, default=1000, help="how often the plan is drawn; 1000, if not said")
    risk.add_argument("--seed", type=int, default=0, help="where the draws come from; 0, if not said")
    risk.add_argument("--kept", type=Path, help="a file (JSON) that the draws are kept in and gone on from")
    risk.add_argument("--card", action="store_true", help="print the card with the chance on it")
    risk.add_argument("--language", choices=["english", "german"], default="english", help="of the card")
    begin = commands.add_parser("begin", help="write a commented casting to begin with")
    begin.add_argument("file", type=Path, nargs="?", help="where to; printed, if not said")
    return parser


@contextmanager
def _telling(what: str) -> Generator[None]:
    """Tell on the standard error stream, from the second second on, that the work goes on."""
    done = threading.Event()
    started = time.monotonic()

    def tell() -> None:
        if done.wait(2.0):
            return
        while True:
            seconds = time.monotonic() - started
            print(f"\r{what}, {seconds:.0f} s so far; Ctrl-C stops it", end="", file=sys.stderr, flush=True)
            if done.wait(1.0):
                break
        print(file=sys.stderr)

    teller = threading.Thread(target=tell, daemon=True)
    teller.start()
    try:
        yield
    finally:
        done.set()
        teller.join()


def _load(file: Path) -> Casting:
    try:
        return Casting.load(file)
    except GelwrightError as e:
        raise SystemExit(_refused(file, e)) from e
    except (OSError, UnicodeDecodeError) as e:
        print(f"{file}: {e}", file=sys.stderr)
        raise SystemExit(NOT_PLANNED) from e


def _refused(file: Path, e: GelwrightError) -> int:
    print(f"NO: {file} cannot be planned, nothing is to be mixed.\n\n{e}")
    return NOT_PLANNED


def _plan(given: argparse.Namespace) -> int:
    casting = _load(given.file)
    try:
        with _telling(f"planning {given.file}"):
            plan = casting.plan()
    except GelwrightError as e:
        return _refused(given.file, e)
    card: Card = plan.card(language=given.language)
    print(card.text() if given.card else plan.sheet(language=given.language))
    if not given.no_page:
        page: Path = given.page or given.file.with_suffix(".html")
        page.write_text(plan.page(language=given.language), encoding="utf-8")
        print(f"To print, or for the phone: {page}")
    return VERDICTS[str(card.verdict)]


def _compare(given: argparse.Namespace) -> int:
    castings = [_load(f) for f in given.files]
    try:
        with _telling(f"planning {len(castings)} castings"):
            side_by_side = compare(castings)
    except GelwrightError as e:
        return _refused(Path(", ".join(map(str, given.files))), e)
    print(side_by_side.text(), end="")
    if given.picture:
        given.picture.write_text(side_by_side.picture(), encoding="utf-8")
        print(f"\nAs a picture: {given.picture}")
    return max(VERDICTS[str(r.verdict)] for r in side_by_side.rows)


def _replan(given: argparse.Namespace) -> int:
    casting = _load(given.file)
    try:
        record = BenchRecord.load(given.record)
        rest = casting.replan(record)
    except GelwrightError as e:
        return _refused(given.record, e)
    except (OSError, UnicodeDecodeError) as e:
        print(f"{given.record}: {e}", file=sys.stderr)
        return NOT_PLANNED
    print(rest.text(), end="")
    return YES_IF if rest.setbacks else YES


# Draws between two looks at the file that they are kept in.
_BLOCK = 256


def _kept(given: argparse.Namespace, casting: Casting) -> RiskDraws:
    """Begin the draws, or read those that are kept; refuse those of another casting or seed."""
    begun = RiskDraws.begin(casting, seed=given.seed)
    if given.kept is None or not given.kept.exists():
        return begun
    kept = RiskDraws(
        **{k: v for k, v in json.loads(given.kept.read_text(encoding="utf-8")).items() if k != "made_with"}
    )
    if (kept.casting, kept.spreads, kept.seed) != (begun.casting, begun.spreads, begun.seed):
        print(f"{given.kept} holds draws of another casting or seed: give another name", file=sys.stderr)
        raise SystemExit(NOT_UNDERSTOOD)
    return kept


def _risk(given: argparse.Namespace) -> int:
    casting = _load(given.file)
    try:
        draws = _kept(given, casting)
        with _telling(f"drawing {given.file}"):
            while len(draws.rows) < given.draws or not draws.rows:
                block = given.draws if given.kept is None else min(given.draws, len(draws.rows) + _BLOCK)
                draws = draws.with_draws(block)
                if given.kept is not None:
                    given.kept.write_text(json.dumps(draws.raw), encoding="utf-8")
            risk = draws.read()
            plan = casting.plan() if given.card else None
    except GelwrightError as e:
        return _refused(given.file, e)
    except (OSError, ValueError, TypeError) as e:
        print(f"{given.kept or given.file}: {e}", file=sys.stderr)
        return NOT_PLANNED
    if plan is not None:
        print(plan.card(language=given.language).with_risk(risk).text())
    else:
        print(f"{casting.name}\n{risk.text()}", end="")
    if 2 * risk.comes_out.count <= risk.draws:
        return NO
    return YES_IF if risk.spoiled.count else YES


def _begin(given: argparse.Namespace) -> int:
    if given.file is None:
        print(first_casting(), end="")
        return YES
    try:
        with given.file.open("x", encoding="utf-8") as file:
            file.write(first_casting())
    except FileExistsError:
        print(f"{given.file} is there already: give another name", file=sys.stderr)
        return NOT_UNDERSTOOD
    print(f"Written: {given.file}. Plan it: python -m gelwright plan {given.file}")
    return YES


def main(words: Sequence[str] | None = None) -> int:
    """Run a command; give what the run ends with."""
    given = _parser().parse_args(words)
    try:
        commands = {"plan": _plan, "compare": _compare, "replan": _replan, "risk": _risk, "begin": _begin}
        return commands[given.command](given)
    except KeyboardInterrupt:
        print("stopped", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # Whoever read it has read enough.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return YES
    except OSError as e:
        print(e, file=sys.stderr)
        return NOT_PLANNED


if __name__ == "__main__":
    sys.exit(main())
