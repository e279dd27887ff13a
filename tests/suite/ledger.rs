//! The book: what is refused, what is kept, what comes back.

use chrono::NaiveDate;
use tempfile::TempDir;
use wetside::catalogue::DataFiles;
use wetside::finding::{Finding, Severity, Subject};
use wetside::ledger::{
    Action, Amount, Booked, Caller, Content, Entry, How, Ledger, LedgerError, Mixing, NewPlace,
    NothingKnown, PlaceKind, Refusal, SilverTable, Solution, TallyRules, Unit,
};
use wetside::units::{Area, Volume};
use wetside::waste::{Holder, RulePack};

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn litres(value: f64) -> Amount {
    Amount::volume(Volume::from_litres(value).unwrap())
}

pub fn on(when: &str, action: Action) -> Entry {
    Entry {
        day: day(when),
        who: "Ilse".into(),
        note: String::new(),
        session: String::new(),
        action,
    }
}

pub fn place(name: &str, kind: PlaceKind, stream: Option<&str>, capacity: Option<f64>) -> Action {
    Action::AddPlace(NewPlace {
        name: name.into(),
        kind,
        stream: stream.map(str::to_owned),
        unit: Unit::Microlitre,
        capacity: capacity.map(|value| litres(value).count),
    })
}

pub fn made(what: &str, stream: &str, amount: f64, into: &str) -> Action {
    Action::Made {
        what: Solution::new(what, stream),
        amount: litres(amount),
        into: Some(into.into()),
    }
}

pub fn pour(from: &str, to: &str, how: How) -> Action {
    Action::Pour {
        from: from.into(),
        to: to.into(),
        how,
    }
}

/// Knows one thing: an acid must not meet a sulfide.
struct AcidOnSulfide;

impl Mixing for AcidOnSulfide {
    fn meet(&self, place: &str, held: &[Content], incoming: &[Content]) -> Vec<Finding> {
        let any =
            |list: &[Content], stream: &str| list.iter().any(|content| content.stream == stream);
        if any(held, "sulfide-toner") && any(incoming, "spent-stop") {
            vec![Finding::new(
                "reaction/acid-on-sulfide",
                Severity::Stop,
                Subject::Solution(place.into()),
            )]
        } else {
            Vec::new()
        }
    }
}

struct Bench {
    folder: TempDir,
    ledger: Ledger,
}

impl Bench {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut ledger = Ledger::create(&folder.path().join("waste.db")).unwrap();
        let entries: Vec<Entry> = [
            place("bottle", PlaceKind::Bottle, None, Some(2.0)),
            place("tray", PlaceKind::Tray, None, Some(3.0)),
            place(
                "fixer drum",
                PlaceKind::Container,
                Some("spent-fixer"),
                Some(20.0),
            ),
            place(
                "developer drum",
                PlaceKind::Container,
                Some("spent-developer"),
                Some(10.0),
            ),
            place("old jar", PlaceKind::Container, Some("unknown"), Some(5.0)),
        ]
        .into_iter()
        .map(|action| on("2026-10-01", action))
        .collect();
        ledger
            .book_all(
                &entries,
                &Caller {
                    mixing: &NothingKnown,
                    force: false,
                },
            )
            .unwrap();
        Self { folder, ledger }
    }

    fn path(&self) -> std::path::PathBuf {
        self.folder.path().join("waste.db")
    }

    fn try_book(&mut self, when: &str, action: Action, force: bool) -> Result<Booked, Refusal> {
        self.ledger.book(
            &on(when, action),
            &Caller {
                mixing: &AcidOnSulfide,
                force,
            },
        )
    }

    fn book(&mut self, when: &str, action: Action) -> Booked {
        self.try_book(when, action, false).unwrap()
    }

    fn refused(&mut self, action: Action) -> Vec<String> {
        let before = self.ledger.last().unwrap();
        let codes = match self.try_book("2026-10-03", action, false) {
            Err(Refusal::Findings(findings)) => {
                findings.iter().map(|f| f.code.to_string()).collect()
            }
            Err(Refusal::Nonsense(finding)) => vec![finding.code.to_string()],
            other => panic!("{other:?}"),
        };
        assert_eq!(
            self.ledger.last().unwrap(),
            before,
            "a refusal books nothing"
        );
        codes
    }

    fn held(&self, name: &str) -> i64 {
        self.ledger
            .contents(name)
            .unwrap()
            .unwrap()
            .iter()
            .map(|content| content.amount)
            .sum()
    }
}

