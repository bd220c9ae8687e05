//! Scenarios that lead the reader past every key: between them they take each of its branches, and
//! leave out what has a default.

use crate::catalogue::catalogue;
use crate::document::Record;
use crate::error::Problem;
use crate::scenario::asked;

/// Walks through the reader in all ways; problems say which key a whole scenario could not pass.
pub(super) fn walked() -> (Record, Vec<Problem>) {
    let mut record = Record::default();
    let mut problems = Vec::new();
    for text in LACKING {
        record = asked(text, record).0;
    }
    for text in walks() {
        let (more, found) = asked(&text, record);
        record = more;
        problems.extend(found);
    }
    (record, problems)
}

fn walks() -> [String; 4] {
    let house = |rest: &str| format!("{HOUSE}{rest}");
    [
        house(PLAIN) + &heaters(),
        house(SCHEDULED),
        house(RAISED),
        BOX.to_owned(),
    ]
}

/// A heater for every fuel, since the usual heater follows the fuel.
fn heaters() -> String {
    let fuels = catalogue().list("fuel").iter();
    fuels
        .map(|fuel| format!("[[heater]]\nfuel = \"{}\"\n", fuel.name))
        .collect()
}

const HOUSE: &str = r#"
[house]
width = "30 ft"
length = "96 ft"
[cover]
roof = "inflated pair"
"#;

/// Nothing but what must be given, with every kind of layer, wall and axis.
const PLAIN: &str = r#"
[crop]
kind = "tomato"
[screen]
kind = "aluminised cloth"
[mass]
water = "2 m3"
[cooling]
set = "30 degC"
capacity = "5 kW"
[[frost_limit]]
name = "limit"
temp = "2 degC"
[[own_cover]]
name = "pair"
[[own_cover.layer]]
like = "infrared film"
space = { kind = "sealed", gap = "5 cm" }
[[own_cover.layer]]
heat_capacity = "300 J/m2K"
longwave_transmittance = 0.68
longwave_reflectance = 0.08
refractive_index = 1.51
extinction_thickness = 0.05
space = { kind = "inflated" }
[[own_cover.layer]]
heat_capacity = "100 J/m2K"
longwave_transmittance = 0.5
longwave_reflectance = 0.1
transmittance = 0.7
reflectance = 0.2
[[wall]]
on = "north wall"
height = "1 ft"
[[wall.layer]]
solid = "brick"
thickness = "20 cm"
[[wall.layer]]
thickness = "2 cm"
conductivity = "0.14 W/mK"
density = "530 kg/m3"
specific_heat = "900 J/kgK"
[[wall]]
name = "shed"
area = "6 m2"
facing = "270 deg"
outside_temp = "12 degC"
[[wall.layer]]
r_value = "R 10"
[[window]]
in = "shed"
area = "1 m2"
cover = "insulating glass"
[[floor.layer]]
solid = "gravel"
thickness = "5 cm"
[[floor.layer]]
thickness = "2 cm"
conductivity = "0.14 W/mK"
density = "530 kg/m3"
specific_heat = "900 J/kgK"
[[floor.layer]]
r_value = "R 10"
[[axis]]
name = "roof"
key = "cover.roof"
values = ["inflated pair"]
labels = ["pair"]
[[axis]]
name = "plan"
[[axis.alternative]]
label = "as written"
set = {}
[[axis]]
name = "hold"
key = "hold.error"
range = { from = "0 K", to = "1 K", step = "1 K" }
labels = ["right", "warm"]
[[axis]]
name = "light"
key = "cover.light_kept"
range = { from = "90 %", to = "95 %", count = 2 }
[compare]
designs = ["roof", "hold"]
against = ["pair", "warm"]
[sampling]
draws = 1
[[sampling.input]]
name = "leaks"
key = "leakage.leak_per_cover"
triangular = { low = 1, likely = 2, high = 4 }
[[sampling.input]]
key = ["mass.absorptance", "mass.emissivity"]
uniform = { low = "80 %", high = "90 %" }
[[sampling.input]]
key = "house.width"
change = "plus"
normal = { mean = "0 ft", deviation = "0.1 ft", low = "-1 ft", high = "1 ft" }
[[sampling.input]]
key = "cooling.capacity"
change = "times"
log_normal = { median = 1, factor = 1.1, low = 0.8, high = 1.2 }
"#;

