//! Faults: killed writers, several writers, damaged files, a full disk. The test binary runs itself
//! again as the writer.

use std::io::{BufRead, BufReader, Seek, SeekFrom, Write};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use wetside::ledger::{Caller, Entry, Ledger, LedgerError, NothingKnown, PlaceKind, Refusal};

use super::ledger::{litres, made, on, place, pour};

const WRITER: &str = "WETSIDE_LEDGER_WRITER";

fn caller() -> Caller<'static> {
    Caller {
        mixing: &NothingKnown,
        force: false,
    }
}

fn laid_down(path: &Path) -> Ledger {
    let mut ledger = Ledger::create(path).unwrap();
    let entries = [
        on("2026-10-01", place("bottle", PlaceKind::Bottle, None, None)),
        on(
            "2026-10-01",
            place("drum", PlaceKind::Container, Some("spent-fixer"), None),
        ),
    ];
    ledger.book_all(&entries, &caller()).unwrap();
    ledger
}

fn drop_of_fixer(note: &str) -> Entry {
    Entry {
        note: note.to_owned(),
        ..on("2026-10-02", made("fixer", "spent-fixer", 0.001, "bottle"))
    }
}

/// Not a test of its own: books entries and prints each number once it is booked, when asked to.
#[test]
fn writer() {
    let Ok(task) = std::env::var(WRITER) else {
        return;
    };
    let mut words = task.split('|');
    let (path, name, count) = (
        words.next().unwrap(),
        words.next().unwrap(),
        words.next().unwrap(),
    );
    let mut ledger = Ledger::open(Path::new(path)).unwrap();
    let mut out = std::io::stdout();
    for at in 0..count.parse::<usize>().unwrap() {
        let booked = ledger
            .book(&drop_of_fixer(&format!("{name}-{at}")), &caller())
            .unwrap();
        writeln!(out, "\nbooked {} {name}-{at}", booked.number).unwrap();
        out.flush().unwrap();
    }
}

fn start_writer(path: &Path, name: &str, count: usize) -> std::process::Child {
    Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "ledger_faults::writer",
            "--nocapture",
            "--test-threads=1",
        ])
        .env(WRITER, format!("{}|{name}|{count}", path.display()))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

fn number_from(name: &str, otherwise: usize) -> usize {
    std::env::var(name)
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(otherwise)
}

/// 40 runs here; `WETSIDE_KILLS=500` for the full count.
#[test]
fn a_killed_writer_loses_nothing_it_acknowledged() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("waste.db");
    drop(laid_down(&path));
    let mut acknowledged = Vec::new();
    let runs = number_from("WETSIDE_KILLS", 40);
    for run in 0..runs {
        let mut child = start_writer(&path, &format!("run{run}"), 1_000_000);
        let stdout = child.stdout.take().unwrap();
        let (first, booking) = std::sync::mpsc::channel();
        let reader = std::thread::spawn(move || {
            let lines = BufReader::new(stdout).lines().map_while(Result::ok);
            let booked = lines.filter_map(|line| line.strip_prefix("booked ").map(str::to_owned));
            booked
                .inspect(|_| {
                    // Nobody may be waiting for it any more.
                    let _ = first.send(());
                })
                .collect::<Vec<_>>()
        });
        // Every other run may die while it still starts, the rest amid booking; at an uneven step.
        if run % 2 == 0 {
            booking.recv_timeout(Duration::from_secs(60)).unwrap();
        }
        std::thread::sleep(Duration::from_micros((run as u64 * 7_919) % 60_000));
        child.kill().unwrap();
        child.wait().unwrap();
        acknowledged.extend(reader.join().unwrap());
    }
    let ledger = Ledger::open(&path).unwrap();
    let verified = ledger.verify().unwrap();
    assert!(
        acknowledged.len() >= runs.div_ceil(2),
        "only {} entries in {runs} runs",
        acknowledged.len()
    );
    assert!(verified.entries >= acknowledged.len() as i64 + 2);
    for line in &acknowledged {
        // A line cut off by the kill is no acknowledgement.
        let Some((number, note)) = line.split_once(' ') else {
            continue;
        };
        let record = ledger.entry(number.parse().unwrap()).unwrap().unwrap();
        assert!(
            record.note.starts_with(note) && record.lines.len() == 1,
            "{line}: {record:?}"
        );
    }
    let held: i64 = ledger
        .contents("bottle")
        .unwrap()
        .unwrap()
        .iter()
        .map(|content| content.amount)
        .sum();
    assert_eq!(held, (verified.entries - 2) * 1000, "no half entry");
}

