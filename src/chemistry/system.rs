//! A bath written down for the solver: amounts per kilogram of water, constants at its
//! temperature, and every ion's number in flat lists.

use crate::chemistry::activity::Interactions;
use crate::chemistry::component::{Component, Components};
use crate::chemistry::water::{Conditions, ROOM};

/// Where H⁺ stands in the lists.
pub const HYDROGEN: usize = 0;
/// Where OH⁻ stands in the lists.
pub const HYDROXIDE: usize = 1;

/// The forms of one component within the lists.
#[derive(Debug, Clone)]
pub struct Group {
    /// The component's number.
    pub component: usize,
    /// First and one past the last of its forms.
    pub forms: (usize, usize),
    /// Its amount, mol/kg water; above zero.
    pub total: f64,
    /// Whether some of its forms are made of several units.
    pub clusters: bool,
}

impl Group {
    /// Whether it has one form only, whatever the pH.
    pub fn is_fixed(&self) -> bool {
        self.forms.1 - self.forms.0 == 1
    }
}

/// An interaction coefficient of two ions by their places in the lists, already times ln 10.
#[derive(Debug, Clone, Copy)]
pub struct Pair {
    /// Place of the cation.
    pub cation: usize,
    /// Place of the anion.
    pub anion: usize,
    /// ε ln 10, kg/mol.
    pub epsilon: f64,
}

/// One form of a component, for the solver.
#[derive(Debug, Clone, Copy)]
pub struct Species {
    /// Its number among all forms there are.
    pub number: usize,
    /// Its charge.
    pub charge: f64,
    /// Protons it binds.
    pub protons: f64,
    /// Units it is made of.
    pub units: f64,
    /// ln of its formation constant.
    pub ln_formation: f64,
    /// Its formation constant.
    pub formation: f64,
}

impl Species {
    fn of_water(number: usize, charge: f64, ln_formation: f64, formation: f64) -> Self {
        Self {
            number,
            charge,
            protons: charge,
            units: 0.0,
            ln_formation,
            formation,
        }
    }
}

/// A bath for the solver.
#[derive(Debug, Clone)]
pub struct System {
    /// The components present.
    pub groups: Vec<Group>,
    /// All forms: H⁺, OH⁻, then group after group.
    pub species: Vec<Species>,
    /// Interaction coefficients of the ions present.
    pub pairs: Vec<Pair>,
    /// Whether there is a pair of which both amounts hang on the pH.
    pub moving_pairs: bool,
    /// Positive and negative charge of ions that take no part, mol/kg.
    pub fixed: (f64, f64),
    /// Their amounts times charges squared, mol/kg.
    pub fixed_square: f64,
    /// A ln 10 of the Debye–Hückel term.
    pub slope: f64,
    /// ln of the ionisation constant of water.
    pub ln_kw: f64,
    /// °C.
    pub celsius: f64,
}

impl System {
    /// Amounts are (component number, mol/kg water) in any order; a component that occurs twice
    /// is added up, and what is not above zero is left out.
    pub fn new(
        components: &Components,
        interactions: &Interactions,
        amounts: &[(usize, f64)],
        conditions: Conditions,
    ) -> Self {
        let amounts = gathered(amounts);
        let forms = |(index, _): &(usize, f64)| {
            components
                .get(*index)
                .map_or(0, |component| component.forms.len())
        };
        let count = 2 + amounts.iter().map(forms).sum::<usize>();
        let mut species = Vec::with_capacity(count);
        species.push(Species::of_water(HYDROGEN, 1.0, 0.0, 1.0));
        species.push(Species::of_water(
            HYDROXIDE,
            -1.0,
            conditions.ln_kw,
            conditions.kw,
        ));
        let mut system = Self {
            groups: Vec::with_capacity(amounts.len()),
            species,
            pairs: Vec::with_capacity(2 * count),
            moving_pairs: false,
            fixed: (0.0, 0.0),
            fixed_square: 0.0,
            slope: conditions.slope,
            ln_kw: conditions.ln_kw,
            celsius: conditions.celsius,
        };
        for (index, total) in amounts {
            system.add_group(components, index, total, &conditions);
        }
        system.add_pairs(components, interactions);
        system
    }

