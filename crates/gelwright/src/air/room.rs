//! A room and its air: well mixed, or with a near field around the work.

use super::trace::{Piece, Trace};
use crate::error::{Error, Result};
use crate::noun::{self, Noun};
use crate::quantity::{Frequency, Mass, Quantity, RelativeAmount, Time, Volume, VolumeRate, show};

/// Extraction at the work: a hood, a slot or a hose beside the mould.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct Extraction {
    /// Air that it carries out of the room.
    #[noun(within("0 m^3/h", "1e6 m^3/h", "give what the fan moves, for example '400 m^3/h'"))]
    pub flow: VolumeRate,
    /// Share of the vapour that it catches before it is in the room: measured with smoke or a meter, never assumed.
    #[noun(
        default = "0 %",
        within("0 %", "100 %", "give the share caught, for example '50 %'")
    )]
    pub captures: RelativeAmount,
    /// Whether it runs.
    #[noun(default = true)]
    pub on: bool,
}

/// The air around the work, in which the person's head is.
#[derive(Clone, Copy, PartialEq, Noun)]
pub struct NearField {
    /// Its volume: a hemisphere of arm's length has 1 m³.
    #[noun(within(> "0 m^3", "1000 m^3", "a hemisphere of arm's length has '1 m^3'"))]
    pub volume: Volume,
    /// Air that passes between it and the rest of the room.
    #[noun(within(> "0 m^3/h", "1e6 m^3/h", "still air: some '200 m^3/h'"))]
    pub exchange: VolumeRate,
}

/// A room, as the air in it sees it.
///
/// Well mixed: `V dC/dt = G (1 - c) - Q C`, `Q = (n V + E)/K` with the air changes `n`, the extraction's flow `E` and its share
/// caught `c`, the mixing factor `K`. With a near field of `V_n` and an exchange `b`, in which all vapour is set free:
/// `V_n dC_n/dt = G (1 - c) + b (C_f - C_n)`, `(V - V_n) dC_f/dt = b (C_n - C_f) - Q C_f`.
///
/// Sources: ACGIH, Industrial Ventilation, chapter 2 (dilution with the factor K; from memory); M. Nicas, A decoupling method
/// to compute near field and far field exposure concentrations, Ann. Work Expo. Health 68:78 (2024),
/// doi 10.1093/annweh/wxad064 (equations of both).
///
/// Not modelled: vapour that sinks (styrene is 3.6 times as heavy as air and pools in a mould), draughts, what walls and
/// clothes take up.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct Room {
    /// Its volume.
    #[noun(within(> "0 m^3", "1e6 m^3", "length times width times height, for example '60 m^3'"))]
    pub volume: Volume,
    /// Air changes: fresh air a time over the room's volume.
    #[noun(within(
        "0 1/h",
        "1000 1/h",
        "closed windows have about '0.5 1/h', an open door some '3 1/h'"
    ))]
    pub air_changes: Frequency,
    /// How much more air it takes than if it mixed at once (K): 1 for perfect mixing, 3 for good supply, 10 for poor.
    #[noun(
        default = 3,
        within(1, 10, "1 for perfect mixing, 3 for a good supply, 10 for a poor one")
    )]
    pub mixing_factor: f64,
    /// Extraction at the work.
    pub extraction: Option<Extraction>,
    /// The air around the work; without it the room is taken as one.
    pub near_field: Option<NearField>,
}

/// Vapour that gets into the room, evenly over a time.
#[derive(Clone, Copy, PartialEq, Noun)]
#[noun(check)]
pub struct Emission {
    /// When it begins.
    #[noun(within("0 s", "1000 d"))]
    pub from: Time,
    /// When it ends.
    #[noun(within("0 s", "1000 d"))]
    pub until: Time,
    /// Mass of vapour.
    #[noun(within("0 g", "1000 kg", "give the mass of vapour, for example '24 g'"))]
    pub mass: Mass,
}

impl Emission {
    pub(super) fn check(&self) -> Result<()> {
        if self.until.si() > self.from.si() {
            return Ok(());
        }
        Err(Error::inconsistent(
            "until",
            show(self.until),
            format!("after {}", show(self.from)),
            "give when the vapour begins and when it ends",
        ))
    }
}

/// What is in the air over time, kg/m³.
#[derive(Debug, Clone)]
pub(super) struct Followed {
    /// What the person breathes.
    pub(super) breathed: Trace,
    /// The rest of the room; the same where there is no near field.
    pub(super) room: Trace,
    /// Air that leaves, m³/s.
    pub(super) flow: f64,
    /// Share caught at the work.
    pub(super) caught: f64,
}

impl Room {
    pub(super) fn check(&self) -> Result<()> {
        let Some(near) = self.near_field else {
            return Ok(());
        };
        if near.volume.si() < self.volume.si() {
            return Ok(());
        }
        Err(Error::inconsistent(
            "near_field.volume",
            show(near.volume),
            format!("less than the room's {}", show(self.volume)),
            "a near field is the air around the work: some '1 m^3'",
        ))
    }

