//! How many mixtures a second: 10 000 random mixtures of 8 ingredients, in each form of the law.
//!
//! `cargo bench --bench classify`

use std::time::Instant;

use wetside::catalogue::DataFiles;
use wetside::classify::{
    Balance, Classes, Form, HazardClass, Ingredient, Mixture, Profile, Rules, classify,
};
use wetside::units::Percent;

const MIXTURES: usize = 10_000;
const INGREDIENTS: u64 = 8;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let rules = Rules::read(&DataFiles::embedded())?;
    let mut random = Random(1);
    let mixtures: Vec<Mixture> = (0..MIXTURES)
        .map(|_| mixture(&mut random, &rules.classes))
        .collect::<Result<_, _>>()?;
    for profile in [Profile::Eu, Profile::Us, Profile::Ghs] {
        let start = Instant::now();
        let classes: usize = mixtures
            .iter()
            .map(|mixture| classify(mixture, profile, &rules).classes.len())
            .sum();
        let seconds = start.elapsed().as_secs_f64();
        let rate = MIXTURES as f64 / seconds;
        println!("{profile:?}: {rate:.0} mixtures a second ({classes} classes in {seconds:.2} s)");
    }
    Ok(())
}

fn mixture(random: &mut Random, classes: &Classes) -> Result<Mixture, Box<dyn std::error::Error>> {
    let rows: Vec<_> = classes.iter().collect();
    let mut ingredients = Vec::new();
    for n in 0..INGREDIENTS {
        let percent = Percent::from_percent(random.below(1200) as f64 / 100.0)?;
        let hazards = (0..random.below(5))
            .filter_map(|_| rows.get(random.below(rows.len() as u64) as usize))
            .map(|row| HazardClass::plain(row))
            .collect();
        ingredients.push(Ingredient::new(format!("ingredient {n}"), percent, hazards));
    }
    Ok(Mixture {
        name: "random".into(),
        form: Form::Liquid,
        ph: None,
        flash_point: None,
        boiling_point: None,
        viscosity: None,
        ingredients,
        balance: Balance::Water,
    })
}

/// A linear congruential generator (Knuth's MMIX constants): the same mixtures on every run.
struct Random(u64);

impl Random {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }
}
