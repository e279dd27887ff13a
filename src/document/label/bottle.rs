//! The labels of the bottles of a session.

use std::collections::BTreeSet;

use chrono::{Duration as Days, NaiveDate};

use crate::assessment::{Assessment, BathFigures};
use crate::classify::HazardClass;
use crate::ledger::{bottle_id, label_id};
use crate::plan::{Plan, Solution};
use crate::units::{Duration, Volume, significant};

use super::sizes::{LabelRules, LeftOut};
use super::{Field, Label, LabelWords, Pictogram, both, each};
use crate::document::Wording;

/// The labels of every bottle, stock or working strength, in the order of the plan. `capacity`
/// stands in for what the session says a bottle holds; `session` is the file as the workspace names
/// it, by which the book knows the bottles.
pub fn bottles(
    (assessment, session): (&Assessment, &str),
    rules: &LabelRules,
    words: &[LabelWords],
    wording: &Wording,
    working: bool,
    capacity: Option<Volume>,
) -> Vec<Label> {
    let pairs = assessment.plan.solutions.iter().zip(&assessment.solutions);
    let label = |(solution, figures): (&Solution, &crate::assessment::SolutionFigures)| {
        let bath = figures.working.as_ref().filter(|_| working);
        let bottle = Bottle {
            plan: &assessment.plan,
            session,
            solution,
            working: bath.is_some(),
            bath: bath.unwrap_or(&figures.stock),
            capacity: capacity.unwrap_or_else(|| held(solution, bath.is_some())),
        };
        bottle.label(rules, words, wording)
    };
    pairs.map(label).collect()
}

/// What one bottle holds: as written, or all that is made.
fn held(solution: &Solution, working: bool) -> Volume {
    let written = solution
        .storage
        .as_ref()
        .and_then(|bottle| bottle.capacity)
        .filter(|_| !working);
    written.unwrap_or(solution.volume)
}

struct Bottle<'a> {
    plan: &'a Plan,
    session: &'a str,
    solution: &'a Solution,
    working: bool,
    bath: &'a BathFigures,
    capacity: Volume,
}