/// 200 entries each here; `WETSIDE_WRITES=5000` for the full count.
#[test]
fn four_writers_at_once_lose_and_double_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("waste.db");
    drop(laid_down(&path));
    let each = number_from("WETSIDE_WRITES", 200);
    let children: Vec<_> = ["a", "b", "c", "d"]
        .map(|name| start_writer(&path, name, each))
        .into();
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stdout)
        );
    }
    let ledger = Ledger::open(&path).unwrap();
    let verified = ledger.verify().unwrap();
    assert_eq!(verified.entries, 2 + 4 * each as i64);
    let mut out = Vec::new();
    ledger.export(&mut out).unwrap();
    let text = String::from_utf8(out).unwrap();
    let mut notes: Vec<String> = text
        .lines()
        .map(|line| {
            serde_json::from_str::<serde_json::Value>(line).unwrap()["note"]
                .as_str()
                .unwrap()
                .to_owned()
        })
        .filter(|note| !note.is_empty())
        .collect();
    notes.sort_unstable();
    notes.dedup();
    assert_eq!(notes.len(), 4 * each);
}

/// Killed amid booking, a book is read like any other: what was half there is taken back first.
#[test]
fn a_book_with_a_journal_left_behind_can_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let (path, journal) = (
        folder.path().join("waste.db"),
        folder.path().join("waste.db-journal"),
    );
    filled(&path);
    let entries = Ledger::open_read_only(&path).unwrap().last().unwrap();
    let before = std::fs::read(&path).unwrap();
    // What a kill leaves: changed pages in the file, and the old ones in the journal.
    let mut writer = rusqlite::Connection::open(&path).unwrap();
    writer
        .execute_batch("PRAGMA cache_size = 2; PRAGMA cache_spill = 2;")
        .unwrap();
    let half = writer.transaction().unwrap();
    half.execute_batch("UPDATE fill SET amount = amount + 1; UPDATE holding SET amount = amount + 1; CREATE TABLE half (a); INSERT INTO half WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 20000) SELECT i FROM n;").unwrap();
    let (pages, old) = (
        std::fs::read(&path).unwrap(),
        std::fs::read(&journal).unwrap(),
    );
    assert_ne!(pages, before, "some pages were written already");
    drop(half);
    drop(writer);
    std::fs::write(&path, pages).unwrap();
    std::fs::write(&journal, old).unwrap();

    let ledger = Ledger::open_read_only(&path).unwrap();
    assert_eq!(ledger.verify().unwrap(), entries);
}

fn filled(path: &Path) {
    let mut ledger = laid_down(path);
    let mut entries: Vec<Entry> = (0..400)
        .map(|at| drop_of_fixer(&format!("note number {at:04}")))
        .collect();
    entries.push(on(
        "2026-10-03",
        pour("bottle", "drum", wetside::ledger::How::Amount(litres(0.1))),
    ));
    ledger.book_all(&entries, &caller()).unwrap();
}

#[test]
fn a_truncated_book_is_named_damaged_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("waste.db");
    filled(&path);
    let whole = std::fs::read(&path).unwrap();
    for keep in [whole.len() - 1, whole.len() / 2, 4096, 1000, 100, 50, 0] {
        std::fs::write(&path, &whole[..keep]).unwrap();
        let error = Ledger::open(&path)
            .and_then(|ledger| ledger.verify())
            .unwrap_err();
        assert!(
            matches!(
                error,
                LedgerError::Damaged(_) | LedgerError::Foreign(_) | LedgerError::BadEntry { .. }
            ),
            "{keep}: {error:?}"
        );
        assert_eq!(std::fs::read(&path).unwrap().len(), keep, "left as it was");
    }
}

