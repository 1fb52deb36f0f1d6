"""Arguments in, text and exit codes out. Standard output carries the answer, standard error the progress."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from extractors.phrases import many_of
from pipeline.errors import (
    EXIT_CONFLICTS,
    EXIT_DONE,
    EXIT_INTERRUPTED,
    EXIT_PARTIAL,
    NotFound,
    TallywalkError,
    UsageError,
)
from pipeline.settings import Settings

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pipeline.run import Outcome, Progress

app = typer.Typer(
    name="tallywalk",
    help="Turns a spoken walk-around of used equipment into an inspection report and a listing.",
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)


@dataclass
class Shell:
    """What holds for every command of this process."""

    quiet: bool = False
    debug: bool = False


SHELL = Shell()

# readable: the command line library would refuse all recordings where one cannot be read
Recordings = Annotated[
    list[Path], typer.Argument(help="Recordings or timed transcripts.", metavar="RECORDING", readable=False)
]
Out = Annotated[Path, typer.Option("-o", "--out", help="Folder that receives one folder for each recording.")]
Model = Annotated[str, typer.Option(help="Recogniser's model: a name, or a folder that holds one.")]
Device = Annotated[str, typer.Option(help="auto, cpu or cuda.")]
Download = Annotated[bool, typer.Option("--allow-download", help="Let the model be fetched from the hub.")]
Fresh = Annotated[bool, typer.Option("--fresh", help="Listen again, whatever the cache holds.")]
Vocab = Annotated[Path | None, typer.Option("--vocab", help="Your own vocabulary file (TOML).")]
Strict = Annotated[bool, typer.Option("--strict", help="Exit with 4 where conflicts stand.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the summary for programs.")]


@app.callback()
def every_command(
    quiet: Annotated[bool, typer.Option("--quiet", help="No progress, no remarks.")] = False,
    debug: Annotated[bool, typer.Option("--debug", help="Show where in the program an error arose.")] = False,
) -> None:
    """Turns a spoken walk-around of used equipment into an inspection report and a listing."""
    SHELL.quiet, SHELL.debug = quiet, debug


@app.command()
def report(
    recordings: Recordings,
    out: Out = Path("walks"),
    model: Model = "base",
    device: Device = "auto",
    allow_download: Download = False,
    fresh: Fresh = False,
    vocab: Vocab = None,
    cuts: Annotated[
        str | None,
        typer.Option(
            help='Where another machine begins, such as "1:20,3:05"; "3:05=1" goes back to machine 1; "none" for one.',
            metavar="TIMES",
        ),
    ] = None,
    strict: Strict = False,
    as_json: AsJson = False,
) -> int:
    """Make report, listing and data of each recording."""
    from pipeline import run

    if cuts is not None and len(recordings) > 1:
        raise UsageError("--cuts are of one recording", remedy="Give one recording with them.")
    settings = Settings(
        out=out,
        model=model,
        device=known_device(device),
        allow_download=allow_download,
        fresh=fresh,
        vocab=vocab,
        cuts=cuts_of(cuts),
    )
    codes: list[int] = []
    answers: list[dict[str, Any]] = []

    def one(path: Path, progress: Progress) -> None:
        outcomes = run.report(path, settings=settings, today=date.today(), progress=progress)
        if len(outcomes) > 1 and not as_json:
            print_cuts(path, outcomes[0].folder.parent)
        for outcome in outcomes:
            conflicts = any(f.level == "conflict" for f in outcome.walk.findings)
            codes.append(EXIT_PARTIAL if outcome.partial else EXIT_CONFLICTS if strict and conflicts else EXIT_DONE)
            if as_json:
                answers.append(outcome_for_programs(path, outcome))
            else:
                print_outcome(path, outcome, number=f", {outcome.folder.name}" if len(outcomes) > 1 else "")

    codes += each(recordings, one, answers if as_json else None)
    if as_json:
        print(json.dumps(answers, ensure_ascii=False, indent=1))
    return worst(codes)


@app.command()
def transcribe(
    recordings: Recordings,
    out: Out = Path("walks"),
    model: Model = "base",
    device: Device = "auto",
    allow_download: Download = False,
    fresh: Fresh = False,
) -> int:
    """Stop after the words: transcript.json, .vtt and .txt."""
    from pipeline import run

    settings = Settings(out=out, model=model, device=known_device(device), allow_download=allow_download, fresh=fresh)

    def one(path: Path, progress: Progress) -> None:
        folder, heard = run.transcribe(path, settings=settings, progress=progress)
        print(f"{safe(path.name)}: {len(heard.transcript.words)} words in {safe(str(folder))}")

    return worst(each(recordings, one, None))


@app.command()
def check(
    walk: Annotated[Path, typer.Argument(help="A walk's folder or walk.json.", metavar="WALK")],
    vocab: Vocab = None,
    strict: Strict = False,
    as_json: AsJson = False,
) -> int:
    """Print the findings of a walk again, without the recogniser."""
    from pipeline import run
    from pipeline.walk import to_dict

    result = run.check_file(walk, settings=Settings(vocab=vocab), today=date.today())
    if as_json:
        print(json.dumps(to_dict(result)["findings"], ensure_ascii=False, indent=1))
    else:
        for f in result.findings:
            at = f" [{clock(f.evidence[0].start)}]" if f.evidence else ""
            print(f"{LEVELS[f.level]}{at}: {safe(f.message)} ({f.rule})")
        if not result.findings:
            print("Nothing to remark.")
    return EXIT_CONFLICTS if strict and any(f.level == "conflict" for f in result.findings) else EXIT_DONE


@app.command()
def add(
    walk: Annotated[Path, typer.Argument(help="The first visit: its folder or walk.json.", metavar="WALK")],
    recordings: Annotated[
        list[Path],
        typer.Argument(help="Recordings, transcripts or papers (docx, xlsx, csv, text).", metavar="RECORDING"),
    ],
    model: Model = "base",
    device: Device = "auto",
    allow_download: Download = False,
    vocab: Vocab = None,
) -> int:
    """Add a second visit: fill blanks, correct, contradict; prints what changed."""
    from pipeline import run

    settings = Settings(model=model, device=known_device(device), allow_download=allow_download, vocab=vocab)
    with progress_on_stderr(walk.name if walk.is_dir() else walk.parent.name) as progress:
        outcome, changes = run.add(walk, recordings, settings=settings, today=date.today(), progress=progress)
    print(f"{counted(len(changes), 'change')}:" if changes else "Nothing changed.")
    for change in changes:
        print(f"  - {safe(change.line)}")
    print_outcome(outcome.folder, outcome)
    return EXIT_PARTIAL if outcome.partial else EXIT_DONE


@app.command()
def compare(
    before: Annotated[Path, typer.Argument(help="A walk's folder or walk.json.", metavar="BEFORE")],
    after: Annotated[Path, typer.Argument(help="Another's folder or walk.json.", metavar="AFTER")],
    as_json: AsJson = False,
) -> int:
    """Print what differs between two walks: one machine at two times, or two machines."""
    from dataclasses import asdict

    from pipeline import run
    from pipeline.compare import compare as differences

    found = differences(run.read_walk(before), run.read_walk(after))
    if as_json:
        print(json.dumps([asdict(d) for d in found], ensure_ascii=False, indent=1))
    else:
        for d in found:
            print(safe(d.line))
        if not found:
            print("No differences.")
    return EXIT_DONE


@app.command()
def batch(
    recordings: Annotated[list[str], typer.Argument(help="Recordings, folders or patterns.", metavar="PATH")],
    out: Out = Path("walks"),
    workers: Annotated[int, typer.Option(min=0, help="Recordings at once; 0 chooses by the machine.")] = 0,
    watch: Annotated[bool, typer.Option("--watch", help="Keep taking recordings as they arrive in a folder.")] = False,
    cluster: Annotated[str | None, typer.Option(help="Address of a Dask scheduler.", metavar="ADDRESS")] = None,
    tls_ca: Annotated[Path | None, typer.Option(help="Certificate of the authority, for --cluster.")] = None,
    tls_cert: Annotated[Path | None, typer.Option(help="Your certificate, for --cluster.")] = None,
    tls_key: Annotated[Path | None, typer.Option(help="Your key, for --cluster.")] = None,
    model: Model = "base",
    device: Device = "auto",
    fresh: Fresh = False,
    vocab: Vocab = None,
    as_json: AsJson = False,
) -> int:
    """Make reports of many recordings; what is done is skipped, one bad file stops no other."""
    from pipeline import batch as many

    settings = Settings(out=out, model=model, device=known_device(device), fresh=fresh, vocab=vocab)

    def told(result: many.Result, done: int = 0, whole: int = 0) -> None:
        if not SHELL.quiet:
            count = f"[{done}/{whole}] " if whole else ""
            why = f" ({safe(result.message)})" if watch and result.message else ""
            print(f"{count}{safe(Path(result.recording).name)}: {result.state}{why}", file=sys.stderr, flush=True)

    missing: list[str] = []
    if watch:
        if len(recordings) != 1 or not Path(recordings[0]).is_dir():
            raise UsageError("--watch takes one folder", remedy="Give the folder that your phone syncs to.")
        many.watch(Path(recordings[0]), settings=settings, today=date.today, told=told, stop=lambda: False)
        return EXIT_DONE
    if cluster:
        from pipeline.cluster import expand, run_on_cluster

        addresses, lost = expand([r for r in recordings if "://" in r])
        missing += lost
        local = [str(p) for p in many.collect((Path(r) for r in recordings if "://" not in r), missing=missing)]
        results = run_on_cluster(
            [*addresses, *local],
            cluster,
            settings=replace(settings, out=out.resolve()),
            today=date.today(),
            ca=tls_ca,
            cert=tls_cert,
            key=tls_key,
            told=told,
        )
    else:
        if far := [r for r in recordings if "://" in r]:
            raise UsageError(
                f"{far[0]}: addresses of shared storage are for --cluster", remedy="Give files and folders here."
            )
        paths = many.collect((Path(r) for r in recordings), missing=missing)
        results = many.run_batch(paths, settings=settings, today=date.today(), workers=workers, told=told)
    if not results and not missing:
        raise NotFound(
            "no recordings in what was given",
            remedy=f"From a folder these are taken: {' '.join(sorted(many.ENDINGS))}. Others: name them, or a pattern.",
        )
    results += many.not_found(missing)
    if as_json:
        print(json.dumps(many.as_rows(results), ensure_ascii=False, indent=1))
    else:
        for r in results:
            figures = (
                f"{counted(r.figures, 'figure')}, {counted(r.conflicts, 'conflict')}"
                if r.state in ("done", "partial")
                else r.message
            )
            print(f"{r.state:8} {safe(Path(r.recording).name):40} {safe(figures)}")
        states = [r.state for r in results]
        print(", ".join(f"{states.count(s)} {s}" for s in ("done", "skipped", "partial", "failed") if s in states))
    return many.exit_code(results)


@app.command()
def find(
    query: Annotated[
        list[str] | None, typer.Argument(help='Such as "rectifier over 10 kW", voltage>=400V, station:rinse.')
    ] = None,
    where: Annotated[Path, typer.Option("--in", help="Folder of walks.")] = Path("walks"),
    like: Annotated[
        bool, typer.Option("--like", help="Take the query as a walk's folder; rank walks like it.")
    ] = False,
    duplicates: Annotated[bool, typer.Option("--duplicates", help="List walks that look like one machine.")] = False,
    rebuild: Annotated[bool, typer.Option("--rebuild", help="Build the index anew from the folders.")] = False,
    as_json: AsJson = False,
    as_csv: Annotated[bool, typer.Option("--csv", help="Print rows for a spreadsheet.")] = False,
) -> int:
    """Search the walks of a folder: words, figures with units, stations, dispositions, years, open findings."""
    from dataclasses import asdict

    from pipeline import run, stock
    from pipeline.stock_query import parse_query

    if not query and (like or not (duplicates or rebuild)):
        raise UsageError("find: nothing to look for was given", remedy='Such as tallywalk find "length<20m".')

    def remark(note: str) -> None:
        if not SHELL.quiet:
            print(f"tallywalk: {safe(note)}", file=sys.stderr)

    def looked_up() -> list[stock.Entry] | None:
        with stock.opened(where, told=remark) as connection:
            told = stock.refresh(connection, where, rebuild=rebuild)
            for fault in told.faults:
                print(f"tallywalk: {safe(fault)}", file=sys.stderr)
            if duplicates:
                for why, folders in (twins := stock.duplicates(connection)):
                    one = stock.recordings(folders) if why == stock.SAME_RECORDING else folders
                    print(f"{safe(why)}: {safe(', '.join(one))}")
                if not twins:
                    print("No two walks are of one recording or one serial.")
            if wanted is not None:
                return stock.search(connection, wanted)
            return (
                [entry for _, entry in stock.similar(connection, stock.folder_of(query[0], where))] if query else None
            )

    wanted = None if like or not query else parse_query(" ".join(query), run.load_vocabulary(Settings()))
    if rebuild:
        stock.set_aside_damaged(where, told=remark)
    try:
        found = looked_up()
    except stock.DamagedIndex:
        stock.set_aside_damaged(where, told=remark)
        found = looked_up()
    if found is None:
        return EXIT_DONE
    if as_json:
        print(json.dumps([asdict(e) for e in found], ensure_ascii=False, indent=1))
    elif as_csv:
        print_csv([{**asdict(e), "made": datetime.fromtimestamp(e.made).isoformat(" ", "seconds")} for e in found])
    else:
        for e in found:
            year = f", {e.year}" if e.year else ""
            told = f"{counted(e.facts, 'figure')}, {e.open} open"
            print(f"{safe(e.folder)}: {safe(e.title or 'nothing named')}{year}, {told}")
            for why in e.why:
                print(f"    {safe(why)}")
        print(f"{len(found)} found")
    return EXIT_DONE


def print_csv(rows: list[dict[str, Any]]) -> None:
    """Rows with a header; a cell that a spreadsheet would take for a formula gets an apostrophe before it."""
    import csv

    if not rows:
        return
    writer = csv.writer(sys.stdout)
    writer.writerow(rows[0])
    for row in rows:
        cells = ("; ".join(v) if isinstance(v, tuple) else v for v in row.values())
        writer.writerow([f"'{c}" if isinstance(c, str) and c.startswith(tuple("=+-@\t\r")) else c for c in cells])


@app.command()
def review(
    folder: Annotated[Path, typer.Argument(help="Folder of walks.", metavar="FOLDER")] = Path("walks"),
    host: Annotated[str, typer.Option(help="Address to listen on; another than this machine's asks for a token.")] = (
        "127.0.0.1"
    ),
    port: Annotated[int, typer.Option(min=0, max=65535)] = 8765,
    tls: Annotated[bool, typer.Option("--tls", help="Encrypt, with a certificate made on the spot.")] = False,
    no_browser: Annotated[bool, typer.Option("--no-browser", help="Do not open the page.")] = False,
    model: Model = "base",
    device: Device = "auto",
    vocab: Vocab = None,
) -> int:
    """Open the page: record, be told what does not add up, listen again and settle."""
    from pipeline.web import serve

    settings = Settings(out=folder, model=model, device=known_device(device), vocab=vocab)
    serve(folder, settings=settings, host=host, port=port, tls=tls, open_browser=not no_browser)
    return EXIT_DONE


@app.command()
def explain(
    walk: Annotated[Path, typer.Argument(help="A walk's folder or walk.json.", metavar="WALK")],
    moment: Annotated[str, typer.Argument(help="A time in the recording, m:ss.", metavar="M:SS")],
    vocab: Vocab = None,
) -> int:
    """Show how the words around a moment were read, and by which rule."""
    from pipeline import run

    for line in run.explain(walk, seconds_of(moment), settings=Settings(vocab=vocab)):
        print(safe(line))
    return EXIT_DONE


def seconds_of(moment: str) -> float:
    """A time such as 3:12 or 1:03:12 in seconds. Raises UsageError."""
    parts = moment.strip().split(":")
    try:
        numbers = [float(p) for p in parts]
    except ValueError:
        numbers = []
    if not 1 <= len(numbers) <= 3 or not all(0 <= n < 1e6 for n in numbers):
        raise UsageError(f"{moment!r} is no time; write it as 3:12")
    total = 0.0
    for n in numbers:
        total = total * 60 + n
    return total


def cuts_of(times: str | None) -> tuple[tuple[float, int | None], ...] | None:
    """Times of cuts such as "1:20,3:05=1" in seconds, each with the number of the machine that it goes back to.

    () for "none", None where nothing was said. Raises UsageError.
    """
    if times is None:
        return None
    if times.strip().lower() == "none":
        return ()
    out: list[tuple[float, int | None]] = []
    for part in times.split(","):
        at, _, number = part.partition("=")
        if number and not number.strip().isdigit():
            raise UsageError(f"--cuts: {part.strip()!r} goes back to no machine", remedy="Write it as 3:05=1.")
        out.append((seconds_of(at), int(number) if number else None))
    return tuple(out)


def known_device(device: str) -> str:
    """The processor's name as it was given. Raises UsageError before any work where there is none of that name."""
    if device not in ("auto", "cpu", "cuda"):
        raise UsageError(f"--device {device}: there is no such choice", remedy="Give auto, cpu or cuda.")
    return device


