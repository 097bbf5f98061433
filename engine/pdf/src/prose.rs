//! Authored text on paper.

use crate::error::Error;
use crate::set::{Face, Piece, Setter, Type};
use crate::stack::Stack;
use crate::tree::{NodeId, Role};
use card::prose::{Block, List, Prose, Span};

/// Between the blocks of one text.
const BLOCK_GAP: f32 = 4.0;
/// White before a quotation.
const QUOTED: f32 = 12.0;

impl Setter {
    /// Authored text.
    pub(crate) fn prose(
        &mut self,
        prose: &Prose,
        kind: Type,
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        self.prose_after(Vec::new(), prose, kind, width, parent)
    }

    /// The same with pieces of our own before its first words; on a line of their own where it begins with none.
    pub(crate) fn prose_after(
        &mut self,
        before: Vec<Piece>,
        prose: &Prose,
        kind: Type,
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        let Prose { blocks } = prose;
        self.blocks(before, blocks, kind, width, parent)
    }

    fn blocks(
        &mut self,
        mut before: Vec<Piece>,
        blocks: &[Block],
        kind: Type,
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        let mut all = Stack::default();
        for block in blocks {
            match block {
                Block::Paragraph(spans) | Block::Line(spans) => {
                    add_pieces(spans, None, &mut before);
                    all.push_after(BLOCK_GAP, self.words_of(&mut before, kind, width, parent)?);
                }
                Block::Code(text) => {
                    push_piece(text, None, &mut before);
                    all.push_after(BLOCK_GAP, self.words_of(&mut before, kind, width, parent)?);
                }
                Block::List(list) => {
                    all.push_after(BLOCK_GAP, self.words_of(&mut before, kind, width, parent)?);
                    all.push_after(BLOCK_GAP, self.list(list, kind, width, parent)?);
                }
                Block::Quote(inner) => {
                    all.push_after(BLOCK_GAP, self.words_of(&mut before, kind, width, parent)?);
                    let quote = self.tree.add(parent, Role::Quote);
                    let inner = self.blocks(Vec::new(), inner, kind, width - QUOTED, quote)?;
                    all.push_after(BLOCK_GAP, inner.right(QUOTED));
                }
                Block::Rule => {}
            }
        }
        all.push_after(BLOCK_GAP, self.words_of(&mut before, kind, width, parent)?);
        Ok(all)
    }

    /// The pieces as a paragraph; nothing for none.
    fn words_of(
        &mut self,
        pieces: &mut Vec<Piece>,
        kind: Type,
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        if pieces.is_empty() {
            return Ok(Stack::default());
        }
        let leaf = self.tree.add(parent, Role::Paragraph);
        self.text(&std::mem::take(pieces), kind, width, Some(leaf))
    }

    fn list(&mut self, list: &List, kind: Type, width: f32, parent: NodeId) -> Result<Stack, Error> {
        let List { first, items } = list;
        let node = self.tree.add(parent, Role::List(first.is_some()));
        let room = if first.is_some() { kind.size * 1.9 } else { kind.size * 1.1 };
        let mut all = Stack::default();
        for (at, blocks) in items.iter().enumerate() {
            let item = self.tree.add(node, Role::Item);
            let label = self.tree.add(item, Role::Label);
            let mark = first.map_or_else(|| "•".to_owned(), |first| format!("{}.", first + at));
            let mark = self.words(&mark, kind, room, label)?;
            let body = self.tree.add(item, Role::Body);
            let text = self.blocks(Vec::new(), blocks, kind, width - room, body)?;
            all.push_after(2.0, Stack::beside(vec![mark, text.right(room)]));
        }
        Ok(all)
    }
}

/// Spans in the cuts of their letters; strong emphasis wins over emphasis.
fn add_pieces(spans: &[Span], face: Option<Face>, pieces: &mut Vec<Piece>) {
    for span in spans {
        match span {
            Span::Text(text) | Span::Code(text) => push_piece(text, face, pieces),
            Span::Emphasis(inner) => add_pieces(inner, face.or(Some(Face::Slanted)), pieces),
            Span::Strong(inner) => add_pieces(inner, Some(Face::Strong), pieces),
            Span::Link { text, address } => {
                add_pieces(text, face, pieces);
                push_piece(&Span::after_link(text, address).unwrap_or_default(), face, pieces);
            }
            Span::Break => pieces.push(Piece::plain("\n")),
        }
    }
}

