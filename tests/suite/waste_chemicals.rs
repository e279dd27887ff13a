//! A small table of chemicals for the waste tests, apart from the program's own catalogue.

use std::collections::BTreeMap;

use wetside::waste::{Chemicals, Form, WasteChemical};

/// Name, CAS, form, classes, notes, groups, elements that matter. Classes: CLP Annex VI Table 3
/// (ATP 17 spreadsheet; checked against a copy of ATP 21); EUH031 and groups from the same rows.
type Row = (
    &'static str,
    &'static str,
    Form,
    &'static [&'static str],
    &'static [&'static str],
    &'static [&'static str],
    &'static [(&'static str, f64)],
);

use Form::{Liquid, Solid};

const TABLE: &[Row] = &[
    (
        "hydroquinone",
        "123-31-9",
        Solid,
        &[
            "Carc. 2 H351",
            "Muta. 2 H341",
            "Acute Tox. 4* H302",
            "Eye Dam. 1 H318",
            "Skin Sens. 1 H317",
            "Aquatic Acute 1 H400",
        ],
        &[],
        &["developing-agent"],
        &[("C", 0.654), ("H", 0.055)],
    ),
    (
        "metol",
        "55-55-0",
        Solid,
        &[
            "Acute Tox. 4* H302",
            "STOT RE 2* H373**",
            "Skin Sens. 1 H317",
            "Aquatic Acute 1 H400",
            "Aquatic Chronic 1 H410",
        ],
        &[],
        &["developing-agent"],
        &[("C", 0.488), ("H", 0.059)],
    ),
    (
        "silver nitrate",
        "7761-88-8",
        Solid,
        &[
            "Ox. Sol. 2 H272",
            "Skin Corr. 1B H314",
            "Aquatic Acute 1 H400",
            "Aquatic Chronic 1 H410",
        ],
        &[],
        &["silver", "nitrate", "oxidiser"],
        &[("Ag", 0.635)],
    ),
    (
        "potassium dichromate",
        "7778-50-9",
        Solid,
        &[
            "Ox. Sol. 2 H272",
            "Carc. 1B H350",
            "Muta. 1B H340",
            "Repr. 1B H360FD",
            "Acute Tox. 2* H330",
            "Acute Tox. 3* H301",
            "Acute Tox. 4* H312",
            "STOT RE 1 H372**",
            "Skin Corr. 1B H314",
            "Resp. Sens. 1 H334",
            "Skin Sens. 1 H317",
            "Aquatic Acute 1 H400",
            "Aquatic Chronic 1 H410",
        ],
        &["3"],
        &["chromate", "strong-oxidiser"],
        &[("Cr", 0.3535)],
    ),
    (
        "potassium permanganate",
        "7722-64-7",
        Solid,
        &[
            "Ox. Sol. 2 H272",
            "Repr. 2 H361d***",
            "Acute Tox. 4* H302",
            "Aquatic Acute 1 H400",
            "Aquatic Chronic 1 H410",
        ],
        &[],
        &["permanganate", "strong-oxidiser"],
        &[("Mn", 0.348)],
    ),
    (
        "hydrogen peroxide",
        "7722-84-1",
        Liquid,
        &[
            "Ox. Liq. 1 H271",
            "Acute Tox. 4* H332",
            "Acute Tox. 4* H302",
            "Skin Corr. 1A H314",
        ],
        &["B"],
        &["peroxide"],
        &[("H", 0.059)],
    ),
    (
        "thiourea",
        "62-56-6",
        Solid,
        &[
            "Carc. 2 H351",
            "Repr. 2 H361d***",
            "Acute Tox. 4* H302",
            "Aquatic Chronic 2 H411",
        ],
        &[],
        &["thiourea"],
        &[("C", 0.158), ("H", 0.053)],
    ),
    (
        "catechol",
        "120-80-9",
        Solid,
        &[
            "Carc. 1B H350",
            "Muta. 2 H341",
            "Acute Tox. 3 H311",
            "Acute Tox. 3 H301",
            "Skin Irrit. 2 H315",
            "Eye Irrit. 2 H319",
        ],
        &[],
        &["developing-agent"],
        &[("C", 0.654), ("H", 0.055)],
    ),
    (
        "pyrogallol",
        "87-66-1",
        Solid,
        &[
            "Muta. 2 H341",
            "Acute Tox. 4* H332",
            "Acute Tox. 4* H312",
            "Acute Tox. 4* H302",
            "Aquatic Chronic 3 H412",
        ],
        &[],
        &["developing-agent"],
        &[("C", 0.571), ("H", 0.048)],
    ),
    (
        "formaldehyde",
        "50-00-0",
        Liquid,
        &[
            "Carc. 1B H350",
            "Muta. 2 H341",
            "Acute Tox. 3* H331",
            "Acute Tox. 3* H311",
            "Acute Tox. 3* H301",
            "Skin Corr. 1B H314",
            "Skin Sens. 1 H317",
        ],
        &["B", "D"],
        &["aldehyde"],
        &[("C", 0.4), ("H", 0.067)],
    ),
    (
        "potassium cyanide",
        "151-50-8",
        Solid,
        &[
            "Acute Tox. 1 H310",
            "Acute Tox. 2* H330",
            "Acute Tox. 2* H300",
            "Aquatic Acute 1 H400",
            "Aquatic Chronic 1 H410",
            "EUH032",
        ],
        &["A"],
        &["cyanide"],
        &[("C", 0.184)],
    ),
    (
        "sodium sulfide",
        "1313-84-4",
        Solid,
        &[
            "Acute Tox. 3* H311",
            "Acute Tox. 4* H302",
            "Skin Corr. 1B H314",
            "Aquatic Acute 1 H400",
            "EUH031",
        ],
        &[],
        &["sulfide"],
        &[("S", 0.411)],
    ),
    (
        "sodium metabisulfite",
        "7681-57-4",
        Solid,
        &["Acute Tox. 4* H302", "Eye Dam. 1 H318", "EUH031"],
        &[],
        &["sulfite"],
        &[("S", 0.337)],
    ),
    (
        "sodium hydroxide",
        "1310-73-2",
        Solid,
        &["Skin Corr. 1A H314"],
        &[],
        &["strong-alkali"],
        &[("Na", 0.575)],
    ),
    (
        "sodium selenite",
        "10102-18-8",
        Solid,
        &[
            "Acute Tox. 2* H300",
            "Acute Tox. 3* H331",
            "Skin Sens. 1 H317",
            "Aquatic Chronic 2 H411",
            "EUH031",
        ],
        &[],
        &["selenium"],
        &[("Se", 0.457)],
    ),
    (
        "acetic acid",
        "64-19-7",
        Liquid,
        &["Flam. Liq. 3 H226", "Skin Corr. 1A H314"],
        &["B"],
        &["acid"],
        &[("C", 0.4), ("H", 0.067)],
    ),
    (
        "ethanol",
        "64-17-5",
        Liquid,
        &["Flam. Liq. 2 H225"],
        &[],
        &["alcohol", "flammable"],
        &[("C", 0.521), ("H", 0.131)],
    ),
    (
        "methanol",
        "67-56-1",
        Liquid,
        &[
            "Flam. Liq. 2 H225",
            "Acute Tox. 3* H331",
            "Acute Tox. 3* H311",
            "Acute Tox. 3* H301",
            "STOT SE 1 H370**",
        ],
        &[],
        &["alcohol", "flammable"],
        &[("C", 0.375), ("H", 0.126)],
    ),
    (
        "sodium bicarbonate",
        "144-55-8",
        Solid,
        &[],
        &[],
        &["carbonate"],
        &[("Na", 0.274), ("C", 0.143), ("H", 0.012)],
    ),
];

/// The table above.
pub struct Table;

impl Chemicals for Table {
    fn find(&self, name: &str) -> Result<WasteChemical, (String, String)> {
        let row = TABLE.iter().find(|row| row.0 == name || row.1 == name);
        let (name, cas, form, classes, notes, groups, elements) = row.ok_or_else(|| {
            (
                format!("`{name}` is not a known chemical"),
                "check the name".to_owned(),
            )
        })?;
        let owned = |list: &[&str]| {
            list.iter()
                .map(|text| (*text).to_owned())
                .collect::<Vec<_>>()
        };
        Ok(WasteChemical {
            name: (*name).to_owned(),
            cas: Some((*cas).to_owned()),
            form: Some(*form),
            classification: Some(owned(classes)),
            also: Vec::new(),
            notes: owned(notes),
            groups: owned(groups),
            elements: elements
                .iter()
                .map(|(symbol, share)| ((*symbol).to_owned(), *share))
                .collect::<BTreeMap<_, _>>(),
        })
    }
}