@app.command()
def rules(
    as_json: AsJson = False,
) -> int:
    """List every check with its source and its tolerance."""
    from dataclasses import asdict

    from pipeline.checks.listing import describe_rules

    described = describe_rules()
    if as_json:
        print(json.dumps([asdict(r) for r in described], ensure_ascii=False, indent=1))
    else:
        for r in described:
            print(f"{r.rule}\n  {r.text}\n")
    return EXIT_DONE


@app.command()
def fill(
    workbook: Annotated[Path, typer.Argument(help="The punch list, filled in.", metavar="WORKBOOK.xlsx")],
    who: Annotated[str, typer.Option(help="Who filled it in.")] = "",
    vocab: Vocab = None,
) -> int:
    """Read blanks filled and boxes ticked in a punch list back as facts, and make the documents again."""
    from pipeline import run

    outcome, told = run.fill(workbook, who=who, settings=Settings(vocab=vocab), today=date.today())
    for line in told:
        print(safe(line))
    print_outcome(outcome.folder, outcome)
    return EXIT_PARTIAL if outcome.partial else EXIT_DONE


LEVELS = {"conflict": "Does not add up", "check": "To verify", "missing": "Still to ask", "caution": "Caution"}


def each(paths: list[Path], one: Callable[[Path, Progress], None], answers: list[dict[str, Any]] | None) -> list[int]:
    """Run one for every path; an error is told and does not stop the next. Exit codes of those that failed."""
    codes = []
    for path in paths:
        try:
            with progress_on_stderr(path.name) as progress:
                one(path, progress)
        except TallywalkError as error:
            if SHELL.debug:
                raise
            tell(error)
            codes.append(error.exit_code)
            if answers is not None:
                answers.append(
                    {"recording": str(path), "error": str(error), "remedy": error.remedy, "exit": error.exit_code}
                )
    return codes