#[test]
fn a_bath_goes_from_bottle_to_tray_to_drum_to_the_collector() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    bench.book("2026-10-02", pour("bottle", "tray", How::Left(litres(0.5))));
    assert_eq!(
        (bench.held("bottle"), bench.held("tray")),
        (500_000, 1_500_000)
    );
    bench.book(
        "2026-10-02",
        Action::CarriedOver {
            from: "tray".into(),
            how: How::Amount(litres(0.025)),
        },
    );
    bench.book("2026-10-03", pour("tray", "fixer drum", How::All));
    assert_eq!(bench.held("fixer drum"), 1_475_000);
    bench.book(
        "2026-11-03",
        Action::Collected {
            from: "fixer drum".into(),
            how: How::All,
            receipt: "N 17".into(),
            carrier: "harbour carrier".into(),
        },
    );
    assert_eq!(bench.held("fixer drum"), 0);
    let entries = bench
        .ledger
        .entries(day("2026-11-01"), day("2026-11-30"))
        .unwrap();
    assert!(entries[0].details.contains("N 17"));
    assert_eq!(bench.ledger.verify().unwrap().entries, 10);
}

#[test]
fn what_must_not_be_is_refused_with_the_reason() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    assert_eq!(
        bench.refused(made("fixer", "spent-fixer", 0.1, "bottle")),
        ["ledger/overfill"]
    );
    assert_eq!(
        bench.refused(pour("bottle", "developer drum", How::All)),
        ["ledger/wrong-stream"]
    );
    assert_eq!(
        bench.refused(pour("bottle", "tray", How::Amount(litres(2.5)))),
        ["ledger/below-zero"]
    );
    assert_eq!(
        bench.refused(pour("bottle", "moon", How::All)),
        ["ledger/no-such-place"]
    );
    assert_eq!(
        bench.refused(pour("tray", "fixer drum", How::All)),
        ["ledger/nothing-moves"]
    );
    assert_eq!(
        bench.refused(pour("bottle", "bottle", How::All)),
        ["ledger/same-place"]
    );
    assert_eq!(
        bench.refused(pour("collected", "bottle", How::All)),
        ["ledger/not-in-the-room"]
    );
    assert_eq!(
        bench.refused(Action::Undo { number: 99 }),
        ["ledger/no-such-entry"]
    );
    assert_eq!(
        bench.refused(place("tray", PlaceKind::Tray, None, None)),
        ["ledger/name-taken"]
    );
    assert_eq!(
        bench.refused(place("drum", PlaceKind::Container, None, None)),
        ["ledger/not-a-place"]
    );
}

#[test]
fn a_day_out_of_reach_is_refused() {
    let mut bench = Bench::new();
    let far = NaiveDate::from_ymd_opt(12026, 1, 1).unwrap();
    let entry = Entry {
        day: far,
        ..on("2026-10-02", made("fixer", "spent-fixer", 1.0, "bottle"))
    };
    let caller = Caller {
        mixing: &NothingKnown,
        force: true,
    };
    assert!(matches!(
        bench.ledger.book(&entry, &caller),
        Err(Refusal::Nonsense(_))
    ));
}

#[test]
fn what_must_not_meet_is_asked_on_every_pour_and_an_unwashed_jar_remembers() {
    let mut bench = Bench::new();
    bench.book(
        "2026-10-02",
        made("sulfide toner", "sulfide-toner", 1.0, "tray"),
    );
    bench.book("2026-10-02", made("stop bath", "spent-stop", 1.0, "bottle"));
    assert_eq!(
        bench.refused(pour("bottle", "tray", How::All)),
        ["reaction/acid-on-sulfide"]
    );
    bench.book(
        "2026-10-02",
        Action::Spill {
            from: "tray".into(),
            how: How::All,
        },
    );
    assert_eq!(
        bench.refused(pour("bottle", "tray", How::All)),
        ["reaction/acid-on-sulfide"],
        "the tray was not washed"
    );
}

