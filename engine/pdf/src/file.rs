//! The file: pages, structure, bookmarks and what is known of the document.

use crate::draw;
use crate::error::Error;
use crate::flow::{Group, Placed, flow};
use crate::head::Running;
use crate::impose::{Order, sides};
use crate::options::{Format, Options};
use crate::parts::compose;
use crate::set::Setter;
use crate::stack::{Ink, Mark, Stack};
use crate::tree::Tree;
use card::page::{Identity, Page};
use krilla::configure::{Accessibility, Archival, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::{Point, Transform};
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::tagging::{Artifact, ArtifactType, ContentTag};
use krilla::{Document, SerializeSettings};

/// The language of the words that are ours.
const LANGUAGE: &str = "en";
/// Length of the mark of a fold.
const FOLD: f32 = 12.0;
/// The head of every page is as high as that of the last one of so many.
pub(crate) const PAGES_SAMPLE: usize = 999;
/// The same where there are more: no file holds so many.
const PAGES_MANY: usize = 9_999_999;

/// Puts a page on paper.
///
/// # Errors
/// [`Error::NoGlyph`] if a character is in none of the fonts, [`Error::Fault`] if the writer refuses what was made, which is
/// a fault of ours.
pub fn render(page: &Page, options: &Options) -> Result<Vec<u8>, Error> {
    let format = Format::for_paper(options.paper);
    let (groups, tree) = compose(page, format)?;
    paged(format, groups, tree, &Running::for_identity(&page.identity), &About::card(&page.identity, ""))
}

/// Matter on pages, as a file.
pub(crate) fn paged(
    format: Format,
    groups: Vec<Group>,
    tree: Tree,
    running: &Running,
    about: &About,
) -> Result<Vec<u8>, Error> {
    let mut heads = Setter::new(format);
    let (head, pages) = laid(format, groups, running, &mut heads)?;
    let count = pages.len();
    let heads = (1..=count).map(|number| heads.head(running, number, count));
    let heads = heads.collect::<Result<Vec<Stack>, Error>>()?;
    Writer::new(format, tree)?.write(about, &pages, &heads, head)
}

/// The height of the head of every page, and the pages below it. Long numbers of pages leave less room beside them, so that
/// such a head may take more lines.
fn laid(
    format: Format,
    groups: Vec<Group>,
    running: &Running,
    heads: &mut Setter,
) -> Result<(f32, Vec<Vec<Placed>>), Error> {
    let mut height = |count| Ok(heads.head(running, count, count)?.height());
    let head = height(PAGES_SAMPLE)?;
    // There is a strip at least on every page.
    if groups.iter().map(|group| group.stack.strips.len()).sum::<usize>() > PAGES_SAMPLE {
        let higher = height(PAGES_MANY)?;
        if higher > head && flow(groups.clone(), room(format, head)).len() > PAGES_SAMPLE {
            return Ok((higher, flow(groups, room(format, higher))));
        }
    }
    Ok((head, flow(groups, room(format, head))))
}

/// How many pages matter takes.
pub(crate) fn pages(format: Format, groups: &[Group], running: &Running) -> Result<usize, Error> {
    Ok(laid(format, groups.to_vec(), running, &mut Setter::new(format))?.1.len())
}

/// Height of a page below its head.
fn room(format: Format, head: f32) -> f32 {
    format.height - format.top - format.bottom - head
}

struct Writer {
    format: Format,
    tree: Tree,
    document: Document,
    outline: Vec<Bookmark>,
}

/// A line in the list of bookmarks.
struct Bookmark {
    page: usize,
    level: usize,
    title: String,
    to: XyzDestination,
}

impl Writer {
    fn new(format: Format, tree: Tree) -> Result<Self, Error> {
        let configuration = ConfigurationBuilder::new()
            .with_archival_validator(Archival::A2_A)
            .with_accessibility_validator(Accessibility::UA1)
            .finish()
            .map_err(|_| Error::Fault("PDF/UA-1 and PDF/A-2a do not go together".to_owned()))?;
        let document =
            Document::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
        Ok(Self { format, tree, document, outline: Vec::new() })
    }

    fn write(
        mut self,
        about: &About,
        pages: &[Vec<Placed>],
        heads: &[Stack],
        head: f32,
    ) -> Result<Vec<u8>, Error> {
        for (sheet, side) in sides(pages.len(), self.format.order).iter().enumerate() {
            self.side(sheet, side, pages, heads, head)?;
        }
        // Sides need not be in the order in which pages are read.
        self.outline.sort_by_key(|line| line.page);
        let mut parts: Vec<(Bookmark, Vec<Bookmark>)> = Vec::new();
        for line in self.outline {
            match parts.last_mut() {
                Some((_, inner)) if line.level == 2 => inner.push(line),
                _ => parts.push((line, Vec::new())),
            }
        }
        let mut outline = Outline::new();
        for (part, inner) in parts {
            let mut node = OutlineNode::new(part.title, part.to);
            inner.into_iter().for_each(|one| node.push_child(OutlineNode::new(one.title, one.to)));
            outline.push_child(node);
        }
        self.document.set_outline(outline);
        self.document.set_tag_tree(self.tree.finish(LANGUAGE));
        self.document.set_metadata(metadata(about));
        self.document.finish().map_err(fault)
    }

    /// A side of a sheet with its pages.
    fn side(
        &mut self,
        sheet: usize,
        side: &[Option<usize>],
        pages: &[Vec<Placed>],
        heads: &[Stack],
        head: f32,
    ) -> Result<(), Error> {
        let Format { width, height, per_side, left, top, .. } = self.format;
        let size = (width * per_side as f32, height * per_side as f32);
        let settings = PageSettings::from_wh(size.0, size.1)
            .ok_or_else(|| Error::Fault("a sheet without a size".to_owned()))?;
        let mut paper = self.document.start_page_with(settings);
        let mut surface = paper.surface();
        for (at, number) in side.iter().enumerate() {
            let Some((number, page, running)) =
                number.and_then(|number| Some((number, pages.get(number)?, heads.get(number)?)))
            else {
                continue;
            };
            let (x, y) = ((at % per_side) as f32 * width, (at / per_side) as f32 * height);
            let left = left + self.format.aside(number);
            self.tree.page = number;
            surface.push_transform(&Transform::from_translate(x, y));
            let mut down = top;
            let kind = ContentTag::Artifact(Artifact::with_kind(ArtifactType::Header));
            for strip in &running.strips {
                draw::marks(&mut surface, &mut self.tree, &strip.marks, kind, (left, down));
                down += strip.height;
            }
            for placed in page {
                let from = top + head + placed.y;
                draw::strips(&mut surface, &mut self.tree, &placed.strips, &placed.frames, (left, from));
                if let Some((level, title)) = &placed.bookmark {
                    let to = XyzDestination::new(sheet, Point::from_xy(x, y + from));
                    self.outline.push(Bookmark { page: number, level: *level, title: title.clone(), to });
                }
            }
            surface.pop();
        }
        if per_side > 1 {
            let kind = ContentTag::Artifact(Artifact::with_kind(ArtifactType::Page));
            let mut cuts = vec![Mark::layout(0.0, height, Ink::Cut { width: size.0, height: 0.0 })];
            // A fold is shown at the edges of each half alone: nobody shall cut there.
            let down = match self.format.order {
                Order::Booklet => vec![(0.0, FOLD), (height - FOLD, 2.0 * FOLD), (size.1 - FOLD, FOLD)],
                Order::Single | Order::Four => vec![(0.0, size.1)],
            };
            cuts.extend(
                down.into_iter()
                    .map(|(y, long)| Mark::layout(width, y, Ink::Cut { width: 0.0, height: long })),
            );
            draw::marks(&mut surface, &mut self.tree, &cuts, kind, (0.0, 0.0));
        }
        surface.finish();
        paper.finish();
        Ok(())
    }
}

/// What is known of the document as a whole.
pub(crate) struct About {
    pub(crate) title: String,
    pub(crate) description: String,
    /// By what one content is told from another.
    pub(crate) content: String,
    pub(crate) effective: Option<String>,
    pub(crate) author: Option<String>,
}

impl About {
    /// What is known of a card, with a word before its title for another form of it.
    pub(crate) fn card(identity: &Identity, form: &str) -> Self {
        Self {
            title: format!("{form}{} ({}, revision {})", identity.title, identity.id, identity.revision),
            description: format!("{}. Content {}.", identity.standing, identity.content),
            content: format!("{form}{}", identity.content),
            effective: identity.effective.clone(),
            author: identity.author.clone(),
        }
    }
}

fn metadata(about: &About) -> Metadata {
    let metadata = Metadata::new()
        .title(about.title.clone())
        .language(LANGUAGE.to_owned())
        .description(about.description.clone())
        .creator("gatewright".to_owned())
        .document_id(about.content.clone())
        .creation_date(day(about.effective.as_deref()));
    match &about.author {
        Some(author) => metadata.authors(vec![author.clone()]),
        None => metadata,
    }
}

/// The effective date; without one the first day there is, which is no date of anything and the same every time.
fn day(effective: Option<&str>) -> DateTime {
    let mut parts = effective.unwrap_or_default().split('-').map(|part| part.parse::<u16>().ok());
    let (year, month, day) = (parts.next().flatten(), parts.next().flatten(), parts.next().flatten());
    let small = |part: Option<u16>| part.and_then(|part| u8::try_from(part).ok()).unwrap_or(1);
    DateTime::new(year.unwrap_or(1970))
        .month(small(month))
        .day(small(day))
        .hour(0)
        .minute(0)
        .second(0)
        .utc_offset_hour(0)
}

/// What the writer says, in one sentence. Its own words for a finding name its source code.
fn fault(error: KrillaError) -> Error {
    Error::Fault(match error {
        KrillaError::Validation(findings) => {
            let mut kinds: Vec<String> = findings.iter().map(|(finding, _)| format!("{finding:?}")).collect();
            kinds.dedup();
            kinds.truncate(5);
            format!("the file would not conform to PDF/UA-1 and PDF/A-2a: {}", kinds.join("; "))
        }
        other => other.to_string(),
    })
}
