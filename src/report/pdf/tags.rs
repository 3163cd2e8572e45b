//! What the marks on the pages are: headings, paragraphs, cells and pictures, as a tree beside the pages,
//! so that a reading machine tells them in order and a table by its rows and headings (ISO 32000-1, 14.7
//! and 14.8; from memory, with the writer's own names).

use pdf_writer::types::{StructRole, TableHeaderScope};
use pdf_writer::{
    Finish, Name, Pdf, Ref, TextStr,
    writers::{NumberTree, StructTreeRoot},
};

/// What an element holds, in reading order.
#[derive(Debug, Clone, Copy)]
enum Kid {
    /// Another element.
    Element(usize),
    /// Marked content: its page, and its number there.
    Content(usize, i32),
}

/// One element.
#[derive(Debug)]
struct Element {
    role: StructRole,
    parent: Option<usize>,
    /// What a picture shows, for one who cannot see it.
    alternative: String,
    kids: Vec<Kid>,
}

/// The tree under way.
#[derive(Debug, Default)]
pub(super) struct Tags {
    elements: Vec<Element>,
    /// From the root down to the element under way.
    open: Vec<usize>,
    /// Greater than nothing while what is drawn is no part of the text.
    aside: usize,
    /// The elements that the contents of each page belong to, by their numbers.
    owners: Vec<Vec<usize>>,
}

impl Tags {
    /// Begins an element in the one under way.
    pub(super) fn open(&mut self, role: StructRole, alternative: &str) -> usize {
        let element = self.elements.len();
        let parent = self.open.last().copied();
        if let Some(parent) = parent {
            self.elements[parent].kids.push(Kid::Element(element));
        }
        self.elements.push(Element { role, parent, alternative: alternative.to_owned(), kids: Vec::new() });
        self.open.push(element);
        element
    }

    /// Goes back into an element that was closed.
    pub(super) fn reopen(&mut self, element: usize) {
        self.open.push(element);
    }

    /// Ends the element under way.
    pub(super) fn close(&mut self) {
        self.open.pop();
    }

    /// What follows is no part of the text.
    pub(super) fn step_aside(&mut self) {
        self.aside += 1;
    }

    /// See [`Tags::step_aside`].
    pub(super) fn step_back(&mut self) {
        self.aside = self.aside.saturating_sub(1);
    }

    /// Whether what is drawn now is no part of the text.
    pub(super) fn is_aside(&self) -> bool {
        self.aside > 0
    }

    /// The element that what is drawn now belongs to; none for what is no part of the text.
    pub(super) fn wanted(&self) -> Option<usize> {
        if self.is_aside() { None } else { self.open.last().copied() }
    }

    /// Takes the next number of a page for an element.
    pub(super) fn claim(&mut self, element: usize, page: usize) -> (Name<'static>, i32) {
        if self.owners.len() <= page {
            self.owners.resize(page + 1, Vec::new());
        }
        let number = i32::try_from(self.owners[page].len()).unwrap_or(i32::MAX);
        self.owners[page].push(element);
        let element = &mut self.elements[element];
        element.kids.push(Kid::Content(page, number));
        (element.role.to_name(), number)
    }

    /// Writes the tree and answers with its root.
    pub(super) fn write(&self, pdf: &mut Pdf, mut next: impl FnMut() -> Ref, pages: &[Ref]) -> Ref {
        let root = next();
        let refs: Vec<Ref> = self.elements.iter().map(|_| next()).collect();
        for (element, &id) in self.elements.iter().zip(&refs) {
            let mut out = pdf.struct_element(id);
            out.kind(element.role).parent(element.parent.map_or(root, |parent| refs[parent]));
            if !element.alternative.is_empty() {
                out.alt(TextStr(&element.alternative));
            }
            if element.role == StructRole::TH {
                out.attributes().push().table().scope(TableHeaderScope::Column);
            }
            let home = element.kids.iter().find_map(|kid| match kid {
                Kid::Content(page, _) => Some(*page),
                Kid::Element(_) => None,
            });
            if let Some(page) = home.and_then(|page| pages.get(page)) {
                out.page(*page);
            }
            let mut kids = out.children();
            for &kid in &element.kids {
                match kid {
                    Kid::Element(kid) => {
                        kids.struct_element(refs[kid]);
                    }
                    Kid::Content(page, number) if Some(page) == home => {
                        kids.marked_content_id(number);
                    }
                    Kid::Content(page, number) => {
                        let Some(page) = pages.get(page) else { continue };
                        kids.marked_content_ref().page(*page).marked_content_id(number);
                    }
                }
            }
        }
        let lists: Vec<Ref> = self.owners.iter().map(|_| next()).collect();
        for (owners, &id) in self.owners.iter().zip(&lists) {
            pdf.indirect(id).array().items(owners.iter().map(|&element| refs[element]));
        }
        let mut tree = pdf.indirect(root).start::<StructTreeRoot<'_>>();
        tree.children().items(
            self.elements
                .iter()
                .zip(&refs)
                .filter(|(element, _)| element.parent.is_none())
                .map(|(_, &id)| id),
        );
        {
            let mut parents: NumberTree<'_, Ref> = tree.parent_tree();
            let mut numbers = parents.nums();
            for (page, &list) in (0_i32..).zip(&lists) {
                numbers.insert(page, list);
            }
        }
        tree.parent_tree_next_key(i32::try_from(lists.len()).unwrap_or(i32::MAX));
        tree.finish();
        root
    }
}