    /// Air that leaves, as mixing lets it count, m³/s.
    pub(crate) fn flow(&self) -> f64 {
        let on = self.extraction.filter(|e| e.on).map_or(0.0, |e| e.flow.si());
        (self.air_changes.si() * self.volume.si() + on) / self.mixing_factor
    }

    fn caught(&self) -> f64 {
        self.extraction.filter(|e| e.on).map_or(0.0, |e| e.captures.get())
    }

    /// The same room with other air changes.
    pub(super) fn with_air_changes(mut self, per_second: f64) -> Result<Room> {
        self.air_changes = Frequency::from_si(per_second)?;
        Ok(self)
    }

    /// Follows some emissions; exact between their changes.
    pub(super) fn follow(&self, emissions: &[Emission]) -> Followed {
        let (flow, caught) = (self.flow(), self.caught());
        let mut changes: Vec<f64> = emissions
            .iter()
            .flat_map(|e| [e.from.si(), e.until.si()])
            .collect();
        changes.sort_by(f64::total_cmp);
        changes.dedup();
        let rate = |t: f64| -> f64 {
            let on = emissions.iter().filter(|e| e.from.si() <= t && t < e.until.si());
            on.map(|e| (1.0 - caught) * e.mass.si() / (e.until.si() - e.from.si()))
                .sum()
        };
        let (mut near, mut far) = (Trace::default(), Trace::default());
        let mut state = [0.0, 0.0];
        for (i, from) in changes.iter().copied().enumerate() {
            let until = changes.get(i + 1).copied().unwrap_or(f64::INFINITY);
            let [n, f] = match self.near_field {
                None => {
                    let one = self.one_zone(state[0], rate(from), flow);
                    [one; 2]
                }
                Some(field) => self.two_zones(field, state, rate(from), flow),
            };
            let placed = |p: Piece| Piece { from, until, ..p };
            near.0.push(placed(n));
            far.0.push(placed(f));
            if until.is_finite() {
                state = [near.at(until), far.at(until)];
            }
        }
        Followed {
            breathed: near,
            room: far,
            flow,
            caught,
        }
    }

    fn one_zone(&self, c: f64, g: f64, q: f64) -> Piece {
        let v = self.volume.si();
        let (steady, slope) = if q > 0.0 { (g / q, 0.0) } else { (c, g / v) };
        Piece {
            from: 0.0,
            until: 0.0,
            steady,
            slope,
            parts: [if q > 0.0 { c - steady } else { 0.0 }, 0.0],
            rates: [q / v, 0.0],
        }
    }

    /// Eigenvalues `-l` and vectors `(1, 1 - l V_n/b)` of the two equations.
    fn two_zones(&self, field: NearField, [n, f]: [f64; 2], g: f64, q: f64) -> [Piece; 2] {
        let (vn, b) = (field.volume.si(), field.exchange.si());
        let vf = self.volume.si() - vn;
        let (trace, det) = (b / vn + (b + q) / vf, b * q / (vn * vf));
        let fast = 0.5 * (trace + (trace * trace - 4.0 * det).max(0.0).sqrt());
        let slow = det / fast;
        let (steady, slope) = if q > 0.0 {
            ([g / q + g / b, g / q], 0.0)
        } else {
            ([g * vf / (b * (vn + vf)), 0.0], g / (vn + vf))
        };
        let (dn, df) = (n - steady[0], f - steady[1]);
        let ratio = |l: f64| 1.0 - l * vn / b;
        let of_fast = (df - dn * ratio(slow)) / (ratio(fast) - ratio(slow));
        let of_slow = dn - of_fast;
        let piece = |steady: f64, parts: [f64; 2]| Piece {
            from: 0.0,
            until: 0.0,
            steady,
            slope,
            parts,
            rates: [slow, fast],
        };
        [
            piece(steady[0], [of_slow, of_fast]),
            piece(steady[1], [of_slow * ratio(slow), of_fast * ratio(fast)]),
        ]
    }

    /// Vapour in the room at a time, kg.
    pub(super) fn held(&self, followed: &Followed, t: f64) -> f64 {
        let near = self.near_field.map_or(0.0, |f| f.volume.si());
        near * followed.breathed.at(t) + (self.volume.si() - near) * followed.room.at(t)
    }
}

/// Refuses a room and emissions that can not be.
pub(super) fn check(room: &Room, emissions: &[Emission]) -> Result<()> {
    noun::check(room)?;
    room.check().map_err(|e| e.within("room"))?;
    Error::none_of(emissions.iter().enumerate().map(|(i, e)| {
        noun::check(e)
            .and_then(|()| e.check())
            .map_err(|e| e.within(format!("emissions[{i}]")))
    }))
}
