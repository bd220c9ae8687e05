//! The one stylesheet of a page, and its colours.
//!
//! Colours help and never decide: lines differ by dashes and marks, bars by hatching, and each is
//! named where it stands. Everything is dark on white, so that it prints in black and white.

/// Paper.
pub(crate) const PAPER: &str = "#ffffff";
/// Text, axes and outlines.
pub(crate) const INK: &str = "#1a1a1a";
/// Text of less weight.
pub(crate) const MUTED: &str = "#4d4d4d";
/// Lines of grids and between rows.
pub(crate) const RULE: &str = "#858585";
/// Ground of what is to be read first.
pub(crate) const BOX: &str = "#f3f1ea";
/// Links, and where the keyboard is.
pub(crate) const LINK: &str = "#0b4f8a";
/// Lines and bars of designs and failures, one each.
pub(crate) const SERIES: [&str; 6] = [
    "#0b4f8a", "#a63d00", "#1f6b3a", "#6a3d9a", "#1a1a1a", "#00656f",
];

/// The stylesheet.
pub(crate) fn sheet() -> String {
    let series: String = SERIES
        .iter()
        .enumerate()
        .map(|(index, colour)| format!(".s{index}{{stroke:{colour};color:{colour}}}\n"))
        .collect();
    format!("{}{series}{PRINT}", screen())
}