#[test]
fn force_books_with_the_finding_attached_and_creates_nothing_out_of_nothing() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    let booked = bench
        .try_book(
            "2026-10-03",
            pour("bottle", "developer drum", How::Amount(litres(3.0))),
            true,
        )
        .unwrap();
    let codes: Vec<String> = booked
        .findings
        .iter()
        .map(|finding| finding.code.to_string())
        .collect();
    assert_eq!(codes, ["ledger/below-zero", "ledger/wrong-stream"]);
    let record = bench.ledger.entry(booked.number).unwrap().unwrap();
    assert!(record.details.contains("ledger/wrong-stream"));
    assert_eq!(
        (
            bench.held("bottle"),
            bench.held("developer drum"),
            bench.held("unaccounted")
        ),
        (0, 3_000_000, -1_000_000)
    );
    bench.book(
        "2026-10-03",
        Action::Undo {
            number: booked.number,
        },
    );
    assert_eq!(
        (
            bench.held("bottle"),
            bench.held("developer drum"),
            bench.held("unaccounted")
        ),
        (2_000_000, 0, 0)
    );
    bench.ledger.verify().unwrap();
}

#[test]
fn a_mistake_is_taken_back_once_and_both_halves_stay() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    let wrong = bench.book(
        "2026-10-02",
        pour("bottle", "fixer drum", How::Amount(litres(1.5))),
    );
    let right = bench.book(
        "2026-10-05",
        Action::Correct {
            number: wrong.number,
            amount: litres(0.5),
        },
    );
    assert_eq!(
        (bench.held("bottle"), bench.held("fixer drum")),
        (1_500_000, 500_000)
    );
    assert_eq!(
        bench.refused(Action::Undo {
            number: wrong.number
        }),
        ["ledger/undone-already"]
    );
    let taken_back = bench.ledger.entry(right.number - 1).unwrap().unwrap();
    assert_eq!(
        (taken_back.kind.as_str(), taken_back.reverses),
        ("undo", Some(wrong.number))
    );
    let again = bench.ledger.entry(right.number).unwrap().unwrap();
    assert_eq!(
        (again.kind.as_str(), again.day.as_str()),
        ("pour", "2026-10-02")
    );
    // An undo can be undone in turn.
    bench.book(
        "2026-10-06",
        Action::Undo {
            number: right.number,
        },
    );
    let redo = bench.ledger.last().unwrap().entries;
    bench.book("2026-10-06", Action::Undo { number: redo });
    assert_eq!(
        (bench.held("bottle"), bench.held("fixer drum")),
        (1_500_000, 500_000)
    );
    bench.ledger.verify().unwrap();
}

#[test]
fn undoing_gives_back_what_was_poured_even_from_a_mixed_drum() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    let first = bench.book("2026-10-02", pour("bottle", "fixer drum", How::All));
    bench.book(
        "2026-10-02",
        made("rapid fixer", "spent-fixer", 2.0, "tray"),
    );
    bench.book("2026-10-02", pour("tray", "fixer drum", How::All));
    bench.book(
        "2026-10-03",
        Action::Undo {
            number: first.number,
        },
    );
    let back = bench.ledger.contents("bottle").unwrap().unwrap();
    assert_eq!(
        (back[0].name.as_str(), back[0].amount),
        ("fixer", 2_000_000)
    );
}

#[test]
fn a_count_books_the_difference_and_the_tally_names_it() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    bench.book("2026-10-02", pour("bottle", "fixer drum", How::All));
    bench.book(
        "2026-10-09",
        Action::Count {
            place: "fixer drum".into(),
            level: litres(1.8),
        },
    );
    assert_eq!(bench.held("fixer drum"), 1_800_000);
    let tally = tally(&bench.ledger, "2026-10-09");
    assert!((tally.unaccounted_l - 0.2).abs() < 1e-9);
    assert!(
        tally
            .findings
            .iter()
            .any(|finding| finding.code.as_str() == "ledger/unaccounted")
    );
    // Made without a place: nowhere from the start.
    bench.book(
        "2026-10-10",
        Action::Made {
            what: Solution::new("stop", "spent-stop"),
            amount: litres(1.0),
            into: None,
        },
    );
    assert!((self::tally(&bench.ledger, "2026-10-10").unaccounted_l - 1.2).abs() < 1e-9);
}

fn tally(ledger: &Ledger, as_of: &str) -> wetside::ledger::Tally {
    let files = DataFiles::embedded();
    let pack = RulePack::load(&files, "us").unwrap();
    let silver = SilverTable::load(&files).unwrap();
    let rules = TallyRules {
        pack: &pack,
        holder: Holder::Business,
        nation: None,
        silver: &silver,
    };
    ledger.tally(day(as_of), &as_of[..7], &rules).unwrap()
}

