//! The logical structure of a PDF (ISO 32000-1, 14.7 and 14.8): what is a heading, a table,
//! a pictogram and what it means, for those who hear a page instead of seeing it.

use std::collections::BTreeMap;

use printpdf::{DictItem, Op};

use crate::render::layout::Tag;

/// The tree of tags, filled while the pages are drawn.
pub struct Tags {
    nodes: Vec<Node>,
    /// The nodes that what is drawn next belongs to, innermost last.
    open: Vec<Open>,
    /// For each page, the node of each numbered part of its content.
    parts: Vec<Vec<usize>>,
    drawing: Drawing,
}

struct Node {
    kind: &'static str,
    /// Words that stand for a picture.
    words: Option<String>,
    parent: usize,
    kids: Vec<Kid>,
}

enum Kid {
    Node(usize),
    Part { page: usize, number: usize },
}

#[derive(Clone, Copy)]
enum Open {
    Node(usize),
    Artifact,
}

/// What the content being drawn is marked as.
#[derive(Clone, Copy, PartialEq)]
enum Drawing {
    Nothing,
    Part(usize),
    Artifact,
}

const DOCUMENT: usize = 0;

impl Tags {
    pub fn new() -> Tags {
        let document = Node {
            kind: "Document",
            words: None,
            parent: DOCUMENT,
            kids: Vec::new(),
        };
        Tags {
            nodes: vec![document],
            open: Vec::new(),
            parts: Vec::new(),
            drawing: Drawing::Nothing,
        }
    }

    pub fn start_page(&mut self) {
        self.parts.push(Vec::new());
    }

    pub fn begin(&mut self, tag: Tag) {
        let kind = match tag {
            Tag::Heading(level) => HEADINGS[usize::from(level.clamp(1, 6)) - 1],
            Tag::Paragraph => "P",
            Tag::List => "L",
            Tag::Item => "LI",
            Tag::Label => "Lbl",
            Tag::Body => "LBody",
            Tag::Table => "Table",
            Tag::Row => "TR",
            Tag::HeadCell => "TH",
            Tag::Cell => "TD",
            Tag::Artifact => return self.open.push(Open::Artifact),
        };
        let node = self.add(kind, None);
        self.open.push(Open::Node(node));
    }

    pub fn end(&mut self) {
        self.open.pop();
    }

    /// Marks what is drawn next as content of the innermost open tag.
    pub fn text(&mut self, ops: &mut Vec<Op>) {
        match self.open.last() {
            Some(Open::Artifact) => self.artifact(ops),
            _ if self.drawing == Drawing::Part(self.innermost()) => {}
            _ => self.part_of(self.innermost(), ops),
        }
    }

    /// Marks what is drawn next as a picture that these words stand for.
    pub fn picture(&mut self, words: &str, ops: &mut Vec<Op>) {
        let node = self.add("Figure", Some(words.to_string()));
        self.part_of(node, ops);
    }

    /// Marks what is drawn next as saying nothing.
    pub fn artifact(&mut self, ops: &mut Vec<Op>) {
        if self.drawing == Drawing::Artifact {
            return;
        }
        self.finish(ops);
        ops.push(Op::BeginMarkedContent {
            tag: "Artifact".into(),
        });
        self.drawing = Drawing::Artifact;
    }

    /// Ends what is being marked, at the end of a page at the latest.
    pub fn finish(&mut self, ops: &mut Vec<Op>) {
        if self.drawing != Drawing::Nothing {
            ops.push(Op::EndMarkedContent);
        }
        self.drawing = Drawing::Nothing;
    }

    fn innermost(&self) -> usize {
        let node = |open: &Open| match open {
            Open::Node(node) => Some(*node),
            Open::Artifact => None,
        };
        self.open.iter().rev().find_map(node).unwrap_or(DOCUMENT)
    }

    fn add(&mut self, kind: &'static str, words: Option<String>) -> usize {
        let (node, parent) = (self.nodes.len(), self.innermost());
        self.nodes.push(Node {
            kind,
            words,
            parent,
            kids: Vec::new(),
        });
        self.nodes[parent].kids.push(Kid::Node(node));
        node
    }

