//! The hours after the blower stops.

use overwinter_study::inflate::{GapTimes, Inflated, LONGEST_FOLLOWED_S, Span, WINDS_M_S};
use overwinter_units::{Kind, System};

use crate::screen::figures::{quantity, rough};
use crate::screen::layout::{Lean, columns, item, labelled};

/// Times that differ by less than this share are told as one.
const MUCH: f64 = 0.25;

pub(super) fn text(inflated: &Inflated, system: System) -> String {
    let stopped = &inflated.stopped;
    let mut rows = header();
    for (index, gap) in inflated.gaps.iter().enumerate() {
        let stated = if stopped.has_flaps {
            "flap shuts by itself"
        } else {
            "inlet open"
        };
        rows.push(row(&gap.name, stated, &stopped.as_stated[index]));
        if !stopped.has_flaps {
            rows.push(row("", "shut by hand", &stopped.shut[index]));
        }
    }
    let mut lean = [Lean::Right; 6];
    (lean[0], lean[1]) = (Lean::Left, Lean::Left);
    let unknown = "Nobody has measured these times. Each is a span from leaky films that touch early to \
        tight ones that touch late; in a calm.";
    columns(&rows, &lean, 0..1) + &item(unknown) + &windy(inflated, system) + &refill(inflated)
}

fn header() -> Vec<Vec<String>> {
    let texts = |cells: [&str; 6]| cells.map(str::to_owned).to_vec();
    vec![
        texts([
            "Blower stops,",
            "",
            "down to film's",
            "half of its",
            "films begin",
            "films lie on",
        ]),
        texts([
            "time until",
            "",
            "weight",
            "air is gone",
            "to touch",
            "each other",
        ]),
    ]
}

fn row(name: &str, inlet: &str, times: &GapTimes) -> Vec<String> {
    let mut row = vec![format!("  {name}"), inlet.to_owned()];
    row.extend(
        [
            times.pressure_lost,
            times.half_gone,
            times.touching,
            times.lying,
        ]
        .map(span),
    );
    row
}

/// In the wind, of the largest section, if it differs by much.
fn windy(inflated: &Inflated, system: System) -> String {
    let gaps = inflated.gaps.iter().enumerate().rev();
    let Some((largest, gap)) = gaps.max_by(|a, b| a.1.area_m2.total_cmp(&b.1.area_m2)) else {
        return String::new();
    };
    let [still, windy] = [&inflated.stopped.as_stated, &inflated.stopped.windy]
        .map(|times| times[largest].half_gone);
    let wind = quantity(WINDS_M_S[0], Kind::Speed, system);
    let differs = |still_s: f64, windy_s: f64| {
        let is_alike = (windy_s / still_s - 1.0).abs() < MUCH;
        !is_alike && (still_s.is_finite() || windy_s.is_finite())
    };
    let text = if differs(still.soonest_s, windy.soonest_s)
        || differs(still.latest_s, windy.latest_s)
    {
        format!(
            "In a wind of {wind} at the cover half of the air of {} is gone after {}: gusts press it \
             out, or suction holds the films apart.",
            gap.name,
            span(windy)
        )
    } else {
        format!("A wind of {wind} at the cover hardly changes them.")
    };
    item(&text)
}

fn refill(inflated: &Inflated) -> String {
    let refill = &inflated.stopped.refill;
    let text = format!(
        "full after {}, at pressure after {}, from empty",
        span(refill.full),
        span(refill.pressure)
    );
    labelled("Blower runs again", &text)
}

/// `2.4 to 5.5 h`, or minutes where all is over in two hours.
fn span(span: Span) -> String {
    let is_short = span.latest_s < 7200.0;
    let (unit_s, unit) = if is_short {
        (60.0, "min")
    } else {
        (3600.0, "h")
    };
    let number = |time_s: f64| rough(time_s / unit_s);
    let longest = format!("{} h", rough(LONGEST_FOLLOWED_S / 3600.0));
    match (span.soonest_s.is_finite(), span.latest_s.is_finite()) {
        (false, _) => format!("over {longest}"),
        (true, false) => format!("{} to over {longest}", number(span.soonest_s)),
        (true, true) => {
            let [soonest, latest] = [span.soonest_s, span.latest_s].map(number);
            if soonest == latest {
                format!("{soonest} {unit}")
            } else {
                format!("{soonest} to {latest} {unit}")
            }
        }
    }
}
