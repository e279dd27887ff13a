//! How the ledger scales: `cargo bench --bench ledger [-- ENTRIES]`.
//!
//! Books 10 000, 100 000 and 1 000 000 entries, then states the cost of one more entry, of a warm
//! tally, of summing the same transfers by hand-written SQL in the `sqlite3` program, and of the
//! plain-text accounting program `ledger` balancing the first 100 000 of them, where these are
//! installed.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use chrono::{Days, NaiveDate};
use wetside::catalogue::DataFiles;
use wetside::ledger::{
    Action, Amount, Caller, Entry, How, Ledger, NewPlace, NothingKnown, PlaceKind, SilverTable,
    Solution, TallyRules, Unit,
};
use wetside::units::{Area, Volume};
use wetside::waste::{Holder, RulePack};

/// With the tray, 25 places: the first round begins at an entry divisible by five.
const DRUMS: usize = 24;
const BATCH: usize = 10_000;

fn main() {
    let most = std::env::args()
        .filter_map(|word| word.parse().ok())
        .next()
        .unwrap_or(1_000_000);
    let folder = tempfile::tempdir().expect("a folder for the bench");
    let path = folder.path().join("waste.db");
    let mut ledger = Ledger::create(&path).expect("a new book");
    let mut booked = lay_down(&mut ledger);
    println!(
        "entries    µs/entry in bulk   ms for one more   ms tally (warm)   ms sqlite3 sum   file MB"
    );
    for size in [10_000, 100_000, 1_000_000]
        .into_iter()
        .filter(|size| *size <= most)
    {
        let started = Instant::now();
        let before = booked;
        while booked < size {
            let count = BATCH.min(size - booked);
            let entries: Vec<Entry> = (booked..booked + count).map(entry).collect();
            ledger.book_all(&entries, &caller()).expect("booked");
            booked += count;
        }
        let bulk = started.elapsed().as_secs_f64() * 1e6 / (booked - before) as f64;
        let one_more = best_of(9, || {
            ledger.book(&entry(booked), &caller()).expect("booked");
            booked += 1;
        });
        let tally = tally_time(&ledger, booked);
        let sum = sqlite_time(&path);
        let megabytes = std::fs::metadata(&path).map_or(0.0, |file| file.len() as f64 / 1e6);
        println!(
            "{booked:>9} {bulk:>15.1} {:>17.2} {:>17.2} {:>16} {megabytes:>9.0}",
            ms(one_more),
            ms(tally),
            sum.map_or("–".into(), |sum| format!("{:.0}", ms(sum)))
        );
    }
    let started = Instant::now();
    let verified = ledger.verify().expect("verifies");
    println!(
        "verify: {} entries in {:.1} s",
        verified.entries,
        started.elapsed().as_secs_f64()
    );
    plain_text(&folder.path().join("waste.journal"), 100_000);
}

fn caller() -> Caller<'static> {
    Caller {
        mixing: &NothingKnown,
        force: false,
    }
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1e3
}

fn best_of(runs: usize, mut run: impl FnMut()) -> Duration {
    let times = (0..runs).map(|_| {
        let started = Instant::now();
        run();
        started.elapsed()
    });
    times.min().unwrap_or_default()
}

fn drum(at: usize) -> String {
    format!("drum {}", at % DRUMS)
}

fn lay_down(ledger: &mut Ledger) -> usize {
    let place = |name: String, kind, stream: Option<&str>| Entry {
        action: Action::AddPlace(NewPlace {
            name,
            kind,
            stream: stream.map(str::to_owned),
            unit: Unit::Microlitre,
            capacity: None,
        }),
        ..entry(0)
    };
    let mut entries = vec![place("tray".into(), PlaceKind::Tray, None)];
    entries.extend((0..DRUMS).map(|at| place(drum(at), PlaceKind::Container, Some("spent-fixer"))));
    ledger.book_all(&entries, &caller()).expect("booked");
    entries.len()
}