    fn part_of(&mut self, node: usize, ops: &mut Vec<Op>) {
        self.finish(ops);
        let page = self.parts.len().saturating_sub(1);
        let Some(parts) = self.parts.last_mut() else {
            return;
        };
        let number = parts.len();
        parts.push(node);
        self.nodes[node].kids.push(Kid::Part { page, number });
        let properties = dictionary([("MCID", integer(number))]);
        ops.push(Op::BeginMarkedContentWithProperties {
            tag: self.nodes[node].kind.into(),
            properties,
        });
        self.drawing = Drawing::Part(node);
    }

    /// The objects of the structure tree, to be added to the file one after another from the
    /// object number `first` on. The first is the root of the tree.
    pub fn objects(&self, first: u32, pages: &[u32]) -> Vec<DictItem> {
        let number = |node: usize| reference(first + 1 + node as u32);
        let root = dictionary([
            ("Type", name("StructTreeRoot")),
            ("K", number(DOCUMENT)),
            (
                "ParentTree",
                dictionary([("Nums", self.parent_tree(&number))]),
            ),
            ("ParentTreeNextKey", integer(self.parts.len())),
        ]);
        let mut objects = vec![root];
        for (index, node) in self.nodes.iter().enumerate() {
            let parent = if index == DOCUMENT {
                reference(first)
            } else {
                number(node.parent)
            };
            objects.push(node.object(parent, &number, pages));
        }
        objects
    }

    fn parent_tree(&self, number: &impl Fn(usize) -> DictItem) -> DictItem {
        let of_page = |(page, nodes): (usize, &Vec<usize>)| {
            let nodes = nodes.iter().map(|node| number(*node)).collect();
            [integer(page), DictItem::Array(nodes)]
        };
        DictItem::Array(self.parts.iter().enumerate().flat_map(of_page).collect())
    }
}

impl Node {
    fn object(
        &self,
        parent: DictItem,
        number: &impl Fn(usize) -> DictItem,
        pages: &[u32],
    ) -> DictItem {
        let kid = |kid: &Kid| match kid {
            Kid::Node(node) => Some(number(*node)),
            Kid::Part { page, number } => Some(dictionary([
                ("Type", name("MCR")),
                ("Pg", reference(*pages.get(*page)?)),
                ("MCID", integer(*number)),
            ])),
        };
        let mut entries = vec![
            ("Type", name("StructElem")),
            ("S", name(self.kind)),
            ("P", parent),
            (
                "K",
                DictItem::Array(self.kids.iter().filter_map(kid).collect()),
            ),
        ];
        if let Some(words) = &self.words {
            entries.push(("Alt", text(words)));
        }
        if self.kind == "TH" {
            let scope = dictionary([("O", name("Table")), ("Scope", name("Column"))]);
            entries.push(("A", scope));
        }
        dictionary(entries)
    }
}

const HEADINGS: [&str; 6] = ["H1", "H2", "H3", "H4", "H5", "H6"];

pub fn dictionary(entries: impl IntoIterator<Item = (&'static str, DictItem)>) -> DictItem {
    let entries = entries
        .into_iter()
        .map(|(key, item)| (key.to_string(), item));
    DictItem::Dict {
        map: entries.collect::<BTreeMap<_, _>>(),
    }
}

pub fn name(name: &str) -> DictItem {
    DictItem::Name(name.as_bytes().to_vec())
}

pub fn reference(object: u32) -> DictItem {
    DictItem::Ref {
        obj: object,
        r#gen: 0,
    }
}

pub fn integer(number: usize) -> DictItem {
    DictItem::Int(i64::try_from(number).unwrap_or(i64::MAX))
}

/// A text string: UTF-16, big end first, with its mark (ISO 32000-1, 7.9.2.2).
pub fn text(text: &str) -> DictItem {
    let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
    DictItem::String {
        data: units.flat_map(u16::to_be_bytes).collect(),
        literal: false,
    }
}
