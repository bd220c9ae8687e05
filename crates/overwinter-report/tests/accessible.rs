//! The page can be read by anyone: with a screen reader, in black and white, without the network.

mod support;

use std::collections::BTreeSet;

use overwinter_units::System;
use support::browser::{Document, Element};
use support::covers::covers_with_costs;
use support::folder::Folder;
use support::house::{house, house_with_hours};
use support::{html_in, page_of};

fn folders() -> [Folder; 3] {
    [house(), house_with_hours(), covers_with_costs()]
}

#[test]
fn a_browser_has_nothing_to_mend() {
    for folder in folders() {
        let page = page_of(&folder);
        assert_eq!(page.mistakes, Vec::<String>::new());
        assert_eq!(page.all("html")[0].attribute("lang").as_deref(), Some("en"));
        assert!(!page.all("title")[0].text().is_empty());
        for landmark in ["header", "main", "footer", "nav"] {
            assert_eq!(page.all(landmark).len(), 1, "{landmark}");
        }
    }
}

#[test]
fn headings_go_down_one_level_at_a_time() {
    for folder in folders() {
        let levels: Vec<u8> = page_of(&folder)
            .elements()
            .iter()
            .filter_map(|element| element.name().strip_prefix('h')?.parse().ok())
            .collect();
        assert_eq!(levels[0], 1);
        assert_eq!(levels.iter().filter(|&&level| level == 1).count(), 1);
        assert!(
            levels.windows(2).all(|pair| pair[1] <= pair[0] + 1),
            "{levels:?}"
        );
        assert!(levels.len() > 10);
    }
}

#[test]
fn ids_are_unique_and_links_lead_somewhere() {
    for folder in folders() {
        let page = page_of(&folder);
        let ids: Vec<String> = page
            .elements()
            .iter()
            .filter_map(|e| e.attribute("id"))
            .collect();
        let distinct: BTreeSet<&String> = ids.iter().collect();
        assert_eq!(ids.len(), distinct.len(), "{ids:?}");
        for element in page.elements() {
            for name in ["aria-labelledby", "href"] {
                for target in element
                    .attribute(name)
                    .unwrap_or_default()
                    .split_whitespace()
                {
                    assert!(
                        page.by_id(target.trim_start_matches('#')).is_some(),
                        "{target}"
                    );
                }
            }
        }
    }
}

/// What stands for a chart where it is not seen: the words before it, the table after it.
fn figures(page: &Document) -> Vec<(Element, Element, Option<Element>)> {
    let all = page.elements();
    let figures = all
        .iter()
        .enumerate()
        .filter(|(_, element)| element.name() == "figure");
    figures
        .map(|(at, figure)| {
            let svg = figure
                .all("svg")
                .first()
                .cloned()
                .expect("a drawing in the figure");
            let after = all.get(at + 1 + figure.elements().len()).cloned();
            (figure.clone(), svg, after)
        })
        .collect()
}

#[test]
fn every_chart_has_a_title_a_finding_in_words_and_its_numbers() {
    let mut charts = 0;
    for folder in folders() {
        let page = page_of(&folder);
        let figures = figures(&page);
        assert_eq!(figures.len(), page.all("svg").len());
        for (figure, svg, after) in figures {
            assert_eq!(svg.attribute("role").as_deref(), Some("img"));
            let labels = svg.attribute("aria-labelledby").expect("labels");
            let labels: Vec<Element> = labels
                .split_whitespace()
                .map(|id| page.by_id(id).expect("a label"))
                .collect();
            let [title, finding] = labels.as_slice() else {
                panic!("title and finding");
            };
            assert_eq!(
                (title.name().as_str(), finding.name().as_str()),
                ("title", "desc")
            );
            assert_eq!(title.text(), figure.all("figcaption")[0].text());
            assert_eq!(finding.text(), figure.all("p")[0].text());
            assert!(
                finding.text().chars().any(|c| c.is_ascii_digit()),
                "{}",
                finding.text()
            );
            let table = after.expect("something after the figure").all("table");
            assert_eq!(table.len(), 1, "the numbers of {}", title.text());
            assert!(table[0].all("tr").len() > 1);
            charts += 1;
        }
    }
    assert!(charts >= 20, "{charts}");
}