def worst(codes: list[int]) -> int:
    """One recording: its own code. Several: 0 when all are done, 3 when only some are, else the first error's."""
    bad = [c for c in codes if c]
    if len(set(codes)) <= 1 or not bad:
        return codes[0] if codes else EXIT_DONE
    return bad[0] if len(bad) == len(codes) else (EXIT_CONFLICTS if set(bad) == {EXIT_CONFLICTS} else EXIT_PARTIAL)


def print_cuts(path: Path, folder: Path) -> None:
    """Where one recording was cut into several machines, and how to move a cut."""
    from pipeline import lots

    cuts = lots.kept(folder)
    numbers = lots.numbers_of(cuts)
    print(f"{safe(path.name)}: {len(set(numbers))} machines in one recording")
    for at, number, why in zip([0.0, *(c.at for c in cuts)], numbers, ["", *(c.why for c in cuts)], strict=True):
        print(f"  {clock(at):>6}  {number:02d}  {safe(why)}".rstrip())
    again = [f"={n}" if n in numbers[:k] else "" for k, n in enumerate(numbers)][1:]
    asked = ",".join(f"{clock(c.at)}{back}" for c, back in zip(cuts, again, strict=True))
    print(f"  To move them: --cuts {asked} with other times, or --cuts none for one machine")


