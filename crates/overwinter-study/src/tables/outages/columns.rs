//! The columns of the table.

use overwinter_engine::outage::{Drying, Wet};

use super::{AllNights, HeatersGoOn, OneNight, OutageRow, Reached, start_name};
use crate::tables::calendar::{HOURS, Moment};
use crate::tables::column::{Table, TableBuilder};
use crate::tables::units::{degc, degf, fahrenheit_steps, kbtu_h, kilowatts};

type Builder<'a> = TableBuilder<'a, OutageRow>;

/// Hours from the noon with which a night begins to the next.
const NOON_H: usize = 12;

/// The three nights that are told one by one: word in the names of columns, words, value.
type Told = (
    &'static str,
    &'static str,
    fn(&OutageRow) -> Option<&OneNight>,
);

const WORST: Told = (
    "worst",
    "in the night of the season with the coldest leaf",
    |row| row.worst.as_ref(),
);
const CLEAR: Told = ("design_clear", "in the clear, calm design night", |row| {
    row.clear.as_ref()
});
const WINDY: Told = ("design_windy", "in the cloudy, windy design night", |row| {
    row.windy.as_ref()
});

pub(super) fn table<'a>(rows: impl Iterator<Item = &'a OutageRow>) -> Table {
    let is =
        "a case, a failure, its start in the night and its length, over all nights of the season";
    let builder = keys(TableBuilder::new("outages", is, rows));
    let builder = judged_by(builder);
    let builder = lowest_leaf(builder);
    let builder = lowest_air(builder);
    let builder = times(builder);
    let builder = plateau(builder);
    let builder = lost(builder);
    let builder = standby(builder);
    drying(going_on(builder)).finish()
}

