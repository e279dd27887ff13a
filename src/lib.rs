//! The safety and waste clerk for people who mix photographic processing solutions.
//!
//! One flow, left to right, never back:
//!
//! ```text
//!  session file ──► plan ──► assessment ──► document ──► page
//!  what the         every    what can       what is      PDF, HTML,
//!  person wrote     name     hurt, how      said, in     Markdown, text,
//!                   resolved badly, why     what order   JSON
//! ```
//!
//! The whole way, from two files to findings in words and a page:
//!
//! ```
//! use std::collections::BTreeMap;
//! use wetside::assessment::{Assessment, Rules, Tools};
//! use wetside::catalogue::{Catalogue, DataFiles, Statements};
//! use wetside::chemistry::Chemistry;
//! use wetside::classify::Profile;
//! use wetside::document::sheet::{BenchSheet, Material};
//! use wetside::document::{Wording, fill};
//! use wetside::finding::Severity;
//! use wetside::render::{Terminal, text};
//! use wetside::session::{Recipe, Session};
//! use wetside::source::SourceFile;
//!
//! // What a person wrote. A file is kept whole, so that a mistake is told with its line and column.
//! let file = |name: &str, text: &str| SourceFile::new(name, text.into()).expect("UTF-8");
//! let recipe = Recipe::read(&file(
//!     "acid.yaml",
//!     "makes: 1 L\nstart: {water: 200 mL}\nadd:\n  - sodium sulfite, anhydrous: 50 g\n  \
//!      - hydrochloric acid, 10 %: 100 mL\ntop_up: 1 L\n",
//! ))
//! .expect("a recipe");
//! let session = Session::read(&file("day.yaml", "make: [{recipe: acid, volume: 1 L}]\n"))
//!     .expect("a session");
//!
//! // What is known: the data files compiled in, which a workspace may overlay.
//! let catalogue = Catalogue::load(DataFiles::embedded())?;
//! let rules = Rules::load(catalogue.files(), Profile::Eu)?;
//! let chemistry = Chemistry::load(catalogue.files())?;
//! let tools = Tools { catalogue: &catalogue, rules: &rules, chemistry: &chemistry };
//!
//! // A plan is complete: no later room meets an unknown name or a missing unit.
//! let recipes = BTreeMap::from([("acid".to_owned(), recipe)]);
//! let plan = wetside::plan::resolve(&session, &recipes, None, &catalogue)
//!     .unwrap_or_else(|mistakes| panic!("{mistakes:?}"));
//!
//! // The assessment is pure. Findings are data; their words come from `templates/`.
//! let assessment = Assessment::of(plan, &tools);
//! let wording = Wording::load(catalogue.files(), "en")?;
//! let stop = assessment.findings.iter().find(|finding| finding.severity == Severity::Stop);
//! let told = wording.tell(stop.expect("acid onto sulfite lets sulfur dioxide out"));
//! assert!(!told.message.is_empty() && !told.advice.is_empty());
//!
//! // A document is what is said in what order; a page is that on one medium.
//! let material = Material {
//!     catalogue: &catalogue,
//!     rules: &rules,
//!     statements: &Statements::load(catalogue.files(), "en")?,
//!     wording: &wording,
//!     language: "en",
//! };
//! let sheet = BenchSheet::of(&assessment, &material)?;
//! let page = text(
//!     &fill(catalogue.files(), "en", "bench-sheet.md", &sheet)?,
//!     Terminal { width: 79, colour: false },
//! );
//! assert!(page.contains("Sulfur dioxide"));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Beside the flow stands the [`ledger`]: every litre until it is lawfully gone.
//!
//! Each room below uses only rooms above it; `tests/suite/rooms.rs` reads this list and fails
//! on any import from a later room.

#![cfg_attr(not(test), deny(clippy::print_stdout, clippy::print_stderr))]

pub mod units;
pub mod search;
pub mod cores;
pub mod provenance;
pub mod source;
pub mod finding;
pub mod catalogue;
pub mod session;
pub mod plan;
pub mod chemistry;
pub mod classify;
pub mod data_sheet;
pub mod picture;
pub mod air;
pub mod reaction;
pub mod waste;
pub mod rules;
pub mod assessment;
pub mod ledger;
pub mod document;
pub mod render;
pub mod cli;
