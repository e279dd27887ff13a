use super::super::{Limited, union};
use super::{classes, hazards};

/// Rows as CLP Annex VI, Table 3 prints them (metol 650-031-00-4, hydroquinone 604-005-00-4,
/// nickel compounds for H350i, boric acid for H360FD).
#[test]
fn annex_vi_rows_are_read_and_written_back() {
    for text in [
        "Acute Tox. 4* H302",
        "STOT RE 2* H373**",
        "Carc. 1B H350i",
        "Repr. 1B H360FD",
        "Eye Dam. 1 H318",
        "Aquatic Chronic 1 H410",
        "STOT RE 1 H372 (thyroid)",
        "Press. Gas (Comp.) H280",
    ] {
        assert_eq!(classes().parse(text).unwrap().to_string(), text);
    }
}

#[test]
fn spelling_may_be_loose_and_the_statement_left_out_where_it_is_the_only_one() {
    let classes = classes();
    for (loose, exact) in [
        ("acute tox 4 * H302", "Acute Tox. 4* H302"),
        ("STOT RE 2 * H373 **", "STOT RE 2* H373**"),
        ("Skin Corr. 1B", "Skin Corr. 1B H314"),
        ("Acute Tox. 3 dermal", "Acute Tox. 3 H311"),
    ] {
        assert_eq!(classes.parse(loose).unwrap().to_string(), exact);
    }
}

#[test]
fn what_is_not_a_classification_is_refused_with_help() {
    let classes = classes();
    for (text, help) in [
        ("Acute Tox. 4", "H302, H312, H332"),
        ("Acute Tox. 4 H301", "not a statement"),
        ("Eye Dam 2 H318", "did you mean `Eye Dam. 1`?"),
        ("hot", "not a hazard class"),
        ("", "not a hazard class"),
    ] {
        let error = classes.parse(text).unwrap_err().to_string();
        assert!(error.contains(help), "{text}: {error}");
    }
}

#[test]
fn limits_are_bands() {
    let classes = classes();
    for (text, class, from, below) in [
        ("Skin Corr. 1B H314 >= 5", "Skin Corr. 1B", 5.0, None),
        ("Eye Irrit. 2 H319 0.5..2", "Eye Irrit. 2", 0.5, Some(2.0)),
        // As the table prints it for ammonium dichromate (024-003-00-1).
        ("Resp. Sens. H334 >= 0.2", "Resp. Sens. 1", 0.2, None),
        ("STOT SE 3 H335 ≥ 10 %", "STOT SE 3", 10.0, None),
        (
            "Skin Irrit. 2 H315 0,5 .. 2 %",
            "Skin Irrit. 2",
            0.5,
            Some(2.0),
        ),
    ] {
        let limit = classes.parse_limit(text).unwrap();
        let Limited::Class(of) = &limit.of else {
            panic!("{text} is for a class")
        };
        assert_eq!((of.name(), limit.from, limit.below), (class, from, below));
    }
    let supplemental = classes.parse_limit("EUH031 >= 5").unwrap();
    assert_eq!(supplemental.of, Limited::Supplemental("EUH031".into()));
    for bad in [
        "Skin Corr. 1B H314",
        "Eye Irrit. 2 H319 2..0.5",
        "Carc. 2 H351 >= 101",
        ">= 5",
    ] {
        assert!(classes.parse_limit(bad).is_err(), "{bad}");
    }
}

/// Letters: CLP Annex VI, 1.1.2.1.2 (from memory).
#[test]
fn lists_together_keep_the_more_cautious_of_each_family() {
    for (one, other, together) in [
        (
            vec!["Acute Tox. 4* H302"],
            vec!["Acute Tox. 3 H301"],
            vec!["Acute Tox. 3 H301"],
        ),
        (
            vec!["Acute Tox. 4 H302"],
            vec!["Acute Tox. 3 H311"],
            vec!["Acute Tox. 4 H302", "Acute Tox. 3 H311"],
        ),
        (
            vec!["Skin Irrit. 2"],
            vec!["Skin Corr. 1C"],
            vec!["Skin Corr. 1C H314"],
        ),
        (
            vec!["Repr. 1B H360F"],
            vec!["Repr. 1B H360D"],
            vec!["Repr. 1B H360FD"],
        ),
        (
            vec!["Repr. 1B H360F"],
            vec!["Repr. 2 H361d"],
            vec!["Repr. 1B H360Fd"],
        ),
        (
            vec!["Repr. 1A H360D"],
            vec!["Repr. 2 H361f"],
            vec!["Repr. 1A H360Df"],
        ),
        (
            vec!["Repr. 2 H361f"],
            vec!["Repr. 2 H361d"],
            vec!["Repr. 2 H361fd"],
        ),
        (
            vec!["Repr. 1B H360"],
            vec!["Repr. 1B H360F"],
            vec!["Repr. 1B H360"],
        ),
        (
            vec!["Carc. 1B H350i"],
            vec!["Carc. 1B H350"],
            vec!["Carc. 1B H350"],
        ),
        (
            vec!["STOT RE 2 H373 (kidney)"],
            vec!["STOT RE 2 H373"],
            vec!["STOT RE 2 H373"],
        ),
        (
            vec!["STOT SE 3 H335"],
            vec!["STOT SE 3 H336"],
            vec!["STOT SE 3 H335", "STOT SE 3 H336"],
        ),
    ] {
        let (one, other) = (hazards(&one), hazards(&other));
        for lists in [[&one[..], &other], [&other, &one]] {
            let texts: Vec<String> = union(lists).iter().map(ToString::to_string).collect();
            assert_eq!(texts, together);
        }
    }
}
