//! What the reader asks a scenario for, noted while it reads, so that a description of the file for
//! editors follows from the reading itself.

use std::collections::{BTreeMap, BTreeSet};

use overwinter_units::Range;

/// Path of a key: its steps, without the numbers of list items.
pub(crate) type KeyPath = Vec<String>;

/// A form that the value of a key may have.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Form {
    /// Any text.
    Text,
    /// One of these words.
    Words(Vec<String>),
    /// One of these names, or one that the scenario itself gives to something.
    Names(Vec<String>),
    /// True or false.
    Flag,
    /// A quantity.
    Quantity(Range),
    /// The changes of a quantity over a day.
    Changes(Range),
    /// The same, of something that can be switched off.
    ChangesOrOff(Range),
    /// A number with a unit that another key reads.
    Amount,
    /// A price of a unit of fuel or energy.
    Price,
    /// A sum of money.
    Money,
    /// A sum of money that falls due every year.
    MoneyAYear,
    /// A table.
    Table,
    /// A table of tables whose keys are names that the scenario gives; what is asked of each is noted of
    /// the name `NAME`.
    Named,
    /// A list of tables, or one table alone.
    Tables,
    /// A list of values of any kind.
    List,
    /// A list of values of one form.
    Listed(Box<Form>),
}

/// A value that is assumed where a key is left out.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Usual {
    /// Always this value, with its source.
    Value(String, String),
    /// It depends on the rest of the scenario: how, and by what source.
    Depends(String),
}

/// What was asked of one key.
#[derive(Clone, Debug, Default)]
pub(crate) struct Asked {
    /// Forms of its value, in the order of asking.
    pub(crate) forms: Vec<Form>,
    /// What is assumed without it, in the order of asking.
    pub(crate) usual: Vec<Usual>,
    /// What is asked for where it must be given.
    pub(crate) wanted: Option<String>,
}

/// Everything that was asked.
#[derive(Clone, Debug, Default)]
pub(crate) struct Record {
    /// Keys by path, in alphabetical order.
    pub(crate) keys: BTreeMap<KeyPath, Asked>,
    /// Tables in which unknown keys are refused.
    pub(crate) closed: BTreeSet<KeyPath>,
}

impl Record {
    /// What is noted of a key so far.
    pub(crate) fn key(&mut self, path: &str) -> &mut Asked {
        self.keys.entry(steps(path)).or_default()
    }

    /// Notes that a table refuses unknown keys.
    pub(crate) fn close(&mut self, path: &str) {
        self.closed.insert(steps(path));
    }
}

impl Asked {
    /// Notes a form.
    pub(crate) fn form(&mut self, form: Form) {
        push_once(&mut self.forms, form);
    }

    /// Notes what is assumed.
    pub(crate) fn usual(&mut self, usual: Usual) {
        push_once(&mut self.usual, usual);
    }
}

fn push_once<T: PartialEq>(list: &mut Vec<T>, item: T) {
    if !list.contains(&item) {
        list.push(item);
    }
}

/// The steps of a path; items of a list share the path of the list.
fn steps(path: &str) -> KeyPath {
    let is_item = |step: &&str| step.bytes().all(|byte| byte.is_ascii_digit());
    path.split('.')
        .filter(|step| !is_item(step))
        .map(str::to_owned)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn items_of_a_list_share_its_path() {
        assert_eq!(
            steps("own_cover.2.layer.1.gap"),
            ["own_cover", "layer", "gap"]
        );
        assert_eq!(steps(""), KeyPath::new());
    }

    #[test]
    fn forms_are_noted_once_in_the_order_of_asking() {
        let mut record = Record::default();
        for form in [Form::Text, Form::Flag, Form::Text] {
            record.key("wall.1.on").form(form);
        }
        assert_eq!(record.key("wall.7.on").forms, [Form::Text, Form::Flag]);
    }
}
