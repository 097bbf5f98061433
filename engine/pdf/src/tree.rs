//! The logical structure of the document, for people who do not see the page.
//!
//! The tree is made while the page is composed, in reading order; what is drawn for each of its leaves is noted while
//! pages are drawn. Only leaves have content of their own.

use krilla::tagging::{Identifier, ListNumbering, Node, TableHeaderScope, Tag, TagGroup, TagKind, TagTree};
use std::num::NonZeroU16;

/// A node of the tree, in the order in which nodes are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct NodeId(usize);

/// What a node is.
#[derive(Clone, Debug)]
pub(crate) enum Role {
    /// A section with its heading.
    Section,
    /// A heading of a level from 1, with its text.
    Heading(u16, String),
    /// A paragraph.
    Paragraph,
    /// Things that belong together.
    Division,
    /// A quotation.
    Quote,
    /// A list; numbered or not.
    List(bool),
    /// An item of a list.
    Item,
    /// The number or name of an item.
    Label,
    /// The rest of an item.
    Body,
    /// A table.
    Table,
    /// Its rows of headers.
    Head,
    /// Its other rows.
    Rows,
    /// A row.
    Row,
    /// A header of a column.
    ColumnHeader,
    /// A header of a row.
    RowHeader,
    /// A cell.
    Cell,
    /// A drawing, with what it shows.
    Figure(String),
}

struct Branch {
    role: Role,
    children: Vec<NodeId>,
    /// What is drawn for it, with the page on which it is.
    content: Vec<(usize, Identifier)>,
}

/// The tree while it grows.
pub(crate) struct Tree {
    branches: Vec<Branch>,
    roots: Vec<NodeId>,
    /// By how many levels headings stand lower than they say.
    under: u16,
    /// The page that is being drawn, from 0.
    pub(crate) page: usize,
}

impl Tree {
    pub(crate) fn new() -> Self {
        Self { branches: Vec::new(), roots: Vec::new(), under: 0, page: 0 }
    }

    /// From here on headings stand under those that were made before: a document inside another has no title of its own.
    pub(crate) fn inside(&mut self) {
        self.under += 1;
    }

    /// A node at the top.
    pub(crate) fn root(&mut self, role: Role) -> NodeId {
        let id = self.branch(role);
        self.roots.push(id);
        id
    }

    /// A node after the others of its parent.
    pub(crate) fn add(&mut self, parent: NodeId, role: Role) -> NodeId {
        let id = self.branch(role);
        self.branches[parent.0].children.push(id);
        id
    }

    fn branch(&mut self, role: Role) -> NodeId {
        let role = match role {
            Role::Heading(level, text) => Role::Heading(level + self.under, text),
            other => other,
        };
        self.branches.push(Branch { role, children: Vec::new(), content: Vec::new() });
        NodeId(self.branches.len() - 1)
    }

    /// Notes something drawn for a leaf.
    pub(crate) fn drawn(&mut self, leaf: NodeId, identifier: Identifier) {
        self.branches[leaf.0].content.push((self.page, identifier));
    }

    /// The tree as the file holds it.
    pub(crate) fn finish(mut self, language: &str) -> TagTree {
        // What goes on on a later page is read later, whichever side was drawn first.
        self.branches.iter_mut().for_each(|branch| branch.content.sort_by_key(|&(page, _)| page));
        let mut tree = TagTree::new().with_lang(Some(language.to_owned()));
        // A child is always made after its parent, so that going backwards meets children first.
        let mut groups: Vec<Option<TagGroup>> = self.branches.iter().map(|_| None).collect();
        for (at, branch) in self.branches.iter().enumerate().rev() {
            let inner = branch.children.iter().filter_map(|child| groups[child.0].take()).map(Node::from);
            let own = branch.content.iter().map(|&(_, identifier)| Node::from(identifier));
            let children: Vec<Node> = inner.chain(own).collect();
            // What holds nothing says nothing; an empty cell, however, keeps the others in their columns.
            if !children.is_empty() || matches!(branch.role, Role::Cell) {
                groups[at] = Some(TagGroup::with_children(tag(&branch.role), children));
            }
        }
        for root in &self.roots {
            if let Some(group) = groups[root.0].take() {
                tree.push(group);
            }
        }
        tree
    }
}

fn tag(role: &Role) -> TagKind {
    match role {
        Role::Section => Tag::Section.into(),
        Role::Heading(level, text) => {
            Tag::Hn(NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN), Some(text.clone())).into()
        }
        Role::Paragraph => Tag::P.into(),
        Role::Division => Tag::Div.into(),
        Role::Quote => Tag::BlockQuote.into(),
        Role::List(true) => Tag::L(ListNumbering::Decimal).into(),
        Role::List(false) => Tag::L(ListNumbering::None).into(),
        Role::Item => Tag::LI.into(),
        Role::Label => Tag::Lbl.into(),
        Role::Body => Tag::LBody.into(),
        Role::Table => Tag::Table.into(),
        Role::Head => Tag::THead.into(),
        Role::Rows => Tag::TBody.into(),
        Role::Row => Tag::TR.into(),
        Role::ColumnHeader => Tag::TH(TableHeaderScope::Column).into(),
        Role::RowHeader => Tag::TH(TableHeaderScope::Row).into(),
        Role::Cell => Tag::TD.into(),
        Role::Figure(alt) => Tag::Figure(Some(alt.clone())).into(),
    }
}