/// A day's round: mixed, used, poured away, collected, some film; thirty entries a day.
fn entry(at: usize) -> Entry {
    let amount = |millilitres: usize| {
        Amount::volume(Volume::from_millilitres(millilitres as f64).expect("a volume"))
    };
    let start = NaiveDate::from_ymd_opt(2026, 1, 1).expect("a day");
    let action = match at % 5 {
        0 => Action::Made {
            what: Solution::new("fixer", "spent-fixer"),
            amount: amount(1000),
            into: Some("tray".into()),
        },
        1 => Action::Film {
            bath: "tray".into(),
            area: Area::from_m2(0.05).expect("an area"),
            material: "paper".into(),
        },
        2 => Action::Pour {
            from: "tray".into(),
            to: drum(at / 5),
            how: How::Amount(amount(900)),
        },
        3 => Action::CarriedOver {
            from: "tray".into(),
            how: How::Amount(amount(25)),
        },
        _ => Action::Collected {
            from: drum(at / 5),
            how: How::Amount(amount(500)),
            receipt: "N 1".into(),
            carrier: "harbour".into(),
        },
    };
    Entry {
        day: start
            .checked_add_days(Days::new(at as u64 / 30))
            .unwrap_or(start),
        who: "Ilse".into(),
        note: String::new(),
        session: String::new(),
        action,
    }
}

fn tally_time(ledger: &Ledger, booked: usize) -> Duration {
    let files = DataFiles::embedded();
    let pack = RulePack::load(&files, "us").expect("the rules");
    let silver = SilverTable::load(&files).expect("the silver table");
    let rules = TallyRules {
        pack: &pack,
        holder: Holder::Business,
        nation: None,
        silver: &silver,
    };
    let day = entry(booked).day;
    best_of(5, || {
        ledger
            .tally(day, &day.to_string()[..7], &rules)
            .expect("a tally");
    })
}

/// The balances by hand-written SQL over the same table, in the `sqlite3` program.
fn sqlite_time(path: &Path) -> Option<Duration> {
    let sql = "SELECT place, sum(amount) FROM (SELECT destination AS place, amount FROM transfer
               UNION ALL SELECT source, -amount FROM transfer) GROUP BY place";
    let run = || {
        Command::new("sqlite3")
            .arg("-readonly")
            .arg(path)
            .arg(sql)
            .output()
            .ok()
            .filter(|output| output.status.success())
    };
    run()?;
    Some(best_of(3, || {
        run();
    }))
}

fn plain_text(path: &Path, transfers: usize) {
    let mut text = String::new();
    let moving = (0..)
        .map(entry)
        .filter(|entry| !matches!(entry.action, Action::Film { .. }));
    for entry in moving.take(transfers) {
        let (from, to, millilitres) = match &entry.action {
            Action::Made { .. } => ("mixed".to_owned(), "tray".to_owned(), 1000),
            Action::Pour { to, .. } => ("tray".to_owned(), to.clone(), 900),
            Action::CarriedOver { .. } => ("tray".to_owned(), "carried over".to_owned(), 25),
            Action::Collected { from, .. } => (from.clone(), "collected".to_owned(), 500),
            _ => continue,
        };
        let _ = write!(
            text,
            "{} entry\n  {to}  {millilitres} mL\n  {from}\n\n",
            entry.day.format("%Y/%m/%d")
        );
    }
    if std::fs::write(path, text).is_err() {
        return;
    }
    let run = || {
        Command::new("ledger")
            .arg("-f")
            .arg(path)
            .arg("balance")
            .output()
            .ok()
            .filter(|output| output.status.success())
    };
    match run() {
        None => println!("the program `ledger` is not installed here"),
        Some(_) => {
            let time = best_of(3, || {
                run();
            });
            println!(
                "`ledger balance` of {transfers} transfers: {:.0} ms",
                ms(time)
            );
        }
    }
}
