//! One failure from one state, with all that is told of a single night.

use overwinter_engine::branch::Saved;
use overwinter_engine::error::EngineError;
use overwinter_engine::house::House;
use overwinter_engine::inflated::Severity;
use overwinter_engine::outage::{
    FailingNow, Heating, Outage, Question, heating, outage, standby_w,
};
use overwinter_engine::season::Season;

use super::effect::Effect;
use super::stage::Stage;
use crate::tables::outages::{HeatersGoOn, OneNight};

/// What a failure does in one night.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Tryout {
    /// With what is likely.
    pub(super) likely: Outage,
    /// With both ends of what nobody has measured; where a gap empties.
    ends: Option<[Outage; 2]>,
    /// Output of a standby heater by length; where a heater stops.
    standby_w: Option<Vec<f64>>,
    /// The heaters by length with the failure and without it; where all of them go on.
    heating: Option<[Vec<Heating>; 2]>,
    /// How far below its set point the first heater lets the air come before it gives all it has.
    full_below_set_k: f64,
}

/// Seasons of a house and of its twin with a standby heater.
pub(super) struct Pair<'a> {
    house: &'a House,
    season: Season<'a, f64>,
    standby: Season<'a, f64>,
    hold_k: f64,
}

impl<'a> Pair<'a> {
    pub(super) fn start(
        stage: &'a Stage<'_>,
        standby: &'a Stage<'_>,
        hold_k: f64,
    ) -> Result<Self, EngineError> {
        Ok(Self {
            house: stage.house(),
            season: stage.season()?,
            standby: standby.season()?,
            hold_k,
        })
    }

    /// Lets something fail from a state on.
    pub(super) fn tryout(
        &mut self,
        state: &Saved<f64>,
        question: &Question,
        effect: &Effect,
    ) -> Result<Tryout, EngineError> {
        let likely = outage(&mut self.season, state, question)?;
        let (failing, lengths_h) = (&question.failing, &question.lengths_h);
        let ends = if effect.moves_gaps() {
            Some(self.ends(state, question)?)
        } else {
            None
        };
        let mut tryout = Tryout {
            likely,
            ends,
            standby_w: None,
            heating: None,
            full_below_set_k: full_below_set_k(self.house),
        };
        if effect.heaters_go_on() {
            let nothing = FailingNow::default();
            tryout.heating = Some([
                heating(&mut self.season, state, failing, lengths_h)?,
                heating(&mut self.season, state, &nothing, lengths_h)?,
            ]);
        } else {
            let held_w = standby_w(&mut self.standby, state, failing, lengths_h, self.hold_k)?;
            tryout.standby_w = Some(held_w);
        }
        Ok(tryout)
    }

    fn ends(
        &mut self,
        state: &Saved<f64>,
        question: &Question,
    ) -> Result<[Outage; 2], EngineError> {
        let mut end = |severity| {
            self.season.set_severity(severity);
            let end = outage(&mut self.season, state, question);
            self.season.set_severity(Severity::Likely);
            end
        };
        Ok([end(Severity::Kind)?, end(Severity::Harsh)?])
    }
}

fn full_below_set_k(house: &House) -> f64 {
    house
        .heaters
        .first()
        .map_or(0.0, |heater| heater.band_k / 2.0 - heater.offset_k)
}

impl Tryout {
    /// What there is to tell of the length at an index; `None` where the branch is shorter.
    pub(super) fn night(&self, length: usize) -> Option<OneNight> {
        let rung = self.likely.rungs.get(length)?;
        let within = |time_h: Option<f64>| time_h.filter(|time_h| *time_h <= rung.length_h);
        Some(OneNight {
            start_hour: self.likely.start_hour,
            leaf_k: rung.lowest_leaf_k,
            leaf_range_k: self.range_k(length, rung.lowest_leaf_k),
            air_k: rung.lowest_air_k,
            alarm_h: within(self.likely.alarm_h),
            freezing_h: within(self.likely.freezing_h),
            limit_h: within(self.likely.limit_h),
            is_lost: rung.is_lost,
            plateau_k: self.likely.plateau_k,
            standby_w: self
                .standby_w
                .as_ref()
                .and_then(|standby_w| standby_w.get(length).copied()),
            heaters: self.heaters(length),
        })
    }

    /// Lowest and highest of the lowest leaf with all that is kind, likely and harsh.
    fn range_k(&self, length: usize, likely_k: f64) -> Option<[f64; 2]> {
        let ends = self.ends.as_ref()?;
        let of_ends = ends.iter().filter_map(|end| end.rungs.get(length));
        let start = [likely_k; 2];
        Some(of_ends.fold(start, |[low, high], rung| {
            [low.min(rung.lowest_leaf_k), high.max(rung.lowest_leaf_k)]
        }))
    }

    fn heaters(&self, length: usize) -> Option<HeatersGoOn> {
        let [with, without] = self.heating.as_ref()?;
        let (with, without) = (with.get(length)?, without.get(length)?);
        let missed_k = with.most_below_set_k - self.full_below_set_k;
        Some(HeatersGoOn {
            missed_k: missed_k.max(0.0),
            extra_w: with.mean_w - without.mean_w,
        })
    }
}
