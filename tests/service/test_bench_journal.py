"""The journal on the disk: torn and foreign lines, a full disk, two processes; what was saved is never lost."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from textwrap import dedent

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from handwheel.domain.errors import InputError
from handwheel.domain.events import Event, EventId, EventKind
from handwheel.domain.exact import Fraction
from handwheel.service.bench_journal import Journal, journal_path, read_journal
from handwheel.service.bench_lines import journal_in, line_of, torn_words
from handwheel.service.files import NotWrittenError

AT = "2026-11-30T08:00:00Z"
NOTE = Event(device="", counter=0, base=0, plan="p", kind=EventKind.NOTE, happened_at=AT, recorded_at=AT)
EXIT_REFUSED = 3


def note(text: str) -> Event:
    return replace(NOTE, text=text)


def written(path: Path, *texts: str, device: str = "bench") -> None:
    with Journal(path, device=device) as journal:
        for text in texts:
            journal.append(note(text))


def texts_in(path: Path) -> list[str]:
    return [event.text for event in read_journal(path).events if event.kind is EventKind.NOTE]


def test_what_is_appended_is_read_again_with_device_counter_and_base(tmp_path: Path) -> None:
    path = tmp_path / "j"
    written(path, "one", "two")
    written(path, "three", device="tablet")
    written(path, "four")
    events = read_journal(path).events
    assert [(event.device, event.counter, event.base) for event in events] == [
        ("bench", 1, 0),
        ("bench", 2, 1),
        ("tablet", 1, 2),
        ("bench", 3, 3),
    ]
    assert texts_in(path) == ["one", "two", "three", "four"]


def test_an_event_is_one_line_of_json_and_its_figure_exact() -> None:
    event = replace(NOTE, kind=EventKind.READING, value=Fraction(127, 640), device="b", counter=1, text="1/128 in")
    line = line_of(event)
    assert line.count(b"\n") == 1
    assert b'"value":"127/640"' in line
    assert journal_in(line, name="j").events == (event,)


@settings(max_examples=30, deadline=None)
@given(text=st.text(max_size=60), value=st.fractions(), counter=st.integers(1, 10**9))
def test_every_event_comes_back_as_it_was(text: str, value: Fraction, counter: int) -> None:
    if any("\ud800" <= letter <= "\udfff" for letter in text):
        return
    event = replace(NOTE, text=text, value=value, device="b", counter=counter)
    assert journal_in(line_of(event), name="j").events == (event,)


def test_a_journal_that_is_not_there_has_no_events(tmp_path: Path) -> None:
    assert read_journal(tmp_path / "j").events == ()
    assert not (tmp_path / "j").exists()


def test_a_line_broken_off_anywhere_is_told_kept_and_closed_off(tmp_path: Path) -> None:
    path = tmp_path / "j"
    written(path, "one", "two")
    content = path.read_bytes()
    first = content.index(b"\n") + 1
    for cut in range(first + 1, len(content) - 1):
        torn = tmp_path / f"torn-{cut}"
        torn.write_bytes(content[:cut])
        found = read_journal(torn)
        assert (len(found.events), found.torn) == (1, content[first:cut])
        written(torn, "three")
        assert torn.read_bytes().startswith(content[:cut] + b"\n")
        again = read_journal(torn)
        assert [event.kind for event in again.events] == [EventKind.NOTE, EventKind.TORN, EventKind.NOTE]
        assert (again.torn, texts_in(torn)) == (b"", ["one", "three"])


def test_a_last_line_that_lacks_nothing_but_its_end_counts(tmp_path: Path) -> None:
    path = tmp_path / "j"
    written(path, "one", "two")
    path.write_bytes(path.read_bytes()[:-1])
    found = read_journal(path)
    assert (len(found.events), found.open_end, found.torn) == (2, True, b"")
    written(path, "three")
    assert texts_in(path) == ["one", "two", "three"]
    assert path.read_bytes().count(b"\n") == 3


GOOD = line_of(replace(NOTE, device="bench", counter=1, text="one"))
SECOND = line_of(replace(NOTE, device="bench", counter=2, base=1, text="two"))


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"garbage\n" + GOOD, "j: line 1: is no event"),
        (GOOD + b"\n" + SECOND, "j: line 2: is no event"),
        (GOOD + b"\xff\xfe\n" + SECOND, "j: line 2: is no event"),
        (GOOD + b'{"device":1}\n' + SECOND, "j: line 2: is no event"),
        (GOOD + b"[" * 5000 + b"\n" + SECOND, "j: line 2: is no event"),
        (GOOD + GOOD, "j: line 2: event 1 of 'bench' is there twice"),
        (SECOND, "counter 2 or base 1 cannot be"),
        (line_of(replace(NOTE, device="b", counter=0)), "counter 0 or base 0 cannot be"),
        (
            line_of(replace(NOTE, device="b", counter=1, corrects=EventId(device="b", counter=9))),
            "corrects event 9 of 'b', which does not stand before it",
        ),
        (line_of(replace(NOTE, device="b", counter=1, happened_at="yesterday")), "'yesterday' is no time in UTC"),
        (
            line_of(replace(NOTE, device="b", counter=1, recorded_at="2026-11-30T08:00:00+01:00")),
            "is no time in UTC",
        ),
        (GOOD.replace(b'"kind"', b'"sort":1,"kind"') + SECOND, "j: line 1: is no event"),
    ],
)
def test_what_is_no_journal_is_refused_by_its_line_and_stays_as_it_is(content: bytes, why: str, tmp_path: Path) -> None:
    path = tmp_path / "j"
    path.write_bytes(content)
    with pytest.raises(InputError) as told:
        written(path, "more")
    assert why in str(told.value)
    assert "nothing was changed; mend that line, or keep the file under another name" in str(told.value)
    assert path.read_bytes() == content


def test_a_line_is_taken_as_torn_only_if_the_event_behind_it_says_so_of_these_very_bytes() -> None:
    def closing(torn: bytes) -> bytes:
        return line_of(replace(NOTE, kind=EventKind.TORN, device="bench", counter=2, base=1, text=torn_words(torn)))

    assert len(journal_in(GOOD + b"torn\n" + closing(b"torn"), name="j").events) == 2
    with pytest.raises(InputError, match="line 2: is no event"):
        journal_in(GOOD + b"tore\n" + closing(b"torn"), name="j")


def test_many_faults_are_counted(tmp_path: Path) -> None:
    (tmp_path / "j").write_bytes(b"x\n" * 50 + GOOD)
    with pytest.raises(InputError, match="j: and 30 more"):
        read_journal(tmp_path / "j")


@pytest.mark.parametrize("of_bytes", [0, 1, 60, 150, 10_000])
def test_a_full_disk_keeps_what_was_saved_and_does_not_count_the_rest(of_bytes: int, tmp_path: Path) -> None:
    """The system itself refuses to let the file grow by more than so many bytes; later there is room again."""
    pytest.importorskip("resource", reason="only some systems bound the size of a file")
    path = tmp_path / "j"
    written(path, "one")
    program = dedent(f"""\
        import resource, sys
        from pathlib import Path
        from handwheel.service.files import NotWrittenError
        from tests.service.test_bench_journal import Journal, note
        path = Path(sys.argv[1])
        with Journal(path, device="bench") as journal:
            most = path.stat().st_size + {of_bytes}
            soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
            saved = 0
            try:
                for number in range(3):
                    journal.append(note("two"))
                    saved += 1
            except NotWrittenError as error:
                print(error)
            assert len(journal.events) == 1 + saved
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
            print(saved)
            journal.append(note("three"))
        """)
    done = subprocess.run((sys.executable, "-c", program, str(path)), check=True, capture_output=True, text=True)
    *told, saved = done.stdout.splitlines()
    assert texts_in(path) == ["one", *["two"] * int(saved), "three"]
    if of_bytes < 10_000:
        assert len(told) == 1
        assert "not saved (File too large); what was saved stays, this does not count as done" in told[0]


def test_a_file_that_another_program_changed_or_moved_is_not_written_to(tmp_path: Path) -> None:
    path = tmp_path / "j"
    with Journal(path, device="bench") as journal:
        journal.append(note("one"))
        with path.open("ab") as other:
            other.write(b"x")
        with pytest.raises(NotWrittenError, match="another program has changed the file"):
            journal.append(note("two"))
        path.write_bytes(path.read_bytes()[:-1])
        journal.append(note("three"))
        path.rename(tmp_path / "elsewhere")
        with pytest.raises(NotWrittenError, match="the file was moved or replaced"):
            journal.append(note("four"))
    assert texts_in(tmp_path / "elsewhere") == ["one", "three"]


def test_after_a_disk_that_did_not_answer_nothing_more_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "j"

    def no_answer(_handle: int) -> None:
        raise OSError(5, "Input/output error")

    with Journal(path, device="bench") as journal:
        with monkeypatch.context() as patched:
            patched.setattr(os, "fsync", no_answer)
            with pytest.raises(NotWrittenError, match=r"not saved \(Input/output error\)"):
                journal.append(note("one"))
        assert journal.events == ()
        with pytest.raises(NotWrittenError, match="start again"):
            journal.append(note("two"))


def test_a_second_process_is_told_that_another_one_walks_here(tmp_path: Path) -> None:
    path = tmp_path / "j"
    program = dedent(f"""\
        import sys
        from pathlib import Path
        from handwheel.domain.errors import InputError
        from tests.service.test_bench_journal import written
        try:
            written(Path(sys.argv[1]), "mine")
        except InputError as error:
            print(error)
            sys.exit({EXIT_REFUSED})
        """)
    run = (sys.executable, "-c", program, str(path))
    with Journal(path, device="bench") as journal:
        journal.append(note("one"))
        other = subprocess.run(run, check=False, capture_output=True, text=True)
        assert other.returncode == EXIT_REFUSED, other.stderr
        assert "another handwheel walks through this plan now" in other.stdout
        assert texts_in(path) == ["one"]  # to look is allowed
        journal.append(note("two"))
    assert subprocess.run(run, check=False, capture_output=True).returncode == 0
    assert texts_in(path) == ["one", "two", "mine"]


@pytest.mark.parametrize("what", ["folder", "no folder", "device"])
def test_what_is_no_file_to_write_in_is_told(what: str, tmp_path: Path) -> None:
    path = {"folder": tmp_path, "no folder": tmp_path / "none" / "j", "device": Path(os.devnull)}[what]
    with pytest.raises((InputError, NotWrittenError), match=r"is no file|not opened"):
        written(path, "one")


def test_a_journal_is_named_for_its_plan_and_its_piece(tmp_path: Path) -> None:
    assert journal_path(tmp_path / "bush.json", 3) == tmp_path / "bush.piece-3.bench.jsonl"