    /// The same with another amount of a component that is there and has several forms, mol/kg.
    pub fn set_total(&mut self, component: usize, total: f64) {
        let found = self
            .groups
            .iter_mut()
            .find(|group| group.component == component);
        if let Some(group) = found.filter(|group| !group.is_fixed()) {
            group.total = total.max(LEAST);
        }
    }

    /// How many forms there are, H⁺ and OH⁻ included.
    pub fn len(&self) -> usize {
        self.species.len()
    }

    /// Where the form with a number stands, if it is there.
    pub fn place(&self, number: usize) -> Option<usize> {
        let mut species = self.species.iter();
        species.position(|species| species.number == number)
    }

    /// Whether there is nothing but water's own ions.
    pub fn is_empty(&self) -> bool {
        self.groups.is_empty()
    }

    /// The name of a form by its place.
    pub fn name<'a>(&self, components: &'a Components, place: usize) -> &'a str {
        match place {
            HYDROGEN => "H+",
            HYDROXIDE => "OH-",
            _ => self
                .form_of(components, place)
                .map_or("", |form| form.name.as_str()),
        }
    }

    fn form_of<'a>(
        &self,
        components: &'a Components,
        place: usize,
    ) -> Option<&'a crate::chemistry::component::Form> {
        let group = self
            .groups
            .iter()
            .find(|group| place >= group.forms.0 && place < group.forms.1)?;
        components
            .get(group.component)?
            .forms
            .get(place - group.forms.0)
    }

    fn add_group(
        &mut self,
        components: &Components,
        index: usize,
        total: f64,
        conditions: &Conditions,
    ) {
        let Some(component) = components.get(index) else {
            return;
        };
        let first = self.len();
        self.add_forms(component, conditions);
        if let [only] = component.forms.as_slice() {
            self.fixed.0 += total * only.charge.max(0.0);
            self.fixed.1 -= total * only.charge.min(0.0);
            self.fixed_square += total * only.charge * only.charge;
        }
        self.groups.push(Group {
            component: index,
            forms: (first, self.len()),
            total,
            clusters: component.forms.iter().any(|form| form.cluster_of.is_some()),
        });
    }

    fn add_forms(&mut self, component: &Component, conditions: &Conditions) {
        if conditions.celsius == ROOM {
            self.species.extend_from_slice(&component.room_species);
        } else {
            self.species
                .extend(component.species(&conditions.van_t_hoff));
        }
    }

    fn add_pairs(&mut self, components: &Components, interactions: &Interactions) {
        // No anion stands at H⁺'s place, so that it can mean nowhere.
        let mut place_of = vec![HYDROGEN; components.form_count()];
        let mut moves = vec![true; self.len()];
        for (place, species) in self.species.iter().enumerate() {
            place_of[species.number] = place;
        }
        for group in self.groups.iter().filter(|group| group.is_fixed()) {
            moves[group.forms.0] = false;
        }
        for (cation, species) in self.species.iter().enumerate() {
            for (anion, epsilon) in interactions.ln_of_cation(species.number) {
                let anion = place_of[*anion];
                if anion != HYDROGEN {
                    self.moving_pairs |= moves[cation] && moves[anion];
                    self.pairs.push(Pair {
                        cation,
                        anion,
                        epsilon: *epsilon,
                    });
                }
            }
        }
    }
}

/// The least amount of a component that is followed, mol/kg.
const LEAST: f64 = 1e-20;

fn gathered(amounts: &[(usize, f64)]) -> Vec<(usize, f64)> {
    let mut sorted: Vec<(usize, f64)> = amounts.to_vec();
    // By amount too, so that sums come out the same whatever the order given.
    sorted.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut sums: Vec<(usize, f64)> = Vec::with_capacity(sorted.len());
    for (index, amount) in sorted {
        match sums.last_mut() {
            Some(last) if last.0 == index => last.1 += amount,
            _ => sums.push((index, amount)),
        }
    }
    sums.retain(|(_, amount)| *amount > LEAST && amount.is_finite());
    sums
}
