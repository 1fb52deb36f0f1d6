"""Sample walks for the documents, built by hand so that they depend on no reader. All of it is invented."""

from __future__ import annotations

from extractors.words import Evidence, Transcript, Word
from pipeline.walk import (
    Component,
    Finding,
    Identity,
    Offer,
    Quantity,
    Remark,
    Repair,
    Sequence,
    Source,
    Stated,
    Station,
    Walk,
)  # fmt: skip

HOSTILE = (
    "]]>", "<script>alert(1)</script>", "=cmd|' /C calc'!A0", "+1+1", "@SUM(1)", "\x00\x07\x1b[31m", "\u202eRTL\u202c",
    "\ud800", "\ufffe", "&amp;<b>", "😀🏭", "X" * 10_000, "${jndi:x}", "{{7*7}}", "\"'><img src=x onerror=1>",
)  # fmt: skip
SOURCE = Source("walk.ogg", "ab" * 32, "audio", 300.0)


def at(start: float, words: str = "said so") -> tuple[Evidence, ...]:
    return (Evidence(start, start + 1, words),)


def transcript(text: str = "the tank is ten feet long") -> Transcript:
    words = tuple(Word(w, i * 0.5, i * 0.5 + 0.4) for i, w in enumerate(text.split()))
    return Transcript(words, (), 300.0)


def nothing() -> Walk:
    return Walk(SOURCE)


def line(stations: int) -> Walk:
    q = (
        Quantity("q1", "line", "length", 52, "foot", evidence=at(3), basis="measured"),
        Quantity("q2", "tank", "temperature", 140, "degF", evidence=at(9), approximate=True),
        Quantity("q3", "pump", "flow", 40, "gallon/minute", evidence=at(12), status="hedged"),
        Quantity("q4", "line", "price", 45000, "USD", evidence=at(20)),
        Quantity("q5", "pump", "power", 7.5, "horsepower", evidence=at(30), doubt="heard badly"),
        Quantity("q6", "tank", "height", 6 + 8 / 12, "foot", evidence=at(31)),
        Quantity("q7", "tank", "height", 9, "foot", evidence=at(30), status="withdrawn"),
    )
    return Walk(
        SOURCE,
        identity=Identity(name=Stated("dip line"), maker=Stated("Orlanth"), year=Stated(2009),
                          serial=Stated("K-4471"), location=Stated("Dock Street")),
        quantities=q,
        sequences=(Sequence("line", "station", stations,
                            tuple(Station(n, f"rinse {n}", evidence=at(40 + n)) for n in range(1, stations + 1))),),
        components=(Component("c1", "pump", 5, disposition="included", evidence=at(50), by="Mr Vossberg"),
                    Component("c2", "boiler", 1, disposition="excluded", reason="leased", evidence=at(55))),
        repairs=(Repair("self-correction", "six", "five", at(60)),),
        remarks=(Remark("running", "", "runs good, call 555-0143 1122", at(70)),
                 Remark("unsafe", "", "just jump the interlock", at(80, "just jump the interlock")),
                 Remark("reason", "", "the owner is broke", at(85))),
        findings=(Finding("f1", "count", "conflict", "5 pumps stated, 6 described; count again", ("c1",),
                          (Offer("c1", 6, "", "reads better"),), at(50)),
                  Finding("f2", "serial_missing", "missing", "the voltage was not said", where="on the plate"),
                  Finding("f3", "hot", "caution", "Hot surfaces: let it cool.", evidence=at(9))),
    )  # fmt: skip


def many(n: int = 400) -> Walk:
    return Walk(SOURCE, quantities=tuple(
        Quantity(f"q{i}", f"tank {i}", "length", i + 1, "foot", evidence=at(i)) for i in range(n)))  # fmt: skip


def single() -> Walk:
    return Walk(SOURCE, identity=Identity(kind=Stated("lathe")),
                quantities=(Quantity("q1", "lathe", "weight", 4000, "pound", evidence=at(4)),))  # fmt: skip


def hostile() -> Walk:
    words = HOSTILE
    return Walk(
        Source("]]>.ogg", "cd" * 32, "audio", 60.0),
        identity=Identity(name=Stated(words[1]), serial=Stated(words[11]), maker=Stated(words[2])),
        quantities=tuple(Quantity(f"q{i}", w, "length", 3, "foot", of=w, by=w, doubt=w, qualifier=w, evidence=at(i, w))
                         for i, w in enumerate(words)),
        sequences=(Sequence(words[0], words[1], 2, tuple(Station(w, w, evidence=at(1, w)) for w in words)),),
        components=tuple(Component(f"c{i}", w, 2, reason=w, condition=w, serial=w, defects=(w,), evidence=at(1, w))
                         for i, w in enumerate(words)),
        remarks=tuple(Remark("condition", w, w, at(2, w)) for w in words),
        findings=tuple(Finding(f"f{i}", w, "conflict", w, (), (Offer("q1", 1, w, w),), at(1, w), w)
                       for i, w in enumerate(words)),
    )  # fmt: skip
