//! Damaged files: whatever the bytes, the reader answers with a whole year or an error, never a
//! panic.

use super::made_up::{assert_whole, rows};
use super::shipped::{FILES, path};
use overwinter_weather::read_bytes;
use proptest::prelude::*;
use std::sync::OnceLock;

/// Real files of each format and made-up ones, as bytes.
fn originals() -> &'static [Vec<u8>] {
    static ORIGINALS: OnceLock<Vec<Vec<u8>>> = OnceLock::new();
    ORIGINALS.get_or_init(|| {
        let shipped = [FILES[0], FILES[3], FILES[5], FILES[7], FILES[8]];
        let mut originals: Vec<Vec<u8>> = shipped
            .iter()
            .map(|name| std::fs::read(path(name)).unwrap())
            .collect();
        originals.push(super::made_up::tmy3(&rows()).into_bytes());
        originals.push(super::made_up::epw(&rows()).into_bytes());
        let year = super::made_up::year(&super::made_up::epw(&rows()));
        originals.push(overwinter_weather::plain_table(&year).into_bytes());
        originals
    })
}

#[derive(Clone, Debug)]
enum Damage {
    Flip {
        at: usize,
        to: u8,
    },
    FlipInHeading {
        at: usize,
        to: u8,
    },
    Truncate {
        at: usize,
    },
    Delete {
        at: usize,
        length: usize,
    },
    Repeat {
        at: usize,
        length: usize,
    },
    Splice {
        other: usize,
        from: usize,
        length: usize,
        at: usize,
    },
    Insert {
        at: usize,
        bytes: Vec<u8>,
    },
}

fn damage() -> impl Strategy<Value = Damage> {
    let at = any::<usize>();
    prop_oneof![
        (at, any::<u8>()).prop_map(|(at, to)| Damage::Flip { at, to }),
        (at, any::<u8>()).prop_map(|(at, to)| Damage::FlipInHeading { at, to }),
        (at, prop::sample::select(b"0123456789-.,:?\n/ ".to_vec()))
            .prop_map(|(at, to)| Damage::Flip { at, to }),
        at.prop_map(|at| Damage::Truncate { at }),
        (at, 0..4000_usize).prop_map(|(at, length)| Damage::Delete { at, length }),
        (at, 0..4000_usize).prop_map(|(at, length)| Damage::Repeat { at, length }),
        (at, at, 0..40_000_usize, at).prop_map(|(other, from, length, at)| Damage::Splice {
            other,
            from,
            length,
            at
        }),
        (at, prop::collection::vec(any::<u8>(), 0..50))
            .prop_map(|(at, bytes)| Damage::Insert { at, bytes }),
    ]
}

fn apply(bytes: &mut Vec<u8>, damage: &Damage) {
    if bytes.is_empty() {
        return;
    }
    let length = bytes.len();
    match damage {
        Damage::Flip { at, to } => bytes[at % length] = *to,
        Damage::FlipInHeading { at, to } => bytes[at % length.min(3000)] = *to,
        Damage::Truncate { at } => bytes.truncate(at % length),
        Damage::Delete { at, length: cut } => {
            let from = at % length;
            bytes.drain(from..(from + cut).min(length));
        }
        Damage::Repeat { at, length: copied } => {
            let from = at % length;
            let part = bytes[from..(from + copied).min(length)].to_vec();
            bytes.splice(from..from, part);
        }
        Damage::Splice {
            other,
            from,
            length: copied,
            at,
        } => {
            let donor = &originals()[other % originals().len()];
            let from = from % donor.len();
            let part = donor[from..(from + copied).min(donor.len())].to_vec();
            let at = at % length;
            bytes.splice(at..at, part);
        }
        Damage::Insert {
            at,
            bytes: inserted,
        } => {
            let at = at % length;
            bytes.splice(at..at, inserted.iter().copied());
        }
    }
}

fn answers(bytes: &[u8]) {
    match read_bytes(bytes, "damaged") {
        Ok(year) => assert_whole(&year),
        Err(error) => assert!(error.to_string().starts_with("damaged: line "), "{error}"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn damaged_files_are_read_or_refused(
        original in any::<usize>(),
        damages in prop::collection::vec(damage(), 1..6),
    ) {
        let mut bytes = originals()[original % originals().len()].clone();
        for damage in &damages {
            apply(&mut bytes, damage);
        }
        answers(&bytes);
    }

    #[test]
    fn random_bytes_are_refused(bytes in prop::collection::vec(any::<u8>(), 0..2000)) {
        answers(&bytes);
    }

    #[test]
    fn random_text_after_a_known_beginning_is_refused(
        beginning in prop::sample::select(vec![
            "LOCATION,a,b,c,d,1,45,8,1,250\nDATA PERIODS,1,1\n",
            "Latitude (decimal degrees): 45\nLongitude (decimal degrees): 8\nElevation (m): 2\ntime(UTC),T2m,G(h)\n",
            "Year,Month,Day,Hour,Minute,GHI,Temperature\n",
            "# weather: plain hourly table\n",
            "{\"inputs\": {",
            "1,a,b,1,45,8,2\nDate (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),Dry-bulb (C)\n",
            " 12839 MIAMI                  FL  -5 N 25 48 W  80 16     2\n 620101010000",
        ]),
        rest in "[0-9,.:/# \n\u{e9}-]{0,400}",
    ) {
        answers(format!("{beginning}{rest}").as_bytes());
    }
}
