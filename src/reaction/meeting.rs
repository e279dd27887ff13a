//! Two things in one vessel.

use crate::air::Gases;
use crate::catalogue::{Catalogue, Reaction};
use crate::chemistry::{Bath, Chemistry, Equilibrium, Figure, Gas, Ph, Trace};
use crate::finding::Severity;
use crate::provenance::Origin;
use crate::units::RoomVolume;

use super::limits::limits;
use super::{GasLimit, Over, Party, Verdict, meets, severity};

/// Below this share of water by mass no equilibrium is computed, so water is thought in.
const LEAST_WATER: f64 = 0.25;
/// A rise that is felt in the hand (common practice, no source), K.
const FELT: f64 = 5.0;
/// Water near its boiling point spits, °C.
const BOILS: f64 = 95.0;
/// A gas that leaves one of the two just as well without the other.
const NO_MORE_THAN_ALONE: f64 = 1.02;

/// The room a gas spreads in.
#[derive(Debug, Clone, Copy)]
pub struct Room(pub RoomVolume);

/// What comes of two things in one vessel.
#[derive(Debug, Clone)]
pub struct Meeting {
    /// pH and species of the two together, where that can be computed.
    pub equilibrium: Result<Equilibrium, String>,
    /// Temperature in a vessel that keeps all heat.
    pub temperature: Option<Figure>,
    /// How much warmer than before, K.
    pub rise: Option<f64>,
    /// What happens, worst first.
    pub events: Vec<Event>,
    /// What is said of it as a whole.
    pub verdict: Verdict,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// One thing that happens.
#[derive(Debug, Clone)]
pub struct Event {
    /// toxic gas, heat, fire, …
    pub consequence: String,
    /// The gas set free.
    pub gas: Option<GasInRoom>,
    /// How much it weighs.
    pub severity: Severity,
    /// What happens and why.
    pub why: String,
    /// What to do instead.
    pub advice: String,
    /// The rule of the table of reactions that says so.
    pub rule: Option<String>,
    /// Where it is from.
    pub origins: Vec<Origin>,
}

/// A gas, how much of it at most, and what that is in the room.
#[derive(Debug, Clone)]
pub struct GasInRoom {
    /// Its formula.
    pub symbol: String,
    /// Its name.
    pub name: String,
    /// The greatest amount, g; nothing where it cannot be computed.
    pub greatest_g: Option<f64>,
    /// That amount in the room's air, evenly mixed, mg/m³.
    pub room_mg_per_m3: Option<f64>,
    /// Every limit on file, the lowest first; empty where none is on file.
    pub limits: Vec<GasLimit>,
    /// How the amount came about.
    pub traces: Vec<Trace>,
}

impl GasInRoom {
    /// The lowest limit of a kind.
    pub fn lowest(&self, over: Over) -> Option<&GasLimit> {
        self.limits.iter().find(|limit| limit.over == over)
    }

    /// The highest limit that the greatest amount passes.
    pub fn passes(&self) -> Option<&GasLimit> {
        let in_room = self.room_mg_per_m3?;
        self.limits
            .iter()
            .rev()
            .find(|limit| in_room >= limit.mg_per_m3)
    }