#[test]
fn the_tally_keeps_its_promise() {
    let mut bench = Bench::new();
    let mut keeps = Solution::new("fixer", "spent-fixer");
    (keeps.keeps_days, keeps.mm2_per_l) = (30, 1_000_000);
    bench.book(
        "2026-10-02",
        Action::Made {
            what: keeps,
            amount: litres(2.0),
            into: Some("bottle".into()),
        },
    );
    bench.book(
        "2026-10-02",
        pour("bottle", "tray", How::Amount(litres(1.0))),
    );
    bench.book(
        "2026-10-02",
        Action::Film {
            bath: "tray".into(),
            area: Area::from_m2(1.2).unwrap(),
            material: "paper".into(),
        },
    );
    bench.book(
        "2026-11-12",
        pour("tray", "fixer drum", How::Amount(litres(0.5))),
    );
    let tally = tally(&bench.ledger, "2026-12-02");
    let drum = &tally.containers[0];
    // Half a litre in 20 days: the other 19.5 L take 780 days.
    assert_eq!(
        (drum.held, drum.days, drum.full_on),
        (0.5, Some(20), Some(day("2029-01-20")))
    );
    // 0.5 L at no more than 1.25 kg/L, in November; nothing in December.
    assert_eq!(
        (
            tally.month.kg,
            tally.month.generator.as_deref(),
            tally.month.limit_kg
        ),
        (0.0, Some("VSQG"), Some(100.0))
    );
    let fixer = tally
        .streams
        .iter()
        .find(|line| line.stream == "spent-fixer")
        .unwrap();
    assert_eq!((fixer.made, fixer.held, fixer.collected), (2.0, 2.0, 0.0));
    let codes: Vec<&str> = tally
        .findings
        .iter()
        .map(|finding| finding.code.as_str())
        .collect();
    assert!(
        codes.contains(&"ledger/past-keeping-time") && codes.contains(&"ledger/exhausted"),
        "{codes:?}"
    );
    // 0.5 L of waste at 160 mg/L at least, 2 L in all at 12 000 mg/L at most: of a bath in use nobody
    // knows that it holds any. 1.2 m² at 0.5 to 3.2 g/m², half to all of it dissolved.
    assert!(
        (tally.silver.held_g.0 - 0.08).abs() < 1e-9 && (tally.silver.held_g.1 - 24.0).abs() < 1e-9
    );
    assert!(
        (tally.silver.by_area_g.0 - 0.3).abs() < 1e-9
            && (tally.silver.by_area_g.1 - 3.84).abs() < 1e-9
    );
    let json = tally.to_json(&|finding| finding.code.as_str().into(), &|origin| {
        origin.to_string()
    });
    for key in [
        "as_of",
        "containers",
        "streams",
        "month",
        "unaccounted_l",
        "findings",
    ] {
        assert!(!json[key].is_null(), "{key}");
    }
    assert_eq!(json["containers"][0]["capacity_l"], 20.0);
}

#[test]
fn an_earlier_day_is_told_as_it_was() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    bench.book("2026-11-02", pour("bottle", "fixer drum", How::All));
    // Booked late, for a day before: it counts on its day.
    bench.book("2026-10-20", made("fixer", "spent-fixer", 1.0, "tray"));
    bench.book("2026-10-20", pour("tray", "fixer drum", How::All));
    let then = tally(&bench.ledger, "2026-10-31");
    assert_eq!((then.containers[0].held, then.month.kg), (1.0, 1.25));
    let now = tally(&bench.ledger, "2026-11-30");
    assert_eq!(
        (now.containers[0].held, now.containers[0].since),
        (3.0, Some(day("2026-10-20")))
    );
}

#[test]
fn old_stock_of_unknown_contents_is_booked_as_unknown() {
    let mut bench = Bench::new();
    let unknown = Solution::new("unlabelled jar", "unknown");
    bench.book(
        "2026-10-02",
        Action::Start {
            what: unknown,
            amount: litres(2.0),
            into: "old jar".into(),
        },
    );
    let tally = tally(&bench.ledger, "2026-10-03");
    assert!(
        tally
            .findings
            .iter()
            .any(|finding| finding.code.as_str() == "ledger/unknown-contents")
    );
    assert!(
        tally.month.kg > 2.0,
        "counted as hazardous, at the heavier end"
    );
}