def outcome_for_programs(path: Path, outcome: Outcome) -> dict[str, Any]:
    """The summary as plain values."""
    from pipeline.run import summary

    return {
        "recording": str(path),
        "folder": str(outcome.folder),
        "written": [p.name for p in outcome.written],
        "kept": list(outcome.kept),
        "partial": list(outcome.partial),
        **summary(outcome.walk),
    }


def print_outcome(path: Path, outcome: Outcome, *, number: str = "") -> None:
    """What a person can read in ten seconds."""
    from pipeline.run import summary

    s = summary(outcome.walk)
    title = s["what"] or "Nothing named"
    maker = f", {s['maker']}" if s["maker"] else ""
    print(f"{safe(path.name)}{number}: {safe(title)}{safe(maker)}")
    for q in s["stations"]:
        stated = f"{q['stated']} stated, " if q["stated"] is not None else ""
        print(f"  {safe(q['name'] or 'stations')}: {stated}{q['described']} described")
    doubt = f" ({s['doubtful']} doubtful)" if s["doubtful"] else ""
    parts = counted(s["components"], "component"), counted(s["take_backs"], "take-back")
    print(f"  {counted(s['figures'], 'figure')}{doubt}, {', '.join(parts)}")
    for title, key in (("Does not add up", "conflicts"), ("To verify", "to_verify"), ("Still to ask", "to_ask")):
        if s[key]:
            print(f"  {title}:")
            for message in s[key][:6]:
                print(f"    - {safe(message)}")
            if len(s[key]) > 6:
                print(f"    and {len(s[key]) - 6} more in the report")
    for line in outcome.kept:
        print(f"  Left as you changed it: {safe(line)}")
    for line in outcome.partial:
        print(f"  Not done: {safe(line)}")
    print(f"  Report: {safe(str(outcome.folder / 'report.docx'))}")


