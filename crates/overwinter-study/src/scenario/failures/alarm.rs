//! When the alarm goes off and what help has to hold then.

use overwinter_engine::control::Setting;
use overwinter_units::{Kind, System, print, range};

use super::{Fitted, warn};
use crate::document::Part;
use crate::scenario::heating::NEVER_K;

const HOUR_S: f64 = 3600.0;
/// 5 degF.
const FIVE_DEGF_K: f64 = 5.0 / 1.8;

/// An alarm and the help it calls.
pub(super) struct Alarm {
    /// House air at which it goes off.
    pub(super) alarm_k: f64,
    /// Time from then until help runs.
    pub(super) travel_h: f64,
    /// House air that an emergency heater is to hold.
    pub(super) emergency_hold_k: f64,
}

impl Alarm {
    /// Reads `alarm`, `travel` and `emergency_hold`.
    pub(super) fn read(part: &Part<'_>, fitted: Fitted<'_>, limit_k: f64) -> Self {
        let hold_k = lowest_hold_k(fitted);
        let alarm_k = part.value_or(
            "alarm",
            &range::HOUSE_AIR,
            usual_alarm_k(hold_k, limit_k),
            "5 degF under the lowest hold temperature (rule of practice, from memory), but at least \
             half way from the crop's limit to it; 5 degF above the limit without heaters",
        );
        let seconds = part.quantity_or("travel", &range::TRAVEL, "30 min", "estimate");
        let emergency_hold_k = part.value_or(
            "emergency_hold",
            &range::HOUSE_AIR,
            limit_k + FIVE_DEGF_K,
            "5 degF above the crop's limit: on clear nights foliage may be 5 degF cooler than the \
             air (extension advice)",
        );
        let alarm = Self {
            alarm_k,
            travel_h: seconds / HOUR_S,
            emergency_hold_k,
        };
        alarm.warn(part, hold_k, limit_k);
        alarm
    }

    fn warn(&self, part: &Part<'_>, hold_k: Option<f64>, limit_k: f64) {
        let both = |kelvin| {
            let [si, us] = [System::Si, System::Us].map(|s| print(kelvin, Kind::Temperature, s));
            format!("{si} ({us})")
        };
        let (alarm, limit) = (both(self.alarm_k), both(limit_k));
        if self.alarm_k <= limit_k {
            let message = format!(
                "the alarm at {alarm} comes when the crop is at its limit of {limit} already"
            );
            warn(part, message);
        }
        if let Some(hold_k) = hold_k.filter(|hold_k| self.alarm_k >= *hold_k) {
            let message = format!(
                "the alarm at {alarm} also comes while the heaters hold their {}",
                both(hold_k)
            );
            warn(part, message);
        }
    }
}

fn usual_alarm_k(hold_k: Option<f64>, limit_k: f64) -> f64 {
    match hold_k {
        Some(hold_k) if hold_k > limit_k => (hold_k - FIVE_DEGF_K).max(0.5 * (hold_k + limit_k)),
        _ => limit_k + FIVE_DEGF_K,
    }
}

/// The lowest temperature that the heaters ever hold.
fn lowest_hold_k(fitted: Fitted<'_>) -> Option<f64> {
    if fitted.house.heaters.is_empty() {
        return None;
    }
    let held = |value: &f64| *value > NEVER_K + 1.0;
    match &fitted.house.heat_set_k {
        Setting::Constant(value) => Some(*value).filter(held),
        Setting::ByHour(hours) => {
            let values = hours.iter().flatten().copied();
            values.filter(held).reduce(f64::min)
        }
    }
}
