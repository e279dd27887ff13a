//! Quantities: what is printed reads back as the same, and tables of outside values.

use std::fmt::{Debug, Display};
use std::str::FromStr;

use wetside::units::{AirFlow, Dilution, Duration, Mass, RoomVolume, Temperature, Volume};

fn read<T>(text: &str) -> T
where
    T: FromStr,
    T::Err: Debug,
{
    text.parse()
        .unwrap_or_else(|error| panic!("{text}: {error:?}"))
}

/// Printed with at least three figures, so half a unit of the third may be lost.
fn round_trip<T>(value: T, number: impl Fn(T) -> f64, loss: f64)
where
    T: FromStr + Display + Copy,
    T::Err: Debug,
{
    let text = value.to_string();
    let (before, after) = (number(value), number(read(&text)));
    assert!(
        (before - after).abs() <= loss * before.abs().max(1e-12),
        "{before} → {text} → {after}"
    );
}

#[test]
fn what_is_printed_reads_back() {
    for exponent in -6..7 {
        for digits in [1.0, 1.234_567, 4.995, 9.999] {
            let value = digits * 10f64.powi(exponent);
            let loss = 0.0051;
            if let Ok(mass) = Mass::from_grams(value) {
                round_trip(mass, Mass::grams, loss);
            }
            if let Ok(volume) = Volume::from_litres(value) {
                round_trip(volume, Volume::litres, loss);
            }
            if let Ok(time) = Duration::from_hours(value.min(9e5)) {
                round_trip(time, Duration::hours, loss);
            }
            if let Ok(flow) = AirFlow::from_m3_per_h(value) {
                round_trip(flow, AirFlow::m3_per_h, loss);
            }
            if let Ok(room) = RoomVolume::from_m3(value) {
                round_trip(room, RoomVolume::m3, loss);
            }
        }
    }
    for celsius in [-5.0, 0.0, 20.0, 50.0, 100.0] {
        let printed = Temperature::from_celsius(celsius)
            .expect("in range")
            .to_string();
        assert_eq!(
            read::<Temperature>(&printed).celsius(),
            celsius,
            "{printed}"
        );
    }
    for text in ["1+9", "1+2", "3+1", "stock"] {
        assert_eq!(read::<Dilution>(text).to_string(), text);
    }
}

/// NIST SP 811 (2008), Appendix B.8: avoirdupois ounce 28.349 52 g, US fluid ounce 29.573 53 mL,
/// US gallon 3.785 412 L, cubic foot 0.028 316 85 m³, cubic foot a minute 4.719 474e-4 m³/s.
#[test]
fn us_units_are_those_of_the_standard() {
    let near = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 5e-7, "{a} against {b}");
    near(read::<Mass>("1 oz").grams(), 28.349_52);
    near(read::<Mass>("1 lb").grams(), 453.592_4);
    near(read::<Volume>("1 fl oz").millilitres(), 29.573_53);
    near(read::<Volume>("1 gallon").litres(), 3.785_412);
    near(read::<Volume>("1 quart").litres(), 0.946_352_9);
    near(read::<RoomVolume>("1000 ft3").m3(), 28.316_85);
    near(read::<AirFlow>("1 cfm").m3_per_h(), 4.719_474e-4 * 3600.0);
}

/// Whether a comma is a decimal sign or groups thousands is not guessed: a thousandfold error hides there.
#[test]
fn a_comma_before_three_digits_is_asked_about() {
    for text in ["1,000 mL", "2,500 g", "12,345 g", "1,000,000 g", "-1,000 g"] {
        let message = match text.parse::<Mass>() {
            Err(error) => error.to_string(),
            Ok(mass) => panic!("{text} was read as {mass}"),
        };
        assert!(message.contains("comma"), "{text}: {message}");
    }
    assert_eq!(read::<Mass>("2,5 g").grams(), 2.5);
    assert_eq!(read::<Mass>("0,125 g").grams(), 0.125);
    assert_eq!(read::<Mass>("2,50 g").grams(), 2.5);
}