impl Bottle<'_> {
    fn label(&self, rules: &LabelRules, words: &[LabelWords], wording: &Wording) -> Label {
        let classification = &self.bath.classification;
        let shown = &classification.label;
        let classes: Vec<&HazardClass> = classification
            .classes
            .iter()
            .map(|check| &check.gives)
            .collect();
        let left_out = rules.left_out(self.capacity, &classes, classification.profile);
        let id = self.id();
        Label {
            title: vec![self.solution.title.clone()],
            details: format!("{} · {}", both(words, |w| self.strength(w)), self.capacity),
            signal: each(words, |w| {
                shown
                    .signal
                    .map_or(String::new(), |s| w.word(&s.to_string()).to_owned())
            }),
            pictograms: pictograms(&shown.pictograms, wording),
            hazards: each(words, |w| self.hazards(w, &left_out)),
            precautions: each(words, |w| self.precautions(w, &left_out)),
            supplements: each(words, |w| self.supplements(w, &left_out)),
            fields: self.fields(words),
            foot: each(words, |w| format!("{} {}", w.word("own"), w.word("defer"))),
            further: both(words, |w| w.word("further").to_owned()),
            capacity: self.capacity,
            copies: self
                .solution
                .storage
                .as_ref()
                .filter(|_| !self.working)
                .map_or(1, |bottle| bottle.count),
            id,
        }
    }

    /// The same for the same solution of the same session; the stock's is the one in the book.
    fn id(&self) -> String {
        if self.working {
            return label_id(&["working", self.session, &self.solution.title]);
        }
        bottle_id(self.session, &self.solution.title)
    }

    fn strength(&self, words: &LabelWords) -> String {
        let dilution = self.solution.dilution;
        match (self.working, dilution.dilutes()) {
            (true, _) => words.filled("working", "dilution", &dilution.to_string()),
            (false, true) => format!("{} ({dilution})", words.word("stock")),
            (false, false) => words.word("stock").to_owned(),
        }
    }

    fn hazards(&self, words: &LabelWords, left_out: &LeftOut) -> String {
        let label = &self.bath.classification.label;
        let kept = label
            .statements
            .iter()
            .filter(|code| !left_out.statements.contains(code));
        let mut sentences: Vec<String> = kept.map(|code| words.sentence(code, &[])).collect();
        if self.bath.classification.classes.is_empty() {
            sentences.push(words.word("no_class").to_owned());
        }
        sentences.extend(self.no_data(words));
        sentences.join(" ")
    }

    /// Chemicals of which nobody has said anything.
    fn no_data(&self, words: &LabelWords) -> Option<String> {
        let names = self.solution.unclassified(&words.language);
        (!names.is_empty()).then(|| words.filled("no_data", "names", &names.join(", ")))
    }

    fn precautions(&self, words: &LabelWords, left_out: &LeftOut) -> String {
        let codes = self.bath.classification.label.precautions_label.iter();
        let shown = codes.filter(|_| !left_out.precautions);
        shown
            .map(|code| words.sentence(code, &[]))
            .collect::<Vec<_>>()
            .join(" ")
    }

    fn supplements(&self, words: &LabelWords, left_out: &LeftOut) -> String {
        let classification = &self.bath.classification;
        // That a data sheet is to be had is a supplier's duty, not a bench's.
        let supplements = classification
            .supplemental
            .iter()
            .filter(|s| s.code != "EUH210");
        let supplements =
            supplements.map(|s| words.sentence(&s.code, &self.names(&s.ingredients, words)));
        let shortened = left_out.precautions || !left_out.statements.is_empty();
        let reduced = (shortened && !classification.classes.is_empty())
            .then(|| words.word("reduced").to_owned());
        supplements
            .chain(self.unknown_share(words))
            .chain(self.not_settled(words))
            .chain(reduced)
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// The share of unknown acute toxicity, by the route of which least is known: CLP Annex I,
    /// 3.1.3.6.2.2, and 29 CFR 1910.1200, Appendix C, C.3.3, want it said from 1 % on.
    fn unknown_share(&self, words: &LabelWords) -> Option<String> {
        let shares = self.bath.classification.unknown_percent.values();
        let most = shares.copied().max_by(f64::total_cmp)?;
        (most > 0.0).then(|| words.filled("unknown_share", "percent", &significant(most, 3)))
    }

    /// Hazards that no calculation carries over from the ingredients: not knowing is not safe.
    fn not_settled(&self, words: &LabelWords) -> Option<String> {
        let named = |class: &str| {
            words
                .word(class.trim_end_matches(|c: char| c.is_ascii_digit() || c == ' '))
                .to_owned()
        };
        let open: BTreeSet<String> = self
            .bath
            .classification
            .not_computed
            .iter()
            .map(|open| named(&open.class))
            .collect();
        let open: Vec<String> = open.into_iter().collect();
        (!open.is_empty()).then(|| words.filled("not_settled", "what", &open.join(", ")))
    }

    /// Names as the language has them; what a solution is sold as stands for what is dissolved.
    fn names(&self, names: &[String], words: &LabelWords) -> Vec<String> {
        let own = |name: &String| {
            let jar = self
                .solution
                .additions()
                .map(|(_, added)| &added.jar)
                .find(|jar| jar.name == *name);
            jar.map_or(name.clone(), |jar| jar.name_in(&words.language).to_owned())
        };
        names.iter().map(own).collect()
    }

    fn fields(&self, words: &[LabelWords]) -> Vec<Field> {
        let field = |name: &str, value: Option<String>| Field {
            name: both(words, |w| w.word(name).to_owned()),
            value,
        };
        let date = |date: NaiveDate| words.first().map_or(String::new(), |w| w.date(date));
        let setting = &self.plan.setting;
        let maker = self
            .plan
            .people
            .iter()
            .find(|person| person.count == 1)
            .map(|person| person.name.clone());
        let by: Vec<String> = [
            maker.or(setting.responsible.clone()),
            setting.name.clone(),
            setting.phone.clone(),
        ]
        .into_iter()
        .flatten()
        .collect();
        vec![
            field("made", self.plan.date.map(date)),
            field("use_by", self.use_by().map(date)),
            field("by", (!by.is_empty()).then(|| by.join(", "))),
            field("note", None),
        ]
    }

    /// The day up to which it keeps, by the recipe or by habit of the trade.
    fn use_by(&self) -> Option<NaiveDate> {
        let keeps = &self.solution.keeps;
        let written = if self.working {
            keeps.working
        } else {
            keeps.stock
        };
        let usual = self.solution.kind.as_ref().map(|kind| &kind.keeps);
        let hours = usual
            .filter(|_| self.working)
            .and_then(|usual| usual.working_hours)
            .map(|hours| hours / 24.0);
        let usual = hours.or(usual.and_then(|usual| usual.stock_days));
        let days = written.map(Duration::days).or(usual)?;
        // Part of a day is over by the evening.
        self.plan
            .date?
            .checked_add_signed(Days::try_days(days.floor() as i64)?)
    }
}

pub(super) fn pictograms(ids: &[String], wording: &Wording) -> Vec<Pictogram> {
    ids.iter()
        .map(|id| Pictogram {
            id: id.clone(),
            words: wording.word(id).to_owned(),
        })
        .collect()
}
