//! When how much of a gas is let into the air.

/// One release of one gas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Release {
    /// So many mg/h from one hour to another.
    Steady {
        mg_per_h: f64,
        from_h: f64,
        to_h: f64,
    },
    /// So many mg within a short time: over before a flow could be reckoned as if it went on.
    Puff { mg: f64, from_h: f64, to_h: f64 },
    /// So many mg at once.
    Burst { mg: f64, at_h: f64 },
    /// An open surface: it gives off conductance × (equilibrium − what is in the air).
    Surface {
        conductance_m3_per_h: f64,
        equilibrium_mg_per_m3: f64,
        from_h: f64,
        to_h: f64,
    },
}

impl Release {
    /// The hour it begins.
    pub fn begins(&self) -> f64 {
        match *self {
            Self::Steady { from_h, .. }
            | Self::Puff { from_h, .. }
            | Self::Surface { from_h, .. } => from_h,
            Self::Burst { at_h, .. } => at_h,
        }
    }

    /// The hour it ends.
    pub fn ends(&self) -> f64 {
        match *self {
            Self::Steady { to_h, .. } | Self::Puff { to_h, .. } | Self::Surface { to_h, .. } => {
                to_h
            }
            Self::Burst { at_h, .. } => at_h,
        }
    }

    /// What it gives into clean air while it lasts, mg/h; a burst has no rate.
    pub fn rate_into_clean_air(&self) -> f64 {
        match *self {
            Self::Steady { mg_per_h, .. } => mg_per_h,
            Self::Puff { mg, from_h, to_h } if to_h > from_h => mg / (to_h - from_h),
            Self::Puff { .. } => 0.0,
            Self::Surface {
                conductance_m3_per_h,
                equilibrium_mg_per_m3,
                ..
            } => conductance_m3_per_h * equilibrium_mg_per_m3,
            Self::Burst { .. } => 0.0,
        }
    }

    /// Whether it is over before a steady state could come near.
    pub fn is_brief(&self) -> bool {
        matches!(self, Self::Burst { .. } | Self::Puff { .. })
    }

    fn runs_during(&self, from_h: f64, to_h: f64) -> bool {
        self.begins() <= from_h && self.ends() >= to_h
    }
}

/// All releases of one gas over the time looked at.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Schedule {
    releases: Vec<Release>,
}

impl Schedule {
    /// From its releases.
    pub fn new(releases: Vec<Release>) -> Self {
        Self { releases }
    }

    /// The releases.
    pub fn releases(&self) -> &[Release] {
        &self.releases
    }

    /// The releases that go on for a while.
    pub fn lasting(&self) -> Self {
        let lasting = self.releases.iter().filter(|release| !release.is_brief());
        Self::new(lasting.copied().collect())
    }

    /// Whether all of the gas comes off open surfaces.
    ///
    /// Only then is the back pressure of the air counted: a bath is not relied on to swallow
    /// what something else let out.
    pub fn only_surfaces(&self) -> bool {
        self.releases
            .iter()
            .all(|release| matches!(release, Release::Surface { .. }))
    }

    /// The moments from 0 to `until` between which nothing changes, both included.
    pub fn moments(&self, until_h: f64) -> Vec<f64> {
        let ends = self.releases.iter().flat_map(|r| [r.begins(), r.ends()]);
        let mut moments: Vec<f64> = ends
            .filter(|&t| t > 0.0 && t < until_h)
            .chain([0.0, until_h])
            .collect();
        moments.sort_by(f64::total_cmp);
        moments.dedup();
        moments
    }

    /// What bursts at a moment, mg.
    pub fn burst_at(&self, hour: f64) -> f64 {
        self.releases
            .iter()
            .map(|release| match *release {
                Release::Burst { mg, at_h } if at_h == hour => mg,
                _ => 0.0,
            })
            .sum()
    }

    /// The feed during a stretch between two moments.
    pub fn feed(&self, from_h: f64, to_h: f64) -> super::room::Feed {
        let running = self.releases.iter().filter(|r| r.runs_during(from_h, to_h));
        let uptake = self.only_surfaces();
        running.fold(super::room::Feed::default(), |mut feed, release| {
            feed.mg_per_h += release.rate_into_clean_air();
            if let Release::Surface {
                conductance_m3_per_h,
                ..
            } = *release
                && uptake
            {
                feed.uptake_m3_per_h += conductance_m3_per_h;
            }
            feed
        })
    }
}