#[test]
fn lines_and_bars_are_told_apart_without_colour() {
    let (mut lines, mut hatched, mut filled) = (0, 0, 0);
    for folder in folders() {
        for svg in page_of(&folder).all("svg") {
            let drawn = svg.all("polyline");
            let looks: BTreeSet<Option<String>> = drawn
                .iter()
                .map(|line| line.attribute("stroke-dasharray"))
                .collect();
            assert_eq!(looks.len(), drawn.len(), "dashes");
            if !drawn.is_empty() {
                let names = svg
                    .all("text")
                    .into_iter()
                    .filter(|text| text.has_class("name"));
                assert!(names.count() >= drawn.len(), "a name for each line");
            }
            lines += drawn.len();
            for bar in svg.all("rect") {
                let fill = bar.attribute("fill").expect("filled or hatched");
                match fill.as_str() {
                    "none" => hatched += 1,
                    "currentColor" => filled += 1,
                    other => panic!("{other}"),
                }
                assert!(
                    bar.attribute("height")
                        .expect("a height")
                        .parse::<f64>()
                        .expect("a number")
                        >= 0.0
                );
            }
        }
    }
    assert!(lines >= 10, "{lines}");
    assert!(hatched >= 10 && filled >= 2, "{hatched} {filled}");
}

#[test]
fn every_table_names_its_rows_and_columns() {
    for folder in folders() {
        for table in page_of(&folder).all("table") {
            assert!(!table.caption().is_empty());
            for head in table.all("th") {
                let scope = head.attribute("scope").unwrap_or_default();
                assert!(["col", "row"].contains(&scope.as_str()));
                assert!(!head.text().is_empty(), "{}", table.caption());
            }
            let columns = table
                .all("thead")
                .first()
                .map_or(2, |head| head.all("th").len());
            for row in table.all("tbody")[0].all("tr") {
                assert_eq!(row.all("th").len(), 1);
                assert_eq!(row.all("td").len() + 1, columns, "{}", table.caption());
            }
        }
    }
}

#[test]
fn nothing_is_fetched_and_nothing_runs() {
    let loading = [
        "script", "link", "img", "iframe", "object", "embed", "base", "form", "use", "image",
    ];
    for folder in folders() {
        let page = page_of(&folder);
        for element in page.elements() {
            assert!(
                !loading.contains(&element.name().as_str()),
                "{}",
                element.name()
            );
            for (name, value) in element.attributes() {
                assert!(
                    !name.starts_with("on") && name != "src" && name != "style",
                    "{name}"
                );
                assert!(name != "href" || value.starts_with('#'), "{value}");
                assert!(!value.contains("url("), "{value}");
                assert!(
                    !value.contains("http:") && !value.contains("https:"),
                    "{value}"
                );
            }
        }
        let sheets = page.all("style");
        assert_eq!(sheets.len(), 1);
        for word in ["url(", "@import", "http:", "https:"] {
            assert!(!sheets[0].text().contains(word), "{word}");
        }
    }
}

#[test]
fn no_coordinate_is_missing() {
    for folder in folders() {
        for svg in page_of(&folder).all("svg") {
            for element in svg.elements() {
                for (name, value) in element.attributes() {
                    assert!(
                        !value.contains("NaN") && !value.contains("inf"),
                        "{name}={value}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_program_does_not_sign() {
    let page = page_of(&house());
    assert!(
        page.text()
            .contains("The program prepares these pages and never signs them")
    );
    let form = page.table("To be filled in by hand");
    assert!(
        form.len() >= 4 && form.iter().all(|row| row[1].is_empty()),
        "{form:?}"
    );
}

#[test]
fn the_same_run_gives_the_same_page() {
    for system in [System::Us, System::Si] {
        assert_eq!(html_in(&house(), system), html_in(&house(), system));
    }
}