/// Every value that may follow the clock and the calendar does.
const SCHEDULED: &str = r#"
[hold.temp]
day = ["06:00 18 degC"]
ramp = "1 h"
period = [{ from = "Nov 15", to = "Feb 15", day = "5 degC", ramp = "0 h" }]
[[heater]]
fuel = "propane"
[vents.set]
day = "30 degC"
ramp = "0 h"
period = [{ from = "Nov 15", to = "Feb 15", day = "30 degC", ramp = "0 h" }]
[cooling]
capacity = "5 kW"
[cooling.set]
day = "35 degC"
ramp = "0 h"
period = [{ from = "Nov 15", to = "Feb 15", day = "35 degC", ramp = "0 h" }]
[gains.convective]
day = "100 W"
ramp = "0 h"
period = [{ from = "Nov 15", to = "Feb 15", day = "50 W", ramp = "0 h" }]
[gains.radiant]
day = "100 W"
ramp = "0 h"
period = [{ from = "Nov 15", to = "Feb 15", day = "50 W", ramp = "0 h" }]
[ventilation.flow]
day = "1 m3/s"
ramp = "0 h"
period = [{ from = "Nov 15", to = "Feb 15", day = "0 m3/s", ramp = "0 h" }]
[leakage.air_change]
day = "0.5 1/h"
ramp = "0 h"
period = [{ from = "Nov 15", to = "Feb 15", day = "0.4 1/h", ramp = "0 h" }]
[inflation]
flow = "10 L/s"
volts = 120
amps = 1.1
exhaust_holes = { diameter = "8 mm" }
touching_below = { low = "2 cm", likely = "25 mm", high = "3 cm" }
touching_conductance = { low = "12 W/m2K", likely = "25 W/m2K", high = "50 W/m2K" }
flapping_conductance = { low = "3 W/m2K", likely = "5 W/m2K", high = "8 W/m2K" }
leak_times = { low = 0.5, likely = 1, high = 2 }
section = [
    { name = "shell", part = "roof and sides" },
    { name = "west end", part = "ends", share = "50 %", exhaust_holes = { diameter = "8 mm" } },
    { name = "east end", part = "ends" },
]
jumper = [{ from = "shell", to = "west end" }, { from = "shell", to = "east end" }]
[floor]
deep_temp = "10 degC"
[mass]
heat_capacity = "8 MJ/K"
area = "15 m2"
[generator]
output = "5 kW"
[[event]]
what = "power fails"
at = "26 Jan 22:00"
length = "8 h"
[[event]]
what = "door open"
night = "coldest"
length = "1 h"
[[event]]
what = "film torn"
area = "0.1 m2"
nights_below = "-10 degC"
length = "1 h"
[outages]
failures = ["blower", "door open"]
[prices]
propane = "2 USD/gal"
electricity = "0.2 USD/kWh"
[money]
upkeep = "100 USD/yr"
grant = "100 USD"
percent_of_light = "20 USD/yr"
[money.loan]
sum = "500 USD"
rate = "8 %"
years = 5
[money.parts.NAME]
cost = "900 USD"
life = 4
residual = "100 USD"
"#;