#[test]
fn training_is_kept_and_taken_back_without_being_lost() {
    let mut bench = Bench::new();
    let trained = Action::Trained {
        person: "Jonas".into(),
        by: "Ilse".into(),
        chemicals: vec!["metol".into(), "acetic acid".into()],
    };
    let booked = bench.book("2026-10-02", trained);
    bench.book(
        "2026-10-03",
        Action::Undo {
            number: booked.number,
        },
    );
    let trainings = bench.ledger.trainings().unwrap();
    assert_eq!(
        (
            trainings.len(),
            trainings[0].undone,
            trainings[0].chemicals.len()
        ),
        (1, true, 2)
    );
    bench.ledger.verify().unwrap();
}

#[test]
fn an_export_comes_back_to_the_same_hashes_and_a_changed_line_does_not() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    bench.book(
        "2026-10-02",
        Action::Film {
            bath: "bottle".into(),
            area: Area::from_m2(0.5).unwrap(),
            material: "film".into(),
        },
    );
    bench.book(
        "2026-10-02",
        Action::Trained {
            person: "Jonas".into(),
            by: "Ilse".into(),
            chemicals: vec!["metol".into()],
        },
    );
    let poured = bench.book(
        "2026-10-02",
        pour("bottle", "fixer drum", How::Amount(litres(1.234567))),
    );
    bench.book(
        "2026-11-01",
        Action::Undo {
            number: poured.number,
        },
    );
    let mut out = Vec::new();
    assert_eq!(bench.ledger.export(&mut out).unwrap(), 10);

    let copy = bench.folder.path().join("copy.db");
    let imported = Ledger::import(&copy, &mut out.as_slice()).unwrap();
    assert_eq!(imported.verify().unwrap(), bench.ledger.verify().unwrap());
    let mut again = Vec::new();
    imported.export(&mut again).unwrap();
    assert_eq!(again, out);

    let changed = String::from_utf8(out)
        .unwrap()
        .replace("1234567", "1234568");
    let bad = bench.folder.path().join("bad.db");
    let error = Ledger::import(&bad, &mut changed.as_bytes()).err().unwrap();
    assert!(
        matches!(error, LedgerError::Import { line: 9, .. }),
        "{error}"
    );
    assert!(!bad.exists(), "nothing is left behind");
}

#[test]
fn entries_cannot_be_changed_by_any_statement() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    // As this program opens it: recursive triggers are on.
    let raw = rusqlite::Connection::open(bench.path()).unwrap();
    raw.execute_batch("PRAGMA recursive_triggers = ON").unwrap();
    for sql in [
        "UPDATE entry SET note = 'x' WHERE number = 6",
        "DELETE FROM entry WHERE number = 6",
        "INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE number = 6",
        "UPDATE transfer SET amount = 1",
        "DELETE FROM transfer",
        "INSERT OR REPLACE INTO transfer SELECT * FROM transfer",
        "UPDATE place SET capacity = 1",
        "DELETE FROM training",
        "INSERT INTO entry SELECT 99, kind, day, who, note, session, NULL, details, hash FROM entry WHERE number = 6",
    ] {
        let result = raw.execute_batch(sql);
        assert!(result.is_err() || sql.contains("training"), "{sql}");
    }
    bench.ledger.verify().unwrap();
}

#[test]
fn an_entry_changed_behind_the_triggers_is_named() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 2.0, "bottle"));
    bench.book("2026-10-03", pour("bottle", "tray", How::All));
    let raw = rusqlite::Connection::open(bench.path()).unwrap();
    raw.execute_batch(
        "DROP TRIGGER transfer_stays; UPDATE transfer SET amount = 1000000 WHERE entry = 6",
    )
    .unwrap();
    match bench.ledger.verify() {
        Err(LedgerError::BadEntry { number: 6, .. }) => {}
        other => panic!("{other:?}"),
    }
    raw.execute_batch("UPDATE transfer SET amount = 2000000 WHERE entry = 6; UPDATE fill SET amount = 1 WHERE place = 9").unwrap();
    let error = bench.ledger.verify().unwrap_err().to_string();
    assert!(error.contains("tray"), "{error}");
}

/// Directive 2008/98/EC Article 18: fixer into the developer jug.
#[test]
fn fixer_does_not_go_into_the_developer_jug() {
    let mut bench = Bench::new();
    bench.book("2026-10-02", made("fixer", "spent-fixer", 1.0, "bottle"));
    assert_eq!(
        bench.refused(pour("bottle", "developer drum", How::All)),
        ["ledger/wrong-stream"]
    );
}
