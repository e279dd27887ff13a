//! The entries of a span as comma-separated values.

use serde_json::Value;

use crate::cli::tally::row;
use crate::document::waste::unit_name;
use crate::ledger::Record;

/// Every movement of the span, one a line.
pub fn entries(records: &[Record]) -> String {
    let head = "entry,day,kind,reverses,what,stream,amount,unit,from,to,who,note,session,receipt,carrier,hash\r\n";
    let mut out = head.to_owned();
    for record in records {
        let details: Value = serde_json::from_str(&record.details).unwrap_or(Value::Null);
        let detail = |name: &str| details[name].as_str().unwrap_or_default().to_owned();
        let mut line = |what: [String; 6]| {
            let [name, stream, amount, unit, from, to] = what;
            let reverses = record
                .reverses
                .map_or_else(String::new, |number| number.to_string());
            out.push_str(&row(&[
                record.number.to_string(),
                record.day.clone(),
                record.kind.clone(),
                reverses,
                name,
                stream,
                amount,
                unit,
                from,
                to,
                record.who.clone(),
                record.note.clone(),
                record.session.clone(),
                detail("receipt"),
                detail("carrier"),
                record.hash.clone(),
            ]));
        };
        for moved in &record.lines {
            line([
                moved.what.name.clone(),
                moved.what.stream.clone(),
                moved.unit.in_litres_or_kilograms(moved.amount).to_string(),
                unit_name(moved.unit).to_owned(),
                moved.from.clone(),
                moved.to.clone(),
            ]);
        }
        if record.lines.is_empty() {
            line(Default::default());
        }
    }
    out
}