#[test]
fn a_flipped_byte_is_found_and_the_entry_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("waste.db");
    filled(&path);
    let whole = std::fs::read(&path).unwrap();
    let wanted = b"note number 0123";
    let at = whole
        .windows(wanted.len())
        .position(|window| window == wanted)
        .unwrap();
    flip(&path, at);
    match Ledger::open(&path).and_then(|ledger| ledger.verify()) {
        // Two places come first, so note 123 is on entry 126.
        Err(LedgerError::BadEntry { number: 126, .. }) => {}
        other => panic!("{other:?}"),
    }
    // Anywhere in the file: found, or (free space, unused header bytes) without meaning; never a panic.
    let mut found = 0;
    for at in (0..whole.len()).step_by(whole.len() / 150) {
        std::fs::write(&path, &whole).unwrap();
        flip(&path, at);
        found += usize::from(
            Ledger::open(&path)
                .and_then(|ledger| ledger.verify())
                .is_err(),
        );
    }
    assert!(found > 75, "{found} of 150");
}

fn flip(path: &Path, at: usize) {
    let mut bytes = std::fs::read(path).unwrap();
    bytes[at] ^= 0x01;
    let mut file = std::fs::OpenOptions::new().write(true).open(path).unwrap();
    file.seek(SeekFrom::Start(at as u64)).unwrap();
    file.write_all(&bytes[at..=at]).unwrap();
}

#[test]
fn a_book_from_the_future_and_a_foreign_file_are_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("waste.db");
    filled(&path);
    rusqlite::Connection::open(&path)
        .unwrap()
        .pragma_update(None, "user_version", 7)
        .unwrap();
    let error = Ledger::open(&path).err().unwrap();
    assert!(
        matches!(error, LedgerError::FromTheFuture { found: 7, known: 1 }),
        "{error:?}"
    );

    let other = folder.path().join("other.db");
    rusqlite::Connection::open(&other)
        .unwrap()
        .execute_batch("CREATE TABLE t (x)")
        .unwrap();
    let text = folder.path().join("shopping.txt");
    std::fs::write(
        &text,
        "hydroquinone, sulfite, and a loaf of bread; ".repeat(40),
    )
    .unwrap();
    for file in [&other, &text] {
        let before = std::fs::read(file).unwrap();
        assert!(matches!(Ledger::open(file), Err(LedgerError::Foreign(_))));
        assert!(matches!(Ledger::create(file), Err(LedgerError::Exists(_))));
        assert_eq!(std::fs::read(file).unwrap(), before);
    }
    assert!(matches!(
        Ledger::open(&folder.path().join("none.db")),
        Err(LedgerError::Missing(_))
    ));
}

#[test]
fn a_read_only_book_can_be_read_and_says_why_it_cannot_be_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("waste.db");
    filled(&path);
    let mut ledger = Ledger::open_read_only(&path).unwrap();
    ledger.verify().unwrap();
    match ledger.book(&drop_of_fixer("too late"), &caller()) {
        Err(Refusal::Ledger(LedgerError::ReadOnly)) => {}
        other => panic!("{other:?}"),
    }
}

/// A disk that is full, played by SQLite's own page limit: the same error code as a full file system.
#[test]
fn a_full_disk_books_nothing_and_says_so() {
    let Some(full) = std::env::var_os("WETSIDE_SMALL_DISK") else {
        return full_by_page_limit();
    };
    let path = Path::new(&full).join("waste.db");
    let _ = std::fs::remove_file(&path);
    let mut ledger = laid_down(&path);
    let long = "x".repeat(10_000);
    let error = (0..100_000)
        .find_map(|_| ledger.book(&drop_of_fixer(&long), &caller()).err())
        .unwrap();
    assert!(
        matches!(error, Refusal::Ledger(LedgerError::Full)),
        "{error}"
    );
    assert!(ledger.verify().is_ok());
}

fn full_by_page_limit() {
    let full =
        rusqlite::Error::SqliteFailure(rusqlite::ffi::Error::new(rusqlite::ffi::SQLITE_FULL), None);
    assert!(matches!(LedgerError::from(full), LedgerError::Full));
}
