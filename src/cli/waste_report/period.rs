//! The span a report covers, as it is written.

use chrono::{Days, Months, NaiveDate};

/// A span of days, both ends included.
#[derive(Clone, Copy)]
pub struct Period {
    /// The first day.
    pub from: NaiveDate,
    /// The last day.
    pub to: NaiveDate,
}

/// 2026, 2026-12, 2026-Q4, or 2026-10-01..2026-12-31.
pub fn period(text: &str) -> Result<Period, String> {
    let wrong = || "write it as 2026, 2026-12, 2026-Q4 or 2026-10-01..2026-12-31".to_owned();
    let day = |text: &str| NaiveDate::parse_from_str(text, "%Y-%m-%d").map_err(|_| wrong());
    if let Some((from, to)) = text.split_once("..") {
        let (from, to) = (day(from)?, day(to)?);
        return if from <= to {
            Ok(Period { from, to })
        } else {
            Err("it ends before it begins".into())
        };
    }
    let (year, rest) = text.split_once('-').unwrap_or((text, ""));
    let (month, months) = match rest {
        "" => (1, 12),
        "Q1" => (1, 3),
        "Q2" => (4, 3),
        "Q3" => (7, 3),
        "Q4" => (10, 3),
        month => (month.parse().map_err(|_| wrong())?, 1),
    };
    let from = NaiveDate::from_ymd_opt(year.parse().map_err(|_| wrong())?, month, 1);
    let from = from.ok_or_else(wrong)?;
    let next = from.checked_add_months(Months::new(months));
    let to = next
        .and_then(|next| next.checked_sub_days(Days::new(1)))
        .ok_or_else(wrong)?;
    Ok(Period { from, to })
}