fn screen() -> String {
    format!(
        "\
:root{{color-scheme:light}}
*{{box-sizing:border-box}}
html{{font:100%/1.5 system-ui,\"Segoe UI\",Roboto,\"Noto Sans\",Arial,sans-serif}}
body{{margin:0;background:{PAPER};color:{INK}}}
header,main,footer{{max-width:50rem;margin:0 auto;padding:0 1rem}}
header{{padding-top:1.5rem}}
h1{{font-size:1.7rem;line-height:1.2;margin:0 0 .3rem}}
h2{{font-size:1.3rem;line-height:1.25;margin:2rem 0 .5rem;border-bottom:2px solid {INK}}}
h3{{font-size:1.08rem;line-height:1.3;margin:1.4rem 0 .4rem}}
h4{{font-size:1rem;margin:1.1rem 0 .3rem}}
p,ul,ol{{margin:.4rem 0 .7rem}}
li{{margin:.2rem 0}}
dl{{margin:.4rem 0}}
dt{{font-weight:600;float:left;clear:left;margin-right:.5em}}
dt::after{{content:\":\"}}
dd{{margin:0 0 .25rem}}
a{{color:{LINK}}}
:focus-visible{{outline:3px solid {LINK};outline-offset:2px}}
.meta,.note,caption{{color:{MUTED}}}
figcaption{{font-weight:600}}
.note{{font-size:.92rem}}
.first{{background:{BOX};border:1px solid {INK};border-left-width:.5rem;padding:.4rem 1rem;margin:1rem 0}}
.first h2{{border:0;margin:.3rem 0 .2rem;font-size:1.1rem}}
.caution{{border:1px solid {INK};padding:.3rem .8rem;margin:.8rem 0}}
.gap{{border:1px dashed {INK};padding:.3rem .8rem;margin:.8rem 0}}
figure{{margin:1rem 0 1.4rem}}
.wide{{overflow-x:auto}}
svg{{display:block;width:100%;min-width:34rem;height:auto;background:{PAPER}}}
svg text{{font:12.5px system-ui,\"Segoe UI\",Roboto,\"Noto Sans\",Arial,sans-serif;fill:{INK};
stroke:{PAPER};stroke-width:4px;stroke-linejoin:round;paint-order:stroke}}
svg .small{{font-size:11.5px;fill:{MUTED}}}
svg .axis{{stroke:{INK};stroke-width:1;fill:none}}
svg .grid{{stroke:{RULE};stroke-width:.6;stroke-dasharray:1 4;fill:none}}
svg .limit{{stroke:{INK};stroke-width:1.4;stroke-dasharray:8 3;fill:none}}
svg .line{{fill:none;stroke-width:2}}
svg .lead{{fill:none;stroke:{RULE};stroke-width:.8}}
svg .dot{{fill:{PAPER};stroke-width:1.8}}
svg .full{{fill:currentColor;stroke-width:1}}
svg .bar{{stroke-width:1.2}}
svg .hatch{{fill:none;stroke-width:1.5}}
table{{border-collapse:collapse;min-width:min(100%,26rem);margin:.5rem 0 1rem;font-size:.92rem;font-variant-numeric:tabular-nums}}
caption{{text-align:left;padding:.2rem 0;font-size:.92rem}}
th,td{{text-align:right;vertical-align:top;padding:.2rem .6rem;border-bottom:1px solid {RULE}}}
thead th{{border-bottom:2px solid {INK};vertical-align:bottom}}
th:first-child,.words td,.words th{{text-align:left}}
th[scope=row]{{font-weight:600;min-width:9rem}}
td.long{{overflow-wrap:anywhere}}
.words th[scope=row]{{overflow-wrap:anywhere;min-width:13rem;max-width:20rem}}
.inputs table{{font-size:.8rem;line-height:1.35}}
.sign td,.sign th{{text-align:left;height:2.4rem;vertical-align:bottom}}
.sign{{width:100%}}
.sign th{{width:34%}}
footer{{padding-bottom:3rem}}
"
    )
}

/// Black on white, no scrolling boxes, nothing torn across pages that is read at a glance.
const PRINT: &str = "\
@page{margin:16mm 14mm}
@media print{
html{font-size:9pt;line-height:1.38}
h2{margin:1.1rem 0 .4rem}
h3{margin:.9rem 0 .3rem}
header{padding-top:0}
.first{margin:.6rem 0}
header,main,footer{max-width:none;padding:0 1px}
h1,h2,h3,h4,h2+.note,h3+.note,caption,.finding{break-after:avoid}
figure,.first,.caution,.gap,.sign,.whole,tr,.note,dd{break-inside:avoid}
figure{margin:.6rem 0}
figure+.wide:not(.whole){break-before:avoid}
.inputs table{font-size:7.5pt}
.inputs th,.inputs td{padding:.1rem .4rem}
thead{display:table-header-group}
tbody tr:nth-child(-n+2),tbody tr:last-child{break-before:avoid}
.wide{overflow:visible}
svg{min-width:0;max-height:130mm}
#annex{break-before:page}
#charts{break-before:page}
nav{display:none}
}
";

#[cfg(test)]
mod tests {
    use super::*;

    /// Least contrast of text and of graphics (W3C, Web Content Accessibility Guidelines 2.2, 2023,
    /// success criteria 1.4.3 and 1.4.11, level AA).
    const TEXT: f64 = 4.5;
    const GRAPHICS: f64 = 3.0;

    /// Relative luminance of a colour, 0 to 1 (the same guidelines, definition of relative luminance).
    fn luminance(colour: &str) -> f64 {
        let channel = |at: usize| {
            let byte = u8::from_str_radix(&colour[at..at + 2], 16).expect("two hex digits");
            let share = f64::from(byte) / 255.0;
            if share <= 0.04045 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    fn contrast(a: &str, b: &str) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn contrast_is_that_of_the_guidelines() {
        // Black on white is 21:1 by definition; #767676 on white is the lightest grey that reaches
        // 4.5:1, #777777 does not (W3C, Understanding success criterion 1.4.3, from memory).
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
        assert!(contrast("#767676", "#ffffff") >= TEXT);
        assert!(contrast("#777777", "#ffffff") < TEXT);
    }

    #[test]
    fn every_text_and_every_line_stands_out() {
        for ground in [PAPER, BOX] {
            for text in [INK, MUTED, LINK] {
                assert!(contrast(text, ground) >= TEXT, "{text} on {ground}");
            }
        }
        for line in SERIES.iter().chain([&RULE, &INK, &LINK]) {
            assert!(contrast(line, PAPER) >= GRAPHICS, "{line}");
        }
    }

    #[test]
    fn the_sheet_has_no_other_colour() {
        let known = [PAPER, INK, MUTED, RULE, BOX, LINK];
        let sheet = sheet();
        let colours: Vec<&str> = sheet
            .match_indices('#')
            .filter_map(|(at, _)| sheet.get(at..at + 7))
            .filter(|text| text[1..].bytes().all(|byte| byte.is_ascii_hexdigit()))
            .collect();
        assert!(colours.len() > 10);
        for colour in colours {
            assert!(
                known.contains(&colour) || SERIES.contains(&colour),
                "{colour}"
            );
        }
        for word in ["rgb", "hsl", "url(", "@import", "opacity"] {
            assert!(!sheet.contains(word), "{word}");
        }
    }
}