/// A raised floor over a space that is held at a temperature, and fans that move the air.
const RAISED: &str = r#"
[leakage]
leak_area = "500 cm2"
[floor]
kind = "raised"
underside_temp = "5 degC"
[[floor.layer]]
solid = "timber"
thickness = "5 cm"
[fans]
circulation = "100 W"
[generator]
output = "5 kW"
carries = ["blower", "fans"]
[[event]]
what = "heater stops"
at = "26 Jan 22:00"
length = "8 h"
[[event]]
what = "film torn"
section = "ends"
area = "0.1 m2"
at = "26 Jan 22:00"
length = "8 h"
[[event]]
what = "screen stuck"
stuck = "open"
at = "26 Jan 22:00"
length = "8 h"
[outages]
lengths = "2 h"
starts = "dusk"
limit = "water freezes"
run = true
[[inflation.blower]]
volts = 120
amps = 1.1
[[inflation.blower]]
into = "ends"
[[inflation.blower]]
hose = [{ to = "roof and sides" }, { to = "ends" }]
[prices]
electricity = "0.2 USD/kWh"
[money]
basis = "current"
rate = "5 %"
loan = { share = "50 %", rate = "8 %", years = 5 }
[money.parts.NAME]
cost = "0 USD"
life = 4
age = 2
replacement = "900 USD"
"#;

/// A room on posts, every cover of which is named.
const BOX: &str = r#"
[house]
shape = "box"
width = "5 m"
length = "5 m"
[cover]
roof = "single glass"
sides = "single glass"
ends = "single glass"
[floor]
kind = "raised"
[[floor.layer]]
solid = "timber"
thickness = "5 cm"
[vents]
[[event]]
what = "heater stops"
heater = "main"
at = "26 Jan 22:00"
length = "8 h"
"#;

/// Scenarios that lack what must be given, for how the reader asks for it.
const LACKING: [&str; 8] = [
    "",
    "[[axis]]\n[[axis]]\n[[axis.alternative]]",
    "[[axis]]\nfiles = \"none.epw\"\n[[axis]]\nrange = {}\n[[include]]\n[[exclude]]\n[sampling]",
    r#"
[sampling]
input = [{}, { uniform = {} }, { key = "a", uniform = {} }, { key = "a", triangular = {} }, { key = "a", normal = {} }, { key = "a", log_normal = {} }]
"#,
    "house = { width = \"5 m\", length = \"9 m\" }\nhold = {}\nheater = {}\nfloor.kind = \"raised\"",
    r#"
heater = {}
crop = {}
screen = {}
frost_limit = {}
own_cover = { layer = [{}, {}] }
window = {}
wall = [{}, { area = "2 m2" }]
cooling = {}
[house]
width = "5 m"
length = "9 m"
[hold]
temp = { period = [{}] }
[vents]
set = { period = [{}] }
[gains]
convective = { period = [{}] }
radiant = { period = [{}] }
[ventilation]
flow = { period = [{}] }
[leakage]
air_change = { period = [{}] }
"#,
    "money = { basis = \"current\", loan = {}, parts = { NAME = { age = 1 } } }",
    r#"
house = { width = "5 m", length = "9 m" }
cover.roof = "inflated pair"
[inflation]
volts = 120
exhaust_holes = {}
touching_below = {}
section = {}
jumper = {}
blower = { amps = 1, hose = {} }
[generator]
[[event]]
[[event]]
what = "film torn"
[[event]]
what = "screen stuck"
"#,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// A walk that stops at a mistake would leave out what comes after it.
    #[test]
    fn only_the_weather_is_missing() {
        let (_, problems) = walked();
        assert_eq!(problems.len(), walks().len(), "{problems:#?}");
        assert!(problems.iter().all(|problem| problem.key == "weather.file"));
    }

    /// A key that the reader knows but no walk reads has no form: take its branch in a walk.
    #[test]
    fn every_key_is_read_on_some_walk() {
        let (record, _) = walked();
        assert!(record.keys.len() > 150, "{}", record.keys.len());
        let keys = record.keys.iter().filter(|(path, _)| !path.is_empty());
        let unread: Vec<_> = keys
            .filter(|(_, asked)| asked.forms.is_empty())
            .map(|(path, _)| path.join("."))
            .collect();
        assert_eq!(unread, Vec::<String>::new());
    }
}