@contextmanager
def progress_on_stderr(name: str) -> Iterator[Progress]:
    """Bars on a terminal, a line at each stage elsewhere, nothing when quiet."""
    if SHELL.quiet:
        yield lambda stage, done, whole: None
        return
    if not sys.stderr.isatty():
        yield lines_on_stderr(name)
        return
    from rich.console import Console
    from rich.markup import escape
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn, TimeRemainingColumn

    bars = Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        TextColumn("{task.fields[speed]}"),
        TimeElapsedColumn(),
        TimeRemainingColumn(),
        console=Console(stderr=True),
        transient=True,
    )
    tasks: dict[str, tuple[Any, float]] = {}

    def show(stage: str, done: float, whole: float) -> None:
        if stage not in tasks:
            for task, _ in tasks.values():
                bars.update(task, visible=False)
            label = escape(f"{safe(name)[:40]}: {stage}")
            tasks[stage] = (bars.add_task(label, total=whole or None, speed=""), time.monotonic())
        task, began = tasks[stage]
        spent = time.monotonic() - began
        speed = f"{done / spent:.1f}× real time" if spent > 1 and done else ""
        bars.update(task, completed=done, total=whole or None, speed=speed)

    with bars:
        yield show


def lines_on_stderr(name: str) -> Progress:
    """A line when a stage begins, and every ten seconds of work in it."""
    last: dict[str, float] = {}
    began: dict[str, float] = {}

    def show(stage: str, done: float, whole: float) -> None:
        now = time.monotonic()
        if stage not in last:
            began[stage] = last[stage] = now
            print(f"{safe(name)}: {stage}", file=sys.stderr)
        elif now - last[stage] >= 10 and whole:
            last[stage] = now
            speed = done / max(now - began[stage], 0.01)
            print(f"{safe(name)}: {stage} {done / whole:.0%}, {speed:.1f}× real time", file=sys.stderr)

    return show


