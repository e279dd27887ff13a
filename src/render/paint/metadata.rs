//! What a PDF says of itself: title, language, date, the standards it keeps (PDF/A-2a,
//! ISO 19005-2, and PDF/UA-1, ISO 14289-1), and the colour space its inks are given in.

use chrono::DateTime;
use minijinja::{AutoEscape, Environment, context};
use moxcms::{ColorDateTime, ColorProfile};
use printpdf::DictItem;
use sha2::{Digest, Sha256};

use super::tags;
use crate::document::blocks::Facts;

/// An XMP packet (ISO 16684-1) with the extension schema that PDF/A asks for beside PDF/UA.
const PACKET: &str = include_str!("metadata.xml");

pub const PRODUCER: &str = concat!("wetside ", env!("CARGO_PKG_VERSION"));

/// The packet of a document written at a time in seconds since 1970-01-01 UTC.
///
/// # Errors
///
/// If the packet cannot be filled; its template is compiled in.
pub fn packet(facts: &Facts, written: i64) -> Result<String, minijinja::Error> {
    let written = DateTime::from_timestamp(written, 0).unwrap_or_default();
    let mut environment = Environment::new();
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.render_str(
        PACKET,
        context! {
            mark => "\u{feff}",
            title => &facts.title,
            language => &facts.language,
            producer => PRODUCER,
            written => written.format("%Y-%m-%dT%H:%M:%SZ").to_string(),
        },
    )
}

/// The profile of sRGB (IEC 61966-2-1), in which every ink is given.
///
/// # Errors
///
/// If the profile cannot be written; it is the same for every document.
pub fn srgb() -> Result<Vec<u8>, moxcms::CmsError> {
    let mut profile = ColorProfile::new_srgb();
    // Otherwise the second of the run stands in it, and no two files are the same.
    profile.creation_date_time = ColorDateTime {
        year: 1999,
        month: 10,
        day_of_the_month: 1,
        hours: 0,
        minutes: 0,
        seconds: 0,
    };
    // A tag newer than the profiles that PDF/A-2 knows.
    profile.cicp = None;
    profile.encode()
}

/// The output intent that names the profile held by an object.
pub fn output_intent(profile: u32) -> DictItem {
    tags::dictionary([
        ("Type", tags::name("OutputIntent")),
        ("S", tags::name("GTS_PDFA1")),
        ("OutputConditionIdentifier", tags::text("sRGB IEC61966-2.1")),
        ("Info", tags::text("sRGB IEC61966-2.1")),
        ("DestOutputProfile", tags::reference(profile)),
    ])
}

/// A file identifier that tells one content from another, and the same for the same bytes.
pub fn identifier<'a>(contents: impl Iterator<Item = &'a [u8]>) -> DictItem {
    let digest = contents
        .fold(Sha256::new(), Sha256::chain_update)
        .finalize();
    let half = || DictItem::String {
        data: digest.iter().take(16).copied().collect(),
        literal: false,
    };
    DictItem::Array(vec![half(), half()])
}
