mod balance;
mod darkrooms;
mod data;
mod examples;
mod files;

use crate::catalogue::DataFiles;
use crate::units::{Area, Duration, RoomVolume, Temperature};

use super::case::{AirCase, FreshAir, Held, NearField, OpenBath, Volatile};
use super::gases::Gases;
use super::model::AirModel;

fn gases() -> Gases {
    Gases::read(&DataFiles::embedded()).unwrap()
}

fn model() -> AirModel {
    AirModel::read(&DataFiles::embedded()).unwrap()
}

fn hours(value: f64) -> Duration {
    Duration::from_hours(value).unwrap()
}

fn room(m3: f64, fresh_air: Option<f64>, until_h: f64) -> AirCase {
    let flow = |v| FreshAir::Stated(crate::units::AirFlow::from_m3_per_h(v).unwrap());
    AirCase {
        room: RoomVolume::from_m3(m3).unwrap(),
        fresh_air: fresh_air.map_or(FreshAir::NotStated, flow),
        window_open: false,
        mixing: Some(super::Mixing::new(1.0).unwrap()),
        near_field: NearField::default(),
        releases: Vec::new(),
        baths: Vec::new(),
        fillings: Vec::new(),
        weighings: Vec::new(),
        until: hours(until_h),
    }
}

/// A tray open the whole time, with one dissolved gas.
fn tray(
    gas: &str,
    free: f64,
    reservoir: Option<f64>,
    m2: f64,
    celsius: f64,
    air: f64,
    lasts_h: f64,
) -> OpenBath {
    OpenBath {
        solution: "tray".into(),
        area: Area::from_m2(m2).unwrap(),
        at: Temperature::from_celsius(celsius).unwrap(),
        air_speed: Some(super::AirSpeed::from_m_per_s(air).unwrap()),
        along: None,
        lid: false,
        from: hours(0.0),
        lasts: hours(lasts_h),
        volatiles: vec![Volatile {
            gas: gas.into(),
            held: Held::Dissolved {
                free_mol_per_l: free,
                reservoir_mol_per_l: reservoir,
            },
        }],
    }
}

fn within(value: f64, expected: f64, share: f64, what: &str) {
    assert!(
        (value / expected - 1.0).abs() <= share,
        "{what}: {value}, printed {expected}"
    );
}