def safe(text: str) -> str:
    """Words and file names without control characters, so that they cannot steer a terminal."""
    return "".join(c if c.isprintable() else "?" for c in text)


def counted(n: int, noun: str) -> str:
    """1 figure, 2 figures."""
    return many_of(n, noun)


def clock(seconds: float) -> str:
    """Seconds as m:ss."""
    return f"{int(seconds) // 60}:{int(seconds) % 60:02d}"


def tell(error: TallywalkError) -> None:
    """An error for a person: what happened, what to do."""
    print(f"tallywalk: {safe(str(error))}", file=sys.stderr)
    if error.remedy:
        print(f"  {safe(error.remedy)}", file=sys.stderr)


def main(argv: list[str] | None = None) -> int:
    """Run the command; returns the exit code."""
    import signal

    signal.signal(signal.SIGTERM, lambda *_: (_ for _ in ()).throw(KeyboardInterrupt()))
    try:
        code = app(args=argv, prog_name="tallywalk", standalone_mode=False)
        # the library turns Ctrl-C into this code, in some places without a word
        return tell_stopped() if code == EXIT_INTERRUPTED else int(code or 0)
    except TallywalkError as error:
        if SHELL.debug:
            raise
        tell(error)
        return error.exit_code
    except KeyboardInterrupt:
        return tell_stopped()
    except Exception as error:
        code = click_error(error)
        if code == UsageError.exit_code:
            for name in sys.argv[1:] if argv is None else argv:
                if name.startswith("-") and Path(name).is_file():
                    print(f"  If {safe(name)} is a file, write it as ./{safe(name)}", file=sys.stderr)
        return code


def tell_stopped() -> int:
    """What a person who stopped the command wants to know; the exit code."""
    print(
        "tallywalk: stopped. Finished recordings are whole; what was heard so far is kept for the next run.",
        file=sys.stderr,
    )
    return EXIT_INTERRUPTED


def click_error(error: Exception) -> int:
    """Usage errors as the command line library words them (2); anything else is a fault of ours (1)."""
    from typer import Abort, Exit

    if isinstance(error, Exit):
        return error.exit_code
    if isinstance(error, Abort):  # the library's word for Ctrl-C
        return tell_stopped()
    show = getattr(error, "show", None)
    if callable(show) and hasattr(error, "exit_code"):
        show()
        return int(error.exit_code)
    if SHELL.debug:
        raise error
    print(f"tallywalk: an unforeseen error: {type(error).__name__}: {safe(str(error))}", file=sys.stderr)
    print("  Run again with --debug and report the last lines.", file=sys.stderr)
    return 1