fn keys(builder: Builder<'_>) -> Builder<'_> {
    builder
        .whole("case_id", "number of the case", |row| {
            Some(row.case_id as i64)
        })
        .text("failure", "what fails", |row| Some(row.failure.clone()))
        .text("start", "when in the night it begins", |row| {
            Some(start_name(row.start))
        })
        .number("length_h", "h", "how long it lasts", |row| row.length_h)
        .whole(
            "nights",
            "nights of the season: noon to noon, with heat from the heaters or, without heaters, \
             below 5 C outdoors",
            |row| Some(row.nights as i64),
        )
}

fn judged_by(builder: Builder<'_>) -> Builder<'_> {
    let builder = builder.text("limit", "what the limit of the crop stands for", |row| {
        Some(row.judged_by.limit_name.clone())
    });
    let builder = temperature(builder, "limit", "the limit, on the leaf", |row| {
        Some(row.judged_by.limit_k)
    });
    let builder = builder.number(
        "limit_lag_min",
        "min",
        "time below the limit after which the crop is lost",
        |row| minutes(row.judged_by.lag_h),
    );
    let builder = temperature(
        builder,
        "alarm",
        "house air at which the alarm goes off",
        |row| Some(row.judged_by.alarm_k),
    );
    builder.number(
        "travel_min",
        "min",
        "time from the alarm until help runs",
        |row| minutes(row.judged_by.travel_h),
    )
}

fn lowest_leaf(builder: Builder<'_>) -> Builder<'_> {
    let mut builder = temperature(
        builder,
        "lowest_leaf_median",
        "lowest leaf while the failure lasts, median of the nights",
        of_all(|all| Some(all.leaf_median_k)),
    );
    for (word, words, night) in [WORST, CLEAR, WINDY] {
        let of = |value: fn(&OneNight) -> Option<f64>| move |row: &OutageRow| value(night(row)?);
        builder = temperature(
            builder,
            &format!("lowest_leaf_{word}"),
            &format!("lowest leaf {words}, with what is likely of gaps that lose their air"),
            of(|night| Some(night.leaf_k)),
        );
        builder = temperature(
            builder,
            &format!("lowest_leaf_{word}_low"),
            "the same, the coldest of what may be; empty where no gap loses air",
            of(|night| night.leaf_range_k.map(|range_k| range_k[0])),
        );
        builder = temperature(
            builder,
            &format!("lowest_leaf_{word}_high"),
            "the same, the warmest of what may be",
            of(|night| night.leaf_range_k.map(|range_k| range_k[1])),
        );
    }
    builder.text(
        "worst_night_month_day",
        "evening of the night with the coldest leaf",
        |row| Some(evening(row.worst.as_ref()?.start_hour)),
    )
}

fn lowest_air(builder: Builder<'_>) -> Builder<'_> {
    let builder = temperature(
        builder,
        "lowest_air_median",
        "lowest house air while the failure lasts, median of the nights",
        of_all(|all| Some(all.air_median_k)),
    );
    let mut builder = temperature(
        builder,
        "lowest_air_worst",
        "lowest house air of all nights",
        of_all(|all| Some(all.air_worst_k)),
    )
    .text(
        "lowest_air_worst_month_day",
        "evening of the night with it",
        |row| Some(evening(row.all.as_ref()?.air_worst_start_hour)),
    );
    for (word, words, night) in [CLEAR, WINDY] {
        builder = temperature(
            builder,
            &format!("lowest_air_{word}"),
            &format!("lowest house air {words}"),
            move |row| Some(night(row)?.air_k),
        );
    }
    builder
}

/// Name of a mark, words, its value over all nights and in one.
type Mark = (
    &'static str,
    &'static str,
    fn(&AllNights) -> Reached,
    fn(&OneNight) -> Option<f64>,
);

const MARKS: [Mark; 3] = [
    (
        "alarm",
        "the house air is at the alarm",
        |all| all.alarm,
        |night| night.alarm_h,
    ),
    (
        "freezing",
        "the house air is at 0 C",
        |all| all.freezing,
        |night| night.freezing_h,
    ),
    (
        "limit",
        "the leaf is at the limit of the crop",
        |all| all.limit,
        |night| night.limit_h,
    ),
];

fn times(mut builder: Builder<'_>) -> Builder<'_> {
    for (mark, words, all, one) in MARKS {
        let of = move |value: fn(Reached) -> Option<f64>| {
            move |row: &OutageRow| value(all(row.all.as_ref()?))
        };
        builder = builder
            .number(
                format!("to_{mark}_median_min"),
                "min",
                format!(
                    "time until {words} while the failure lasts, median of the nights that reach it"
                ),
                of(|reached| reached.median_h.and_then(minutes)),
            )
            .number(
                format!("to_{mark}_shortest_min"),
                "min",
                "the shortest of all nights",
                of(|reached| reached.shortest_h.and_then(minutes)),
            );
        for (word, words, night) in [CLEAR, WINDY] {
            builder = builder.number(
                format!("to_{mark}_{word}_min"),
                "min",
                format!("the same {words}"),
                move |row| minutes(one(night(row)?)?),
            );
        }
        builder = builder.number(
            format!("to_{mark}_share_0_to_1"),
            "share, 0 to 1",
            "share of the nights that reach it while the failure lasts",
            of(|reached| Some(reached.share)),
        );
    }
    builder
}

fn plateau(builder: Builder<'_>) -> Builder<'_> {
    let builder = temperature(
        builder,
        "plateau_air_median",
        "house air two hours after the start, when the fast fall is over and the soil holds it up: \
         median of the nights; empty for shorter failures",
        |row| long_enough(row, row.all.as_ref()?.plateau_median_k),
    );
    let mut builder = temperature(
        builder,
        "plateau_air_worst",
        "the lowest of all nights",
        |row| long_enough(row, row.all.as_ref()?.plateau_worst_k),
    );
    for (word, words, night) in [CLEAR, WINDY] {
        builder = temperature(
            builder,
            &format!("plateau_air_{word}"),
            &format!("the same {words}"),
            move |row| long_enough(row, night(row)?.plateau_k),
        );
    }
    builder
}

fn lost(builder: Builder<'_>) -> Builder<'_> {
    let builder = builder
        .whole(
            "nights_lost",
            "nights in which the leaf stays below the limit for the lag while the failure lasts",
            |row| Some(row.all.as_ref()?.lost as i64),
        )
        .number(
            "nights_lost_share_0_to_1",
            "share, 0 to 1",
            "the same as a share of the nights; it says nothing of how often something fails",
            |row| Some(row.all.as_ref()?.lost as f64 / row.nights.max(1) as f64),
        )
        .whole(
            "nights_lost_without_failure",
            "of the nights lost, those in which hours below the limit, each counted whole, last for the \
             lag though nothing fails",
            |row| Some(row.all.as_ref()?.lost_without as i64),
        )
        .whole(
            "nights_too_fast",
            "of the nights lost, those in which no alarm leaves the travel time: the limit is reached \
             sooner, or the alarm would have to stand where quiet nights ring it",
            |row| Some(row.all.as_ref()?.too_fast as i64),
        );
    let mut builder = temperature(
        builder,
        "alarm_set_point",
        "house air at which an alarm leaves the travel time until the leaf is at the limit in all \
         other nights lost; empty where there is none",
        of_all(|all| all.alarm_set_k),
    );
    for (word, words, night) in [CLEAR, WINDY] {
        builder = builder.whole(
            &format!("lost_{word}"),
            &format!("1 if the crop is lost {words}, else 0"),
            move |row| Some(i64::from(night(row)?.is_lost)),
        );
    }
    builder
}

fn standby(builder: Builder<'_>) -> Builder<'_> {
    let mut builder = temperature(
        builder,
        "standby_hold",
        "house air that a standby heater is to hold",
        |row| Some(row.judged_by.emergency_hold_k),
    );
    for (word, words, night) in [WORST, CLEAR, WINDY] {
        builder = builder
            .number(
                format!("standby_output_{word}_kw"),
                "kW",
                format!(
                    "output of a heater in need of no electricity that holds it {words}, without the \
                     hour in which a colder house is warmed up; empty where all heaters go on"
                ),
                move |row| Some(kilowatts(night(row)?.standby_w?)),
            )
            .number(
                format!("standby_output_{word}_kbtu_h"),
                "kBtu/h",
                "the same",
                move |row| Some(kbtu_h(night(row)?.standby_w?)),
            );
    }
    builder
}

fn drying(mut builder: Builder<'_>) -> Builder<'_> {
    type Face = (&'static str, &'static str, fn(&Drying) -> Wet);
    let faces: [Face; 2] = [
        (
            "film",
            "the inner films are dry on the house side",
            |drying| drying.film,
        ),
        ("gap", "the films are dry in the gap", |drying| drying.gap),
    ];
    for (word, words, wet) in faces {
        builder = builder
            .number(
                format!("{word}_dry_after_return_h"),
                "h",
                format!(
                    "after the median night, for the shortest length of a day or more: from the end of \
                     the failure until {words} for the first time; empty if not within a week"
                ),
                move |row| wet(row.drying.as_ref()?).dry_h,
            )
            .number(
                format!("{word}_dry_without_failure_h"),
                "h",
                "the same in the house in which nothing failed",
                move |row| wet(row.drying.as_ref()?).dry_without_h,
            )
            .number(
                format!("{word}_wetter_after_return_h"),
                "h",
                "from the end of the failure until they were last wetter, by more than a tenth of \
                 their area, than without it",
                move |row| Some(wet(row.drying.as_ref()?).wetter_h),
            );
    }
    builder
}

fn going_on(mut builder: Builder<'_>) -> Builder<'_> {
    for (word, words, night) in [WORST, CLEAR, WINDY] {
        let of = move |value: fn(HeatersGoOn) -> f64| {
            move |row: &OutageRow| night(row)?.heaters.map(value)
        };
        builder = builder
            .number(
                format!("hold_missed_{word}_k"),
                "K",
                format!(
                    "how far the heaters let the air fall below what they hold {words}, 0 if they \
                     hold it; empty where a heater stops"
                ),
                of(|heaters| heaters.missed_k),
            )
            .number(
                format!("hold_missed_{word}_degf"),
                "degF",
                "the same in degrees Fahrenheit",
                of(|heaters| fahrenheit_steps(heaters.missed_k)),
            )
            .number(
                format!("extra_heat_{word}_kw"),
                "kW",
                "mean heat output more than in the same hours without the failure",
                of(|heaters| kilowatts(heaters.extra_w)),
            )
            .number(
                format!("extra_heat_{word}_kbtu_h"),
                "kBtu/h",
                "the same",
                of(|heaters| kbtu_h(heaters.extra_w)),
            );
    }
    builder
}

/// Twin columns of a temperature.
fn temperature<'a>(
    builder: Builder<'a>,
    name: &str,
    meaning: &str,
    value_k: impl Fn(&OutageRow) -> Option<f64> + Copy,
) -> Builder<'a> {
    builder
        .number(format!("{name}_degc"), "degC", meaning, move |row| {
            value_k(row).map(degc)
        })
        .number(format!("{name}_degf"), "degF", "the same", move |row| {
            value_k(row).map(degf)
        })
}

fn of_all(value: fn(&AllNights) -> Option<f64>) -> impl Fn(&OutageRow) -> Option<f64> + Copy {
    move |row| value(row.all.as_ref()?)
}

fn long_enough(row: &OutageRow, plateau_k: Option<f64>) -> Option<f64> {
    plateau_k.filter(|_| row.length_h >= overwinter_engine::outage::PLATEAU_H)
}

fn minutes(time_h: f64) -> Option<f64> {
    Some(time_h * 60.0)
}

/// The evening of the night, noon to noon, in which an hour of the year is.
fn evening(hour: usize) -> String {
    Moment::of_hour(hour + HOURS - NOON_H).date()
}