    /// Whether nothing shows that it stays below every limit.
    fn may_harm(&self) -> bool {
        match self.greatest_g {
            Some(grams) if grams <= 0.0 => false,
            Some(_) => self.limits.is_empty() || self.passes().is_some(),
            None => true,
        }
    }
}

/// What comes of two things in one vessel, all of both.
pub fn meet(
    a: &Party,
    b: &Party,
    room: Room,
    chemistry: &Chemistry,
    catalogue: &Catalogue,
    gases: &Gases,
) -> Meeting {
    let mut assumptions = Vec::new();
    let together = together(a, b, chemistry, &mut assumptions);
    let equilibrium = together
        .as_ref()
        .map(|mixed| chemistry.equilibrium(&mixed.bath))
        .map_err(Clone::clone);
    let leaving = match (&together, &equilibrium) {
        (Ok(mixed), Ok(equilibrium)) => chemistry.gases(&mixed.bath, &equilibrium.ph),
        _ => Vec::new(),
    };
    let teller = Teller {
        a,
        b,
        room,
        chemistry,
        known: gases,
        computed: together
            .as_ref()
            .ok()
            .map(|mixed| &mixed.bath)
            .filter(|_| equilibrium.as_ref().is_ok_and(has_ph)),
    };
    let mut events = teller.events(catalogue, &leaving);
    let mixed = together.as_ref().ok();
    if let Some(warmth) = mixed.and_then(warmth) {
        match events.iter_mut().find(|event| event.consequence == "heat") {
            Some(told) => told.also(&warmth),
            None => events.push(warmth),
        }
    }
    events.sort_by_key(|event| std::cmp::Reverse(event.severity));
    Meeting {
        verdict: Verdict::of(&events, teller.computed.is_none()),
        equilibrium,
        temperature: mixed.map(|mixed| mixed.temperature.clone()),
        rise: mixed.map(|mixed| mixed.rise),
        events,
        assumptions,
    }
}

fn has_ph(equilibrium: &Equilibrium) -> bool {
    matches!(equilibrium.ph, Ph::Computed(_))
}

/// Both in one vessel, and how warm that gets.
struct Mixed {
    bath: Bath,
    temperature: Figure,
    rise: f64,
}

/// The wetter one is taken as poured in first. Where hardly any water is there, as much water as
/// the two weigh is thought in: nothing reacts dry, and dry things get wet.
fn together(
    a: &Party,
    b: &Party,
    chemistry: &Chemistry,
    assumptions: &mut Vec<String>,
) -> Result<Mixed, String> {
    let (first, second) = if b.water_share() > a.water_share() {
        (b, a)
    } else {
        (a, b)
    };
    let (one, other) = (first.bath.clone()?, second.bath.clone()?);
    let before = one.with(&other).celsius;
    let mass = one.mass_kg + other.mass_kg;
    let base = if first.water_share() < LEAST_WATER {
        assumptions.push("hardly any water is in either: worked out as if wetted with as much water as both weigh".to_owned());
        let water = Bath {
            water_kg: mass,
            mass_kg: mass,
            celsius: one.celsius,
            contents: Vec::new(),
            amounts: Vec::new(),
        };
        chemistry.add(&water, &one, first.is_bath).bath
    } else {
        one
    };
    let heated = chemistry.add(&base, &other, second.is_bath);
    // The equilibrium is that of the bath once it has cooled to where it began.
    let bath = Bath {
        celsius: before,
        ..heated.bath
    };
    Ok(Mixed {
        rise: heated.temperature.value - before,
        temperature: heated.temperature,
        bath,
    })
}

/// Warmth that is felt.
fn warmth(mixed: &Mixed) -> Option<Event> {
    let boils = mixed.temperature.high >= BOILS;
    let degrees = |value: f64| format!("{value:.0}\u{a0}°C");
    let to = if mixed.temperature.value >= BOILS {
        "and boils".to_owned()
    } else {
        format!(
            "to {}, perhaps {}",
            degrees(mixed.temperature.value),
            degrees(mixed.temperature.high)
        )
    };
    (mixed.rise >= FELT).then(|| Event {
        consequence: "heat".to_owned(),
        gas: None,
        severity: if boils {
            Severity::Stop
        } else {
            Severity::Attention
        },
        why: format!(
            "Poured together at once it warms by about {}, {to}.",
            degrees(mixed.rise)
        ),
        advice: "Pour the one slowly into the other, stirring, with time to cool in between."
            .to_owned(),
        rule: None,
        origins: vec![Origin::Computed {
            formula: "heats of solution and of acid steps, heat capacities".to_owned(),
        }],
    })
}

impl Event {
    /// The same told in figures: the graver of both stands.
    fn also(&mut self, other: &Self) {
        self.why = format!("{} {}", self.why, other.why);
        self.severity = self.severity.max(other.severity);
        self.origins.extend(other.origins.iter().cloned());
    }
}

/// What is needed to tell what happens.
struct Teller<'t> {
    a: &'t Party,
    b: &'t Party,
    room: Room,
    chemistry: &'t Chemistry,
    known: &'t Gases,
    /// The two together, where their pH could be computed.
    computed: Option<&'t Bath>,
}