fn push_piece(text: &str, face: Option<Face>, pieces: &mut Vec<Piece>) {
    if !text.is_empty() {
        pieces.push(Piece { text: text.to_owned(), face });
    }
}

#[cfg(test)]
mod tests {
    use super::add_pieces;
    use crate::options::{Format, Paper};
    use crate::set::{Face, Piece, Setter};
    use crate::stack::Ink;
    use crate::tree::Role;
    use card::prose::{Block, List, Prose, Span};

    fn span(text: &str) -> Span {
        Span::Text(text.to_owned())
    }

    fn paragraph(text: &str) -> Block {
        Block::Paragraph(vec![span(text)])
    }

    #[test]
    fn emphasis_is_a_cut_and_strong_emphasis_wins() {
        let spans = [
            span("a"),
            Span::Emphasis(vec![span("b"), Span::Strong(vec![span("c")]), Span::Break]),
            Span::Strong(vec![Span::Emphasis(vec![Span::Code("d".to_owned())])]),
            Span::Link { text: vec![span("here")], address: "there".to_owned() },
            Span::Link { text: vec![span("there")], address: "there".to_owned() },
            span(""),
        ];
        let mut pieces = Vec::new();
        add_pieces(&spans, None, &mut pieces);
        let with = |text: &str, face| Piece { text: text.to_owned(), face };
        let expected = [
            with("a", None),
            with("b", Some(Face::Slanted)),
            with("c", Some(Face::Strong)),
            with("\n", None),
            with("d", Some(Face::Strong)),
            with("here", None),
            with(" (there)", None),
            with("there", None),
        ];
        assert_eq!(pieces, expected);
    }

    /// The texts that are drawn, in their order, each with where it begins.
    fn drawn(before: Vec<Piece>, blocks: Vec<Block>) -> Vec<(String, i32)> {
        let mut set = Setter::new(Format::for_paper(Paper::A4));
        let (kind, parent) = (set.body(), set.tree.root(Role::Section));
        let stack = set.prose_after(before, &Prose { blocks }, kind, 300.0, parent).expect("it is set");
        let marks = stack.strips.iter().flat_map(|strip| &strip.marks);
        let drawn = marks.filter_map(|mark| match &mark.ink {
            Ink::Run(run) => Some((run.text.to_string(), mark.x.round() as i32)),
            _ => None,
        });
        drawn.collect()
    }

    #[test]
    fn every_block_is_drawn_once_and_lists_and_quotations_are_moved_in() {
        let list = |first, text: &str| {
            Block::List(List { first, items: vec![vec![Block::Line(vec![span(text)])], Vec::new()] })
        };
        let blocks = vec![
            paragraph("one"),
            list(Some(9), "two"),
            list(None, "three"),
            Block::Quote(vec![paragraph("four"), Block::Code("five\n  six".to_owned())]),
            Block::Rule,
            paragraph(""),
        ];
        let expected = [
            ("one", 0),
            ("9.", 0),
            ("two", 20),
            ("10.", 0),
            ("•", 0),
            ("three", 12),
            ("•", 0),
            ("four", 12),
            ("five", 12),
            ("  six", 12),
        ];
        let expected: Vec<(String, i32)> =
            expected.into_iter().map(|(text, x)| (text.to_owned(), x)).collect();
        assert_eq!(drawn(Vec::new(), blocks), expected);
    }

    #[test]
    fn what_leads_stands_before_the_first_words_or_for_itself() {
        let texts = |blocks| {
            let drawn = drawn(vec![Piece::plain("Decide: ")], blocks);
            drawn.into_iter().map(|(text, _)| text).collect::<Vec<_>>()
        };
        assert_eq!(texts(vec![Block::Rule, paragraph("now"), paragraph("then")]), ["Decide: now", "then"]);
        let list = Block::List(List { first: None, items: vec![vec![paragraph("now")]] });
        assert_eq!(texts(vec![list]), ["Decide: ", "•", "now"]);
        assert_eq!(texts(Vec::new()), ["Decide: "]);
    }
}
