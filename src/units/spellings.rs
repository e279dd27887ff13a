//! How units are written, and what each is in the base unit.

/// One unit's spellings and the factor to the base unit.
pub(crate) type Units = &'static [(&'static [&'static str], f64)];

pub(super) const MASS: Units = &[
    (
        &["g", "gr", "gram", "grams", "gramme", "grammes", "gm"],
        1.0,
    ),
    (&["kg", "kilogram", "kilograms", "kilo", "kilos"], 1000.0),
    (&["mg", "milligram", "milligrams"], 0.001),
    // International avoirdupois: exact by definition (NIST SP 811, Appendix B).
    (&["oz", "ounce", "ounces"], 28.349_523_125),
    (&["lb", "lbs", "pound", "pounds"], 453.592_37),
];

pub(super) const VOLUME: Units = &[
    (
        &["l", "litre", "litres", "liter", "liters", "dm3", "dm³"],
        1.0,
    ),
    (
        &[
            "ml",
            "millilitre",
            "millilitres",
            "milliliter",
            "milliliters",
            "cc",
            "cm3",
            "cm³",
        ],
        0.001,
    ),
    (&["cl", "centilitre", "centilitres"], 0.01),
    (&["dl", "decilitre", "decilitres"], 0.1),
    (&["m3", "m³"], 1000.0),
    // US customary: exact by definition (231 cubic inches a gallon, NIST Handbook 44, Appendix C).
    (
        &[
            "gal",
            "gallon",
            "gallons",
            "us gal",
            "us gallon",
            "us gallons",
        ],
        3.785_411_784,
    ),
    (&["qt", "quart", "quarts"], 0.946_352_946),
    (&["pt", "pint", "pints"], 0.473_176_473),
    (
        &[
            "fl oz",
            "floz",
            "fl. oz.",
            "fluid ounce",
            "fluid ounces",
            "us fl oz",
        ],
        0.029_573_529_562_5,
    ),
];

pub(super) const HOURS: Units = &[
    (&["h", "hr", "hrs", "hour", "hours"], 1.0),
    (&["min", "minute", "minutes"], 1.0 / 60.0),
    (&["s", "sec", "second", "seconds"], 1.0 / 3600.0),
    (&["d", "day", "days"], 24.0),
    (&["week", "weeks"], 168.0),
    // A month is 30 days and a year 365: keeping times are not surveyors' work.
    (&["month", "months"], 720.0),
    (&["year", "years"], 8760.0),
];

pub(super) const AIR_FLOW: Units = &[
    (&["m3/h", "m³/h", "m3/hr", "m³/hr", "m3h"], 1.0),
    (&["l/s"], 3.6),
    // Cubic feet a minute: 0.3048³ × 60 (NIST SP 811, Appendix B).
    (&["cfm", "ft3/min", "ft³/min"], 1.699_010_795_52),
];

pub(super) const ROOM: Units = &[
    (&["m3", "m³"], 1.0),
    (&["ft3", "ft³", "cu ft"], 0.028_316_846_592),
];

pub(super) const AREA: Units = &[
    (&["m2", "m²"], 1.0),
    (&["cm2", "cm²"], 1e-4),
    (&["ft2", "ft²", "sq ft"], 0.092_903_04),
];

/// Sides of a tray or sheet, m.
pub(crate) const SIDE: Units = &[
    (&["m"], 1.0),
    (&["cm"], 0.01),
    (&["mm"], 0.001),
    (&["in", "inch", "inches", "\"", "″"], 0.0254),
    (&["ft"], 0.3048),
];
