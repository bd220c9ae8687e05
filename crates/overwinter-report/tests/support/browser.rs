//! A page parsed by the rules of HTML, and what can be asked of it.

use html5ever::tendril::TendrilSink;
use html5ever::{ParseOpts, parse_document};
use markup5ever_rcdom::{Handle, NodeData, RcDom};

/// A parsed page.
pub(crate) struct Document {
    root: Handle,
    /// What a browser would have had to mend.
    pub(crate) mistakes: Vec<String>,
}

/// An element of a page.
#[derive(Clone)]
pub(crate) struct Element(Handle);

impl Document {
    /// Parses a page.
    pub(crate) fn parse(html: &str) -> Self {
        let dom = parse_document(RcDom::default(), ParseOpts::default()).one(html);
        let mistakes = dom
            .errors
            .borrow()
            .iter()
            .map(ToString::to_string)
            .collect();
        Self {
            root: dom.document,
            mistakes,
        }
    }

    /// All elements, in order.
    pub(crate) fn elements(&self) -> Vec<Element> {
        let mut all = Vec::new();
        descend(&self.root, &mut all);
        all
    }

    /// All elements of a name.
    pub(crate) fn all(&self, name: &str) -> Vec<Element> {
        self.elements()
            .into_iter()
            .filter(|element| element.name() == name)
            .collect()
    }

    /// The element with an id.
    pub(crate) fn by_id(&self, id: &str) -> Option<Element> {
        self.elements()
            .into_iter()
            .find(|element| element.attribute("id").as_deref() == Some(id))
    }

    /// All text of the body.
    pub(crate) fn text(&self) -> String {
        self.all("body")
            .first()
            .map(Element::text)
            .unwrap_or_default()
    }

    /// Tables by caption, each as rows of cells, the head first.
    pub(crate) fn tables(&self) -> Vec<(String, Vec<Vec<String>>)> {
        self.all("table")
            .iter()
            .map(|table| (table.caption(), table.cells()))
            .collect()
    }

    /// The table whose caption begins so.
    pub(crate) fn table(&self, caption: &str) -> Vec<Vec<String>> {
        let tables = self.tables();
        let found = tables.iter().find(|(found, _)| found.starts_with(caption));
        let captions: Vec<&String> = tables.iter().map(|(caption, _)| caption).collect();
        found
            .unwrap_or_else(|| panic!("{caption} is none of {captions:?}"))
            .1
            .clone()
    }

    /// Paragraphs that say what is not there.
    pub(crate) fn gaps(&self) -> Vec<Element> {
        self.elements()
            .into_iter()
            .filter(|element| element.has_class("gap"))
            .collect()
    }
}

impl Element {
    /// Its name.
    pub(crate) fn name(&self) -> String {
        match &self.0.data {
            NodeData::Element { name, .. } => name.local.to_string(),
            _ => String::new(),
        }
    }

    /// An attribute.
    pub(crate) fn attribute(&self, wanted: &str) -> Option<String> {
        let attributes = self.attributes();
        attributes
            .into_iter()
            .find(|(name, _)| name == wanted)
            .map(|(_, value)| value)
    }

    /// All attributes.
    pub(crate) fn attributes(&self) -> Vec<(String, String)> {
        match &self.0.data {
            NodeData::Element { attrs, .. } => {
                let attributes = attrs.borrow();
                attributes
                    .iter()
                    .map(|a| (a.name.local.to_string(), a.value.to_string()))
                    .collect()
            }
            _ => Vec::new(),
        }
    }

    /// True if it has a class.
    pub(crate) fn has_class(&self, class: &str) -> bool {
        self.attribute("class")
            .is_some_and(|all| all.split_whitespace().any(|one| one == class))
    }

    /// Elements below it.
    pub(crate) fn elements(&self) -> Vec<Element> {
        let mut all = Vec::new();
        for child in self.0.children.borrow().iter() {
            descend(child, &mut all);
        }
        all
    }

    /// Elements of a name below it.
    pub(crate) fn all(&self, name: &str) -> Vec<Element> {
        self.elements()
            .into_iter()
            .filter(|element| element.name() == name)
            .collect()
    }

    /// Its text, with single spaces.
    pub(crate) fn text(&self) -> String {
        let mut text = String::new();
        collect(&self.0, &mut text);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The caption of a table.
    pub(crate) fn caption(&self) -> String {
        self.all("caption")
            .first()
            .map(Element::text)
            .unwrap_or_default()
    }

    fn cells(&self) -> Vec<Vec<String>> {
        let row = |row: &Element| {
            let cells = row
                .elements()
                .into_iter()
                .filter(|e| ["td", "th"].contains(&e.name().as_str()));
            cells.map(|cell| cell.text()).collect()
        };
        self.all("tr").iter().map(row).collect()
    }
}

fn descend(node: &Handle, all: &mut Vec<Element>) {
    if let NodeData::Element { .. } = node.data {
        all.push(Element(node.clone()));
    }
    for child in node.children.borrow().iter() {
        descend(child, all);
    }
}

fn collect(node: &Handle, text: &mut String) {
    if let NodeData::Text { contents } = &node.data {
        text.push_str(&contents.borrow());
    }
    for child in node.children.borrow().iter() {
        collect(child, text);
        // Cells and paragraphs are words apart.
        if let NodeData::Element { name, .. } = &child.data
            && ["p", "td", "th", "li", "tr", "caption", "h2", "h3"].contains(&&*name.local)
        {
            text.push(' ');
        }
    }
}
