//! Authored text: the pieces of the HTML that the page model gives, which has nothing in it but paragraphs, lists,
//! quotations, code and emphasis.

use crate::set::{Face, Piece};

/// A block of authored text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Block {
    /// A paragraph.
    Paragraph(Vec<Piece>),
    /// A list with the marks of its items.
    List(Vec<(String, Vec<Block>)>),
    /// A quotation.
    Quote(Vec<Block>),
}

/// Reads the HTML of a `Prose`.
pub(crate) fn blocks(html: &str) -> Vec<Block> {
    let mut reader = Reader { rest: html };
    reader.blocks(&mut Faces::default())
}

struct Reader<'a> {
    rest: &'a str,
}

/// How deep we are inside emphasis.
#[derive(Default)]
struct Faces {
    strong: usize,
    slanted: usize,
}

impl Faces {
    fn face(&self) -> Option<Face> {
        if self.strong > 0 {
            Some(Face::Strong)
        } else if self.slanted > 0 {
            Some(Face::Slanted)
        } else {
            None
        }
    }
}

enum Token<'a> {
    Text(&'a str),
    Tag(&'a str),
}

impl<'a> Reader<'a> {
    fn next(&mut self) -> Option<Token<'a>> {
        if self.rest.is_empty() {
            return None;
        }
        if let Some(inside) = self.rest.strip_prefix('<') {
            let end = inside.find('>').unwrap_or(inside.len());
            self.rest = inside.get(end + 1..).unwrap_or_default();
            return Some(Token::Tag(&inside[..end]));
        }
        let end = self.rest.find('<').unwrap_or(self.rest.len());
        let (text, rest) = self.rest.split_at(end);
        self.rest = rest;
        Some(Token::Text(text))
    }

    /// Blocks up to the end tag of what they stand in.
    fn blocks(&mut self, faces: &mut Faces) -> Vec<Block> {
        let mut blocks = Vec::new();
        let mut open: Vec<Piece> = Vec::new();
        let close = |open: &mut Vec<Piece>, blocks: &mut Vec<Block>| {
            if !open.is_empty() {
                blocks.push(Block::Paragraph(std::mem::take(open)));
            }
        };
        while let Some(token) = self.next() {
            match token {
                Token::Text(text) => open.push(Piece { text: unescape(text), face: faces.face() }),
                Token::Tag("br") => open.push(Piece::plain("\n")),
                Token::Tag("strong") => faces.strong += 1,
                Token::Tag("/strong") => faces.strong = faces.strong.saturating_sub(1),
                Token::Tag("em") => faces.slanted += 1,
                Token::Tag("/em") => faces.slanted = faces.slanted.saturating_sub(1),
                Token::Tag("p" | "/p" | "pre" | "/pre") => close(&mut open, &mut blocks),
                Token::Tag("blockquote") => {
                    close(&mut open, &mut blocks);
                    blocks.push(Block::Quote(self.blocks(faces)));
                }
                Token::Tag("ul") => {
                    close(&mut open, &mut blocks);
                    blocks.push(self.list(None, faces));
                }
                Token::Tag(tag) if tag.starts_with("ol") => {
                    close(&mut open, &mut blocks);
                    let start = tag.split('"').nth(1).and_then(|start| start.parse().ok()).unwrap_or(1);
                    blocks.push(self.list(Some(start), faces));
                }
                Token::Tag("/blockquote" | "/li" | "/ul" | "/ol") => break,
                Token::Tag(_) => {}
            }
        }
        close(&mut open, &mut blocks);
        blocks
    }

    /// A list up to its end tag.
    fn list(&mut self, start: Option<usize>, faces: &mut Faces) -> Block {
        let mut items = Vec::new();
        while let Some(token) = self.next() {
            match token {
                Token::Tag("li") => {
                    let mark =
                        start.map_or_else(|| "•".to_owned(), |start| format!("{}.", start + items.len()));
                    items.push((mark, self.blocks(faces)));
                }
                Token::Tag("/ul" | "/ol") => break,
                Token::Tag(_) | Token::Text(_) => {}
            }
        }
        Block::List(items)
    }
}

fn unescape(text: &str) -> String {
    // The ampersand last: what it makes is not read again.
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'");
    text.replace("&amp;", "&")
}

#[cfg(test)]
mod tests {
    use super::{Block, blocks};
    use crate::set::{Face, Piece};

    #[test]
    fn the_forms_of_authored_text_are_read() {
        let html = "<p>Turn it <strong>off</strong>, <em>now</em> &amp;lt; &lt;b&gt;.</p>\
                    <ol start=\"3\"><li>one<ul><li>deep</li></ul></li><li>two</li></ol><blockquote><p>q<br>r</p></blockquote>";
        let plain = |text: &str| Block::Paragraph(vec![Piece::plain(text)]);
        let with = |text: &str, face| Piece { text: text.to_owned(), face: Some(face) };
        let first = vec![
            Piece::plain("Turn it "),
            with("off", Face::Strong),
            Piece::plain(", "),
            with("now", Face::Slanted),
            Piece::plain(" &lt; <b>."),
        ];
        let deep = Block::List(vec![("•".to_owned(), vec![plain("deep")])]);
        let list = Block::List(vec![
            ("3.".to_owned(), vec![plain("one"), deep]),
            ("4.".to_owned(), vec![plain("two")]),
        ]);
        let quote = Block::Quote(vec![Block::Paragraph(vec![
            Piece::plain("q"),
            Piece::plain("\n"),
            Piece::plain("r"),
        ])]);
        assert_eq!(blocks(html), [Block::Paragraph(first), list, quote]);
    }
}