impl Teller<'_> {
    fn events(&self, catalogue: &Catalogue, gases: &[Gas]) -> Vec<Event> {
        let mut events: Vec<Event> = Vec::new();
        for rule in catalogue
            .reactions()
            .iter()
            .filter(|rule| self.applies(rule))
        {
            let event = self.of_rule(rule, gases);
            // Of several rules for one consequence and gas the gravest speaks.
            match events.iter_mut().find(|other| same(other, &event)) {
                Some(other) if other.severity >= event.severity => {}
                Some(other) => *other = event,
                None => events.push(event),
            }
        }
        for gas in gases {
            let told =
                |event: &&Event| event.gas.as_ref().is_some_and(|told| told.name == gas.name);
            if !events.iter().any(|event| told(&event)) {
                events.push(self.of_gas(gas, gases));
            }
        }
        once_each(&mut events);
        events
    }

    fn applies(&self, rule: &Reaction) -> bool {
        let (a, b) = (self.a.chemicals(), self.b.chemicals());
        meets(rule, &a, &b) || meets(rule, &b, &a)
    }

    fn of_rule(&self, rule: &Reaction, gases: &[Gas]) -> Event {
        let gas = rule.gas.as_ref().map(|name| self.in_room(name, gases));
        let mut weight = severity(rule, self.a.is_bath && self.b.is_bath);
        let mut why = rule.text.clone();
        if let Some(gas) = &gas {
            if gas.greatest_g.is_some_and(|grams| grams > 0.0) && gas.may_harm() {
                weight = Severity::Stop;
            }
            if gas.greatest_g == Some(0.0) {
                why.push_str(" By the equilibrium none leaves in these amounts; another ratio can give it off.");
            }
        }
        Event {
            consequence: rule.consequence.clone(),
            gas,
            severity: weight,
            why,
            advice: rule.advice.clone(),
            rule: Some(rule.id.clone()),
            origins: vec![rule.from.clone()],
        }
    }

    /// A gas that no rule of the table speaks of.
    fn of_gas(&self, gas: &Gas, gases: &[Gas]) -> Event {
        let in_room = self.in_room(&gas.name, gases);
        let alone = self.alone(&gas.name);
        let by_itself = in_room
            .greatest_g
            .is_some_and(|grams| grams <= alone * NO_MORE_THAN_ALONE);
        let weight = match (in_room.may_harm(), by_itself) {
            (true, false) => Severity::Stop,
            _ => Severity::Attention,
        };
        let (told, advice) = if by_itself {
            (
                "; it leaves just as well without the other",
                "Lids on, fan running.",
            )
        } else {
            ("", "Do not pour the two together. Lids on, fan running.")
        };
        let why = format!("{}{told}.", capitalised(&gas.why));
        Event {
            consequence: if in_room.may_harm() {
                "toxic gas"
            } else {
                "gas"
            }
            .to_owned(),
            gas: Some(in_room),
            severity: weight,
            why,
            advice: advice.to_owned(),
            rule: None,
            origins: gas.origins.clone(),
        }
    }

    /// What leaves either of the two without the other, g.
    fn alone(&self, gas: &str) -> f64 {
        let of = |party: &Party| {
            let Ok(bath) = &party.bath else { return 0.0 };
            let ph = self.chemistry.equilibrium(bath).ph;
            let gases = self.chemistry.gases(bath, &ph);
            gases
                .iter()
                .filter(|found| found.name == gas)
                .map(|found| found.greatest_g)
                .sum()
        };
        of(self.a) + of(self.b)
    }

    /// Ways to the same gas add up: what each gives at most, all together give at most.
    fn in_room(&self, name: &str, gases: &[Gas]) -> GasInRoom {
        let ways: Vec<&Gas> = gases.iter().filter(|gas| gas.name == name).collect();
        let sum: f64 = ways.iter().map(|gas| gas.greatest_g).sum();
        let reckoned = self
            .computed
            .is_some_and(|bath| self.chemistry.reckons(name, bath));
        let greatest_g = (reckoned || !ways.is_empty()).then_some(sum);
        let facts = self.known.find(name);
        GasInRoom {
            symbol: facts.map_or_else(|| name.to_owned(), |gas| gas.symbol.clone()),
            name: name.to_owned(),
            greatest_g,
            room_mg_per_m3: greatest_g.map(|grams| grams * 1000.0 / self.room.0.m3()),
            limits: facts.map(limits).unwrap_or_default(),
            traces: ways.iter().map(|gas| gas.trace.clone()).collect(),
        }
    }
}

/// A gas that is told of as such is not told again with the fire or heat it comes from.
fn once_each(events: &mut [Event]) {
    let gases: Vec<String> = events
        .iter()
        .filter(|event| event.consequence.ends_with("gas"))
        .filter_map(|event| Some(event.gas.as_ref()?.name.clone()))
        .collect();
    for event in events
        .iter_mut()
        .filter(|event| !event.consequence.ends_with("gas"))
    {
        if event
            .gas
            .as_ref()
            .is_some_and(|gas| gases.contains(&gas.name))
        {
            event.gas = None;
        }
    }
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn same(one: &Event, other: &Event) -> bool {
    let gas = |event: &Event| event.gas.as_ref().map(|gas| gas.name.clone());
    one.consequence == other.consequence && gas(one) == gas(other)
}
