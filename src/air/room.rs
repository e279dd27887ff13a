//! The room: its volume, the air that really changes, and the zone around the face.

use std::f64::consts::PI;

use super::linear::{self, Exchange};

/// A room as the models see it.
///
/// Three concentrations are followed: the room as one well-mixed whole, the near field (the
/// breathing zone around the source) and the far field (the rest). `fresh` is the flow that
/// really mixes, Q/K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Zones {
    /// The whole room, m³.
    pub room_m3: f64,
    /// The near field, m³.
    pub near_m3: f64,
    /// The rest, m³.
    pub far_m3: f64,
    /// Air exchanged between near and far field, m³/h.
    pub exchange_m3_per_h: f64,
    /// Fresh air that really mixes, m³/h.
    pub fresh_m3_per_h: f64,
}

/// Concentrations at one moment, mg/m³; or their integrals, mg h/m³.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Levels {
    /// The room taken as well mixed.
    pub room: f64,
    /// The breathing zone near the source.
    pub near: f64,
    /// The rest of the room.
    pub far: f64,
}

/// What is let into the air during one stretch of time.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Feed {
    /// Mass let out, mg/h.
    pub mg_per_h: f64,
    /// Air that open surfaces strip again, m³/h: the back pressure of what they gave off.
    pub uptake_m3_per_h: f64,
}

impl Zones {
    /// Half a ball of air around the source: V = (2/3) π r³, exchange π r² s (half its free
    /// surface times the air speed). It never takes more than half the room.
    pub fn around_face(
        room_m3: f64,
        fresh_m3_per_h: f64,
        radius_m: f64,
        speed_m_per_s: f64,
    ) -> Self {
        let near_m3 = (2.0 / 3.0 * PI * radius_m * radius_m * radius_m).min(room_m3 / 2.0);
        Self {
            room_m3,
            near_m3,
            far_m3: room_m3 - near_m3,
            exchange_m3_per_h: PI * radius_m * radius_m * speed_m_per_s * 3600.0,
            fresh_m3_per_h,
        }
    }

    fn room_rate(&self, feed: Feed) -> f64 {
        -(self.fresh_m3_per_h + feed.uptake_m3_per_h) / self.room_m3
    }

    fn exchange(&self, feed: Feed) -> Exchange {
        let between = self.exchange_m3_per_h;
        Exchange::new([
            [
                -(between + feed.uptake_m3_per_h) / self.near_m3,
                between / self.near_m3,
            ],
            [
                between / self.far_m3,
                -(between + self.fresh_m3_per_h) / self.far_m3,
            ],
        ])
    }

    /// Levels after some hours of a steady feed: exact.
    pub fn after(&self, start: Levels, feed: Feed, hours: f64) -> Levels {
        let fed = [feed.mg_per_h / self.near_m3, 0.0];
        let [near, far] = self
            .exchange(feed)
            .after(fed, [start.near, start.far], hours);
        let room = feed.mg_per_h / self.room_m3;
        Levels {
            room: linear::after(self.room_rate(feed), room, start.room, hours),
            near,
            far,
        }
    }

    /// What was breathed during some hours of a steady feed, mg h/m³: exact.
    pub fn dose(&self, start: Levels, feed: Feed, hours: f64) -> Levels {
        let [near, far] = self.near_and_far_dose(start, feed, hours);
        Levels {
            room: self.room_dose(start.room, feed, hours),
            near,
            far,
        }
    }

    /// The same of near and far field alone.
    pub fn near_and_far_dose(&self, start: Levels, feed: Feed, hours: f64) -> [f64; 2] {
        let fed = [feed.mg_per_h / self.near_m3, 0.0];
        let exchange = self.exchange(feed);
        exchange.integral(fed, [start.near, start.far], hours)
    }

    /// The same of the room taken as well mixed.
    pub fn room_dose(&self, start: f64, feed: Feed, hours: f64) -> f64 {
        let fed = feed.mg_per_h / self.room_m3;
        linear::integral(self.room_rate(feed), fed, start, hours)
    }

    /// Levels after a sudden release of so many mg near the face.
    pub fn burst(&self, at: Levels, mg: f64) -> Levels {
        Levels {
            room: at.room + mg / self.room_m3,
            near: at.near + mg / self.near_m3,
            far: at.far,
        }
    }

    /// Where a steady feed leads in the end; `None` in a sealed room, which never settles.
    pub fn steady(&self, feed: Feed) -> Option<Levels> {
        let (fresh, uptake, between) = (
            self.fresh_m3_per_h,
            feed.uptake_m3_per_h,
            self.exchange_m3_per_h,
        );
        if fresh + uptake <= 0.0 {
            return None;
        }
        let room = feed.mg_per_h / (fresh + uptake);
        // G = (uptake + series of between and fresh) Cn; Cf = Cn between/(between + fresh).
        let onward = between * fresh / (between + fresh);
        let near = feed.mg_per_h / (uptake + onward);
        Some(Levels {
            room,
            near,
            far: near * between / (between + fresh),
        })
    }
}
