//! Laws the models must keep whatever the schedule.

use proptest::prelude::*;

use super::super::release::{Release, Schedule};
use super::super::room::{Feed, Levels, Zones};
use super::super::{Balance, Course};

fn release() -> impl Strategy<Value = Release> {
    prop_oneof![
        (0.0..1e5, 0.0..12.0, 0.01..6.0).prop_map(|(mg_per_h, from_h, lasts)| Release::Steady {
            mg_per_h,
            from_h,
            to_h: from_h + lasts
        }),
        (0.0..1e6, 0.0..12.0).prop_map(|(mg, at_h)| Release::Burst { mg, at_h }),
        (0.0..1e6, 0.0..12.0, 0.01..0.5).prop_map(|(mg, from_h, lasts)| Release::Puff {
            mg,
            from_h,
            to_h: from_h + lasts
        }),
        (0.001..20.0, 0.1..1e4, 0.0..12.0, 0.01..6.0).prop_map(
            |(conductance_m3_per_h, equilibrium_mg_per_m3, from_h, lasts)| Release::Surface {
                conductance_m3_per_h,
                equilibrium_mg_per_m3,
                from_h,
                to_h: from_h + lasts,
            }
        ),
    ]
}

fn zones() -> impl Strategy<Value = Zones> {
    (2.0..500.0, 0.0..5000.0, 0.2..1.5, 0.01..0.5)
        .prop_map(|(m3, fresh, radius, speed)| Zones::around_face(m3, fresh, radius, speed))
}

fn balanced(balance: Balance, scale: f64) -> bool {
    (balance.emitted_mg - balance.removed_mg - balance.remaining_mg).abs() <= 1e-9 * scale
}

/// Everything let out before back pressure, mg: the scale of the books.
fn scale(schedule: &Schedule, until: f64) -> f64 {
    let moments = schedule.moments(until);
    let fed: f64 = moments
        .windows(2)
        .map(|p| schedule.feed(p[0], p[1]).mg_per_h * (p[1] - p[0]))
        .sum();
    let bursts: f64 = moments.iter().map(|t| schedule.burst_at(*t)).sum();
    (fed + bursts).max(1e-6)
}

proptest! {
    /// Emitted = removed + remaining, for the room and for the two zones.
    #[test]
    fn nothing_is_lost(zones in zones(), releases in prop::collection::vec(release(), 1..8), until in 0.5..16.0) {
        let schedule = Schedule::new(releases);
        let course = Course::run(zones, &schedule, until);
        let scale = scale(&schedule, until);
        prop_assert!(balanced(course.room_balance(), scale), "{:?}", course.room_balance());
        prop_assert!(balanced(course.zone_balance(), scale), "{:?}", course.zone_balance());
    }

    /// A puff lets out what it holds, whatever comes before or after it.
    #[test]
    fn a_puff_lets_out_its_mass(zones in zones(), mg in 1.0..1e6, from_h in 0.0..10.0, lasts in 0.01..0.5) {
        let puff = Release::Puff { mg, from_h, to_h: from_h + lasts };
        let course = Course::run(zones, &Schedule::new(vec![puff]), 12.0);
        prop_assert!((course.room_balance().emitted_mg / mg - 1.0).abs() < 1e-9);
    }

    /// After long enough the level is G/Q.
    #[test]
    fn steady_state_is_release_over_flow(zones in zones(), mg_per_h in 1.0..1e5) {
        prop_assume!(zones.fresh_m3_per_h > 0.1);
        let feed = Feed { mg_per_h, uptake_m3_per_h: 0.0 };
        let steady = zones.steady(feed).unwrap();
        prop_assert!((steady.room / (mg_per_h / zones.fresh_m3_per_h) - 1.0).abs() < 1e-12);
        prop_assert!((steady.far / steady.room - 1.0).abs() < 1e-9);
        prop_assert!((steady.near / (steady.room + mg_per_h / zones.exchange_m3_per_h) - 1.0).abs() < 1e-9);
        let late = zones.after(Levels::default(), feed, 1e6);
        prop_assert!((late.room / steady.room - 1.0).abs() < 1e-9);
        prop_assert!((late.near / steady.near - 1.0).abs() < 1e-6);
    }

    /// Surfaces alone never bring the air above what the strongest of them holds up.
    #[test]
    fn no_more_than_equilibrium(zones in zones(), conductance in 0.01..50.0, equilibrium in 0.1..1e4) {
        let surface = Release::Surface { conductance_m3_per_h: conductance, equilibrium_mg_per_m3: equilibrium, from_h: 0.0, to_h: 100.0 };
        let course = Course::run(zones, &Schedule::new(vec![surface]), 100.0);
        let end = course.end();
        prop_assert!(end.room <= equilibrium * (1.0 + 1e-9) && end.near <= equilibrium * (1.0 + 1e-9));
    }
}

/// Classical fourth-order Runge–Kutta on the differential equations themselves.
#[test]
fn exact_solution_against_numerical_integration() {
    let zones = Zones::around_face(25.0, 40.0, 0.6, 0.06);
    let feed = Feed {
        mg_per_h: 500.0,
        uptake_m3_per_h: 2.5,
    };
    let slope = |l: Levels| Levels {
        room: (feed.mg_per_h - (zones.fresh_m3_per_h + feed.uptake_m3_per_h) * l.room)
            / zones.room_m3,
        near: (feed.mg_per_h + zones.exchange_m3_per_h * (l.far - l.near)
            - feed.uptake_m3_per_h * l.near)
            / zones.near_m3,
        far: (zones.exchange_m3_per_h * (l.near - l.far) - zones.fresh_m3_per_h * l.far)
            / zones.far_m3,
    };
    let plus = |l: Levels, s: Levels, h: f64| Levels {
        room: l.room + h * s.room,
        near: l.near + h * s.near,
        far: l.far + h * s.far,
    };
    let start = Levels {
        room: 3.0,
        near: 90.0,
        far: 1.0,
    };
    let (mut level, mut dose, h) = (start, Levels::default(), 1.0 / 20_000.0);
    for n in 1..=20_000 {
        let k1 = slope(level);
        let k2 = slope(plus(level, k1, h / 2.0));
        let k3 = slope(plus(level, k2, h / 2.0));
        let k4 = slope(plus(level, k3, h));
        let mean = plus(plus(plus(k1, k2, 2.0), k3, 2.0), k4, 1.0);
        let next = plus(level, mean, h / 6.0);
        dose = plus(dose, plus(level, next, 1.0), h / 2.0);
        level = next;
        if n % 4000 == 0 {
            let exact = zones.after(start, feed, f64::from(n) * h);
            for (a, b) in [
                (level.room, exact.room),
                (level.near, exact.near),
                (level.far, exact.far),
            ] {
                assert!((a / b - 1.0).abs() < 1e-8, "{a} {b}");
            }
        }
    }
    let exact = zones.dose(start, feed, 1.0);
    for (a, b) in [
        (dose.room, exact.room),
        (dose.near, exact.near),
        (dose.far, exact.far),
    ] {
        assert!((a / b - 1.0).abs() < 1e-4, "{a} {b}");
    }
}
